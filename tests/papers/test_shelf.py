"""Papers take the place of old ones; what a person changed stays."""

from pathlib import Path

import pytest

from tourney.errors import FileTrouble
from tourney.papers.shelf import LEDGER, Written, shelve


def run(folder: Path, **files: str) -> Written:
    """Shelve files named reader__name, as a run that writes them all."""
    fresh = folder / "fresh"
    for name, text in files.items():
        path = fresh / f"{name.replace('__', '/')}.html"
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text)
    (folder / "papers").mkdir(exist_ok=True)
    return shelve(fresh, folder / "papers")


def read(folder: Path, name: str) -> str:
    return (folder / "papers" / name).read_text()


def test_unchanged_papers_are_replaced_and_stale_ones_removed(tmp_path: Path) -> None:
    run(tmp_path, public__doors="one", teams__gull="one")
    written = run(tmp_path, public__doors="two")
    assert written == Written(("papers/public/doors.html",), (), ())
    assert read(tmp_path, "public/doors.html") == "two"
    assert not (tmp_path / "papers/teams/gull.html").exists()


def test_a_changed_paper_stays_and_the_new_one_lies_beside_it(tmp_path: Path) -> None:
    run(tmp_path, judges__loft="one")
    (tmp_path / "papers/judges/loft.html").write_text("marks of a judge")
    for text in ("two", "three"):
        written = run(tmp_path, judges__loft=text)
        assert written.files == ("papers/judges/loft (2).html",)
        assert written.kept == ("papers/judges/loft.html",)
        assert read(tmp_path, "judges/loft.html") == "marks of a judge"
        assert read(tmp_path, "judges/loft (2).html") == text
    (tmp_path / "papers/judges/loft (2).html").write_text("more marks")
    assert run(tmp_path, judges__loft="four").files == ("papers/judges/loft (3).html",)
    assert read(tmp_path, "judges/loft (2).html") == "more marks"


def test_a_single_paper_goes_beside_the_others_until_all_are_written_again(tmp_path: Path) -> None:
    run(tmp_path, public__doors="one")
    fresh = tmp_path / "fresh" / "judges"
    fresh.mkdir(parents=True)
    (fresh / "copy.html").write_text("one heat")
    assert shelve(tmp_path / "fresh", tmp_path / "papers", whole=False) == Written(("papers/judges/copy.html",), (), ())
    assert (read(tmp_path, "public/doors.html"), read(tmp_path, "judges/copy.html")) == ("one", "one heat")
    assert run(tmp_path, public__doors="two") == Written(("papers/public/doors.html",), (), ())
    assert not (tmp_path / "papers/judges/copy.html").exists()


def test_what_was_printed_for_finals_stays_when_the_others_are_written_again(tmp_path: Path) -> None:
    run(tmp_path, finals__W09="stage one", public__doors="one")
    for text in ("two", "three"):
        run(tmp_path, public__doors=text)
        assert read(tmp_path, "finals/W09.html") == "stage one"
    run(tmp_path, finals__W09="anew")
    assert read(tmp_path, "finals/W09.html") == "anew"


def test_once_the_changed_paper_is_taken_away_the_number_goes_too(tmp_path: Path) -> None:
    run(tmp_path, judges__loft="one")
    (tmp_path / "papers/judges/loft.html").write_text("marks")
    run(tmp_path, judges__loft="two")
    (tmp_path / "papers/judges/loft.html").unlink()
    assert run(tmp_path, judges__loft="three") == Written(("papers/judges/loft.html",), (), ())
    assert not (tmp_path / "papers/judges/loft (2).html").exists()


def test_a_changed_paper_of_an_older_plan_is_left_and_named(tmp_path: Path) -> None:
    run(tmp_path, teams__gull="one", public__doors="one")
    (tmp_path / "papers/teams/gull.html").write_text("with notes")
    assert run(tmp_path, public__doors="two").left == ("papers/teams/gull.html",)
    assert read(tmp_path, "teams/gull.html") == "with notes"


def test_a_file_that_was_there_before_is_somebodys(tmp_path: Path) -> None:
    mine = tmp_path / "papers/public/doors.html"
    mine.parent.mkdir(parents=True)
    mine.write_text("drawn by hand")
    assert run(tmp_path, public__doors="one").kept == ("papers/public/doors.html",)
    assert mine.read_text() == "drawn by hand"


def test_a_run_that_broke_off_does_not_take_its_own_papers_for_somebodys(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    run(tmp_path, a__one="old", b__two="old")
    rename = Path.replace

    def locked(self: Path, target: Path) -> Path:
        if Path(target).name == "two.html":
            raise PermissionError(13, "in use")
        return rename(self, target)

    with monkeypatch.context() as patched:
        patched.setattr(Path, "replace", locked)
        with pytest.raises(FileTrouble, match=r"two\.html can't be written"):
            run(tmp_path, a__one="new", b__two="new")
    assert (read(tmp_path, "a/one.html"), read(tmp_path, "b/two.html")) == ("new", "old")
    assert run(tmp_path, a__one="newer", b__two="newer").kept == ()
    assert (read(tmp_path, "a/one.html"), read(tmp_path, "b/two.html")) == ("newer", "newer")


@pytest.mark.parametrize("damage", ["{", '{"files": [1]}'])
def test_a_damaged_ledger_is_named(tmp_path: Path, damage: str) -> None:
    run(tmp_path, public__doors="one")
    (tmp_path / "papers" / LEDGER).write_text(damage)
    with pytest.raises(FileTrouble, match="damaged"):
        run(tmp_path, public__doors="two")
    assert read(tmp_path, "public/doors.html") == "one"
