"""The whole folder in one pass."""

from pathlib import Path
from typing import Any

import pytest

from tourney.errors import FileTrouble
from tourney.faults import Code
from tourney.intake.folder import read_folder

HandIn = Any  # the fixture
ENTRIES = "club,team,division,name,birth_date\nOxbow,H,Junior,Ada Quill,2017-05-03\n"


def test_a_missing_folder_and_a_file_are_trouble(tmp_path: Path) -> None:
    with pytest.raises(FileTrouble, match="nowhere does not exist"):
        read_folder(tmp_path / "nowhere")
    (tmp_path / "file.txt").write_text("x", encoding="utf-8")
    with pytest.raises(FileTrouble, match=r"file\.txt is a file, not a folder"):
        read_folder(tmp_path / "file.txt")


def test_an_empty_folder_says_all_that_is_missing(tmp_path: Path) -> None:
    handed_in = read_folder(tmp_path)
    assert [(fault.file, fault.code) for fault in handed_in.faults] == [
        ("entries", Code.NO_ENTRIES),
        ("event.toml", Code.MISSING_FILE),
        ("officials.csv", Code.MISSING_FILE),
    ]
    assert (handed_in.event, handed_in.teams) == (None, ())


def test_settings_and_officials_of_a_kind_that_is_not_read_are_named(tmp_path: Path) -> None:
    for name in ("event.ods", "Officials.xls"):
        (tmp_path / name).write_bytes(b"")
    said = {fault.file: fault.hint for fault in read_folder(tmp_path).faults}
    assert said["event.toml"] == "Save event.ods as event.xlsx."
    assert said["officials.csv"] == "Save Officials.xls as officials.xlsx."


def test_without_settings_the_rest_is_still_looked_at(hand_in: HandIn) -> None:
    handed_in = hand_in(ENTRIES + "Oxbow,H,Junior,Ben Torrow,soon\n,,Junior,,\n", event="[event\n")
    assert [(fault.file, fault.where, fault.code) for fault in handed_in.faults] == [
        ("entries/a.csv", "line 3", Code.BAD_DATE),
        *[("entries/a.csv", "line 4", Code.MISSING_VALUE)] * 3,
        ("event.toml", "line 1", Code.NOT_TOML),
    ]


def test_a_wrong_key_does_not_hide_what_else_is_wrong(hand_in: HandIn) -> None:
    handed_in = hand_in(ENTRIES + "Oxbow,H,Junior,Ben Torrow,2013-05-03\n", 'squad = "four"\n')
    assert [(fault.file, fault.code) for fault in handed_in.faults] == [
        ("entries/a.csv", Code.WRONG_DIVISION),
        ("event.toml", Code.BAD_VALUE),
    ]
    assert handed_in.event is None


@pytest.mark.parametrize(
    ("rows", "more", "words"),
    [
        (ENTRIES, "", []),
        (ENTRIES, 'squad = "four"\n', ["Sizes of teams"]),
        (ENTRIES + "Oxbow,,Junior,Ben Torrow,2017-05-03\n", "", ["Small teams and the ties of officials"]),
        (ENTRIES + "Oxbow,,Junior,Ben Torrow,2017-05-03\n", "squad = 1\nsquad = 2\n", ["Entries are", "Small teams"]),
    ],
)
def test_what_can_not_be_looked_at_yet_is_said(hand_in: HandIn, rows: str, more: str, words: list[str]) -> None:
    found = hand_in(rows, more).put_off
    assert len(found) == len(words) and all(map(str.startswith, found, words))


def test_line_9_comes_before_line_10(hand_in: HandIn) -> None:
    rows = "".join(f"Oxbow,T{n},Junior,Kid{n} Number{n},x\n" for n in range(12))
    places = [fault.where for fault in hand_in("club,team,division,name,birth_date\n" + rows).faults]
    assert places == [f"line {number}" for number in range(2, 14)]


def test_everything_can_be_locked(hand_in: HandIn, monkeypatch: pytest.MonkeyPatch) -> None:
    hand_in(ENTRIES, syllabus_csv="id")

    def locked(_: Path) -> bytes:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "read_bytes", locked)
    handed_in = hand_in(ENTRIES)
    assert [(fault.file, fault.code, fault.message) for fault in handed_in.faults] == [
        (file, Code.UNREADABLE_FILE, f"{Path(file).name} can't be read.")
        for file in ("entries/a.csv", "event.toml", "officials.csv", "syllabus.csv")
    ]


def test_blanks_and_foreign_letters_in_the_path_do_no_harm(tmp_path: Path) -> None:
    folder = tmp_path / "Día de la Biblia  ñ 日"
    (folder / "entries").mkdir(parents=True)
    (folder / "entries" / "club número 1.csv").write_text(ENTRIES.replace("Junior", "X"), encoding="utf-8")
    assert read_folder(folder).teams == ()


def test_the_same_folder_gives_the_same(hand_in: HandIn) -> None:
    rows = ENTRIES + "Tarn,H,Junior,Ada Quill,2017-05-03\nTarn,H,Junor,Ada Quill,03/05/2017\n"
    assert hand_in(rows) == hand_in(rows)
