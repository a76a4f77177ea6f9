"""Every file of a whole played day is opened: what is private stands nowhere but with those who need it."""

import re
import shutil
import zipfile
from collections.abc import Iterator
from datetime import UTC, datetime
from html import unescape
from pathlib import Path

import pytest

from tourney.canon.syllabus import built_in
from tourney.day.practice import Wish, practice
from tourney.day.rehearse import rehearse
from tourney.day.results import results
from tourney.day.review import review
from tourney.day.state import read_day
from tourney.resources import sample_events

LATER = datetime(2027, 12, 1, tzinfo=UTC)
NEED = "sits close to the caller"
PRIVATE_NAME, PRIVATE_BIRTH = "Tunde Okorafield", "2014-02-19"
ENTRIES = f"""name,team,club,division,birth_date,needs,show_name
Fenella Crosthwick,Spoons,Hobnail Lane Club,Open,7 July 2016,{NEED},initial
{PRIVATE_NAME},Spoons,Hobnail Lane Club,Open,{PRIVATE_BIRTH},,number
Bertrand Ollivane,Spoons,Hobnail Lane Club,Open,2 May 2015,,initial
"""
BIRTHS = re.compile(
    r"201[2-7]-[01]\d-[0-3]\d|20120[1-9]\d\d|(?:7 July|19 February|2 May) 201\d|\b4[1-3]\d{3}\b(?=</v>)"
)


@pytest.fixture(scope="module")
def day_over(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of a day with finals, its results out, reviews and practice written."""
    here = tmp_path_factory.mktemp("leaks")
    source = Path(shutil.copytree(sample_events() / "small_hall", here / "source"))
    (source / "entries" / "hobnail lane.csv").write_text(ENTRIES, encoding="utf-8")
    settings = source / "event.toml"  # all reach the finals, and so the next level
    everybody = 'advance = "all"\nadvance_per_club = 3\nfinals = "knockout"'
    settings.write_text(settings.read_text(encoding="utf-8").replace("advance = 2", everybody), encoding="utf-8")
    folder = here / "played"
    rehearse(source, folder, lambda _: None)
    results(folder, LATER)
    review(folder, LATER)
    practice(folder, Wish(), LATER)
    practice(folder, Wish(team="O01"), LATER)
    return folder


def text_of(path: Path) -> str:
    """All text of a file, of every part of a workbook."""
    if not zipfile.is_zipfile(path):
        return unescape(path.read_bytes().decode("utf-8", "replace"))
    with zipfile.ZipFile(path) as parts:
        return unescape("\n".join(parts.read(name).decode("utf-8", "replace") for name in parts.namelist()))


def handed_out(folder: Path) -> Iterator[tuple[str, str]]:
    """Name and text of each file that is for others to see."""
    for room in ("papers", "results"):
        for path in sorted((folder / room).rglob("*")):
            if path.is_file():
                yield path.relative_to(folder).as_posix(), text_of(path)


def test_every_room_of_papers_is_looked_at(day_over: Path) -> None:
    files = [file for file, _ in handed_out(day_over)]
    for wanted in (
        "papers/callers/",
        "papers/judges/",
        "papers/steward/",
        "papers/finals/",
        "results/review/clubs/",
        "results/onward/",
        "results/practice/",
    ):
        assert any(file.startswith(wanted) for file in files), (wanted, sorted({f.rsplit("/", 1)[0] for f in files}))
    assert {"results/results.xlsx", "results/results.json"} <= set(files)


def test_no_birth_date_is_handed_out(day_over: Path) -> None:
    assert BIRTHS.search(text_of(day_over / "entries" / "wickfield.csv"))
    assert not [(file, found[0]) for file, text in handed_out(day_over) if (found := BIRTHS.search(text))]


def test_needs_stand_with_the_steward_alone(day_over: Path) -> None:
    found = {file for file, text in handed_out(day_over) if NEED in text}
    assert found == {"papers/steward/access_list.html"}


def test_a_name_that_is_not_to_be_shown_is_not(day_over: Path) -> None:
    first, last = PRIVATE_NAME.split()
    found = {file for file, text in handed_out(day_over) if last in text or first in text}
    assert found == {"results/onward/Hobnail_Lane_Club.xlsx"}, "the club itself enters the child for the next level"


def test_public_pages_name_no_child(day_over: Path) -> None:
    names = {child.name for child in read_day(day_over).roster.contestants}
    for file, text in handed_out(day_over):
        if file.startswith("papers/public/"):
            assert not [name for name in names if name in text], file


def test_calls_of_the_day_stand_in_callers_papers_alone(day_over: Path) -> None:
    day = read_day(day_over)
    syllabus = built_in()
    sections = " ".join(map(syllabus.section_name, syllabus.sections))  # these may be shown
    called = {call.say for found in day.book.sets for call in found.calls if len(call.say) > 9}
    called = {name for name in called if name not in sections}
    assert called
    found = {
        file
        for file, text in handed_out(day_over)
        if file.startswith("papers/") and any(name in text for name in called)
    }
    assert found and not [file for file in found if "/callers/" not in file]
