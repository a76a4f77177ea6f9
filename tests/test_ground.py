"""The rest of the ground floor: clock, shipped files, and problems as values."""

from datetime import timedelta

from tourney import clock, resources
from tourney.errors import FaultsFound, FileTrouble, Refusal, Shortage, Stopped
from tourney.faults import Code, Fault, Question


def test_the_clock_is_aware_and_in_utc() -> None:
    assert clock.now().utcoffset() == timedelta(0)


def test_ticks_never_run_back() -> None:
    assert clock.ticks() <= clock.ticks()


def test_shipped_folders_are_found() -> None:
    assert resources.templates().is_dir()
    assert {"lantern_coast", "small_hall"} <= {entry.name for entry in resources.sample_events().iterdir()}


def test_faults_sort_by_file_and_place() -> None:
    late = Fault("entries/b.csv", "line 3", Code.BAD_DATE, "m")
    early = Fault("entries/a.csv", "line 9", Code.UNKNOWN_DIVISION, "m")
    assert sorted([late, early]) == [early, late]
    assert len({late, Fault("entries/b.csv", "line 3", Code.BAD_DATE, "m")}) == 1


def test_codes_are_words_and_each_its_own() -> None:
    assert all(code.replace("-", "").isalpha() and code == code.lower() for code in Code)


def test_every_stop_speaks_a_sentence() -> None:
    fault = Fault("event.toml", "day.rest", Code.BAD_VALUE, "m")
    question = Question("twins-1", "a.csv", "line 3", Code.MAYBE_SAME_CHILD, "m")
    stops: dict[str, Stopped] = {
        "The door is shut.": FileTrouble("The door is shut.", "Open it."),
        "Two judges are short.": Refusal("Two judges are short.", (Shortage("judges", 16, 18),)),
        "1 fault and 2 open questions": FaultsFound((fault,), (question, question)),
    }
    assert {str(stop): stop for stop in stops.values()} == stops
