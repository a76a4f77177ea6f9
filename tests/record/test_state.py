"""The state of the day is a fold over the journal, and collecting twice changes nothing."""

from collections import defaultdict
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tourney.errors import FileTrouble
from tourney.model.calls import CallBook
from tourney.model.people import Roster
from tourney.model.plan import Plan
from tourney.model.sheet import FilledSheet, Marked, SheetNote, SheetReading
from tourney.model.totals import HeatTotal
from tourney.record.collecting import Collected, ReceivedFile, collecting, plan_entry
from tourney.record.journal import Journal
from tourney.record.row import FIRST, Entry, Row
from tourney.record.sealing import seal, unseal
from tourney.record.state import DayState, fold

Make = Callable[..., FilledSheet]
AT = datetime(2027, 4, 17, 9, tzinfo=UTC)
LATE = Marked(1, 2, ("L",))


def rows_of(*entries: Entry) -> tuple[Row, ...]:
    """Rows as the journal would give them; the fold does not look at their hashes."""
    return tuple(
        Row(seq, AT + timedelta(minutes=seq), entry.kind, entry.by, entry.why, kept(entry), FIRST, FIRST)
        for seq, entry in enumerate(entries, 1)
    )


def kept(entry: Entry, *, purged: bool = False) -> dict[str, Any]:
    """The body as it comes back from the journal, before or after a purge."""
    text = seal(entry.body, lambda _: bytes(32))
    body: dict[str, Any] = unseal(text, defaultdict(lambda: None if purged else bytes(32)))
    return body


def received(*sheets: FilledSheet, name: str = "hall.xlsx") -> ReceivedFile:
    readings = tuple(
        SheetReading(name, f"tab {n}", sheet.code, "noted" if sheet.notes else "accepted", sheet, sheet.notes)
        for n, sheet in enumerate(sheets)
    )
    return ReceivedFile(name, repr(sheets).encode(), readings)


@pytest.fixture
def planned(plan: Plan, roster: Roster, book: CallBook) -> Entry:
    return plan_entry(plan, roster, book)


def after(planned: Entry, *files: ReceivedFile) -> DayState:
    return fold(rows_of(planned, *collecting(DayState(), files).entries))


def test_before_the_first_plan() -> None:
    assert fold(()) == DayState()


def test_the_last_plan_counts(planned: Entry, plan: Plan, roster: Roster, book: CallBook) -> None:
    second = replace(plan, revision=2)
    state = fold(rows_of(planned, plan_entry(second, roster, book)))
    assert (state.plan, state.roster, state.revision, state.received) == (second, roster, 2, 0)


def test_the_journal_learns_fingerprints_but_no_calls(planned: Entry, book: CallBook) -> None:
    assert planned.body["calls"] == {"J-W01": book.sets[0].fingerprint()}
    assert "Micah" not in repr(planned.body)


def test_after_a_purge_contestants_are_their_ids_and_sheets_have_no_words(
    planned: Entry, roster: Roster, sheet: Make
) -> None:
    noted = sheet(notes=(SheetNote("tab!D4", "Child J01-1 wrote this"),), marks=(LATE,))
    entries = (planned, *collecting(DayState(), [received(noted, name="Child J01-1.xlsx")]).entries)
    rows = [
        Row(seq, AT, entry.kind, "", "", kept(entry, purged=True), FIRST, FIRST) for seq, entry in enumerate(entries, 1)
    ]
    assert "Child" not in repr(rows)
    state = fold(rows)
    assert state.roster is not None and state.roster.teams == roster.teams
    assert [(child.id, child.name, child.show_name) for child in state.roster.contestants] == [
        (key.id, key.id, "number") for key in roster.contestants
    ]
    assert state.sheets == (sheet(marks=(LATE,)),)


def test_sheets_in_the_order_of_codes(planned: Entry, sheet: Make) -> None:
    state = after(planned, received(sheet(judge=2), sheet()))
    assert state.sheets == (sheet(), sheet(judge=2))
    assert (state.received, state.open_matters) == (2, ())


def test_a_completed_sheet_takes_the_place_of_the_first(planned: Entry, sheet: Make) -> None:
    first, second = sheet(open_cells=((1, 2),)), sheet(marks=(LATE,))
    state = after(planned, received(first), received(second))
    assert (state.sheets, state.open_matters, state.received) == ((second,), (), 1)
    assert state.versions == (first, second)


def test_of_two_that_differ_the_first_stays_and_both_are_shown(planned: Entry, sheet: Make) -> None:
    state = after(planned, received(sheet(marks=(LATE,))), received(sheet()))
    assert state.sheets == (sheet(marks=(LATE,)),)
    (matter,) = state.open_matters
    assert (matter.kind, matter.heat) == ("two_versions", "J-R1-1")
    assert "line 1, call 2: first L, then clean" in matter.what
    assert sheet().code in matter.what


def test_two_that_differ_in_their_initials_alone(planned: Entry, sheet: Make) -> None:
    (matter,) = after(planned, received(sheet()), received(sheet(initials="CD"))).open_matters
    assert 'initials: first "AB", then "CD"' in matter.what


def test_many_differences_are_cut_short(planned: Entry, sheet: Make) -> None:
    marks = tuple(Marked(line, call, ("W",)) for line in (1, 2) for call in (1, 2, 3))
    (matter,) = after(planned, received(sheet()), received(sheet(marks=marks))).open_matters
    assert "; and 2 more" in matter.what


def test_a_sheet_of_a_line_that_changed_is_kept_in_sight(
    planned: Entry, plan: Plan, roster: Roster, book: CallBook, sheet: Make
) -> None:
    heat = replace(plan.heats[0], line=plan.heats[0].line[:2])
    changed = plan_entry(replace(plan, revision=2, heats=(heat,)), roster, book)
    state = fold(rows_of(planned, *collecting(DayState(), [received(sheet())]).entries, changed))
    assert (state.sheets, state.received) == ((), 1)
    assert [matter.kind for matter in state.open_matters] == ["outdated_sheet"]


def test_a_row_that_holds_something_else_is_named(planned: Entry) -> None:
    with pytest.raises(FileTrouble, match="row 2 does not hold the sheet"):
        fold(rows_of(planned, Entry("sheet", {"sheet": {"code": 7}})))
    with pytest.raises(FileTrouble, match="row 1 does not hold the plan"):
        fold(rows_of(Entry("plan", {})))


def test_what_collecting_says(sheet: Make) -> None:
    noted = sheet(judge=2, open_cells=((1, 1),), notes=(SheetNote("tab!D4", "hm"),))
    refused = ReceivedFile(
        "bad.xlsx", b"?", (SheetReading("bad.xlsx", "", "", "refused", None, (SheetNote("", "no"),)),)
    )
    state = DayState(versions=(sheet(),))
    done = collecting(state, [received(sheet(), noted), refused, received(noted, name="copy.xlsx")])
    document = done.document()
    assert list(document) == ["format", "accepted", "noted", "refused", "same", "totals", "sheets", "rulings"]
    assert [document[key] for key in list(document)[:5]] == ["tourney-collect/1", 0, 1, 1, 2]
    assert document["sheets"][1] == {
        "file": "hall.xlsx", "sheet": "tab 1", "code": noted.code, "state": "noted",
        "notes": [{"where": "tab!D4", "message": "hm"}],
    }  # fmt: skip
    assert [kept(entry)["file"]["name"] for entry in done.entries] == ["hall.xlsx"]
    assert len(done.files) == 1


def test_two_tabulators_see_each_cell_in_which_they_differ(planned: Entry, sheet: Make) -> None:
    one, other = received(sheet(marks=(LATE,)), name="anna.xlsx"), received(sheet(), name="ben.xlsx")
    done = collecting(fold(rows_of(planned)), [one, other])
    first, second = done.sheets
    assert (first.state, first.notes) == ("accepted", ())
    assert second.state == "noted"
    (note,) = second.notes
    assert f"Sheet {sheet().code} is there already, in anna.xlsx, tab 0, and the two differ" in note.message
    assert "(line 1, call 2: first L, then clean)" in note.message
    (later,) = collecting(
        fold(rows_of(planned, *done.entries)), [received(sheet(marks=(Marked(1, 2, ("W",)),)))]
    ).sheets
    assert "is there already, in the record, and" in later.notes[0].message


def test_a_version_that_completes_or_repeats_another_needs_no_note(planned: Entry, sheet: Make) -> None:
    files = [received(sheet(judged=(1, 2)), sheet(), sheet(judged=(1,)))]
    assert [one.state for one in collecting(fold(rows_of(planned)), files).sheets] == ["accepted"] * 3


def test_comments_reach_the_chief_judge_and_keep_nothing_open(planned: Entry, sheet: Make) -> None:
    written = sheet(comments=(SheetNote("tab!E5", "Dropped it twice"),))
    state = fold(rows_of(planned, *collecting(DayState(), [received(sheet(), written)]).entries))
    assert len(state.versions) == 2
    (matter,) = state.open_matters
    assert (matter.kind, matter.heat) == ("comment_settled", "J-R1-1")
    assert matter.what.endswith('tab!E5: "Dropped it twice"')


def totals_file(name: str, *points: int) -> ReceivedFile:
    totals = tuple(HeatTotal("J-R1-1", f"J0{n}", Fraction(value)) for n, value in enumerate(points, 1))
    return ReceivedFile(name, name.encode(), (), totals)


def test_totals_that_differ_are_open_until_the_last_came_in_twice(planned: Entry) -> None:
    rows = [planned]

    def collect(*files: ReceivedFile) -> tuple[list[str], list[tuple[str, str]]]:
        """Totals taken, and what is open then."""
        taken = collecting(fold(rows_of(*rows)), files)
        rows.extend(taken.entries)
        matters = fold(rows_of(*rows)).open_matters
        return [str(total.points) for total in taken.totals], [(matter.kind, matter.what) for matter in matters]

    first, second = totals_file("a.csv", 60, 55), totals_file("b.csv", 60, 57)
    assert collect(first) == (["60", "55"], [])
    differs = (
        "total_changed",
        "The total of J02 came in as 55, then 57. The last counts for now. Look at the paper and hand its total in "
        "once more, in a new table: that settles it.",
    )
    assert collect(first, second) == (["60", "57"], [differs])
    assert collect(first, second) == ([], [differs])
    settled = (
        "total_changed_settled",
        "The total of J02 came in as 55, then 57, then 55. 55 came in twice and counts.",
    )
    assert collect(first, second, totals_file("c.csv", 60, 55)) == (
        ["60", "55"],
        [settled],
    )
    state = fold(rows_of(*rows))
    assert [(total.team, total.points) for total in state.totals] == [("J01", Fraction(60)), ("J02", Fraction(55))]
    assert state.received == 2


def test_totals_that_two_people_keyed_alike_count_once(planned: Entry) -> None:
    taken = collecting(fold(rows_of(planned)), [totals_file("a.csv", 60, 55), totals_file("b.csv", 60, 55)])
    state = fold(rows_of(planned, *taken.entries))
    assert (state.open_matters, state.received, len(state.totals)) == ((), 2, 2)


some_sheets = st.lists(
    st.fixed_dictionaries(
        {
            "judge": st.sampled_from([1, 2]),
            "marks": st.sampled_from([(), (LATE,)]),
            "judged": st.sampled_from([(1, 2, 3, 4), (1, 2)]),
            "initials": st.sampled_from(["", "AB"]),
        }
    ),
    max_size=3,
)


@settings(max_examples=25, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(some_sheets, min_size=1, max_size=4))
def test_collecting_twice_changes_nothing(
    tmp_path_factory: pytest.TempPathFactory, planned: Entry, sheet: Make, batches: list[list[Any]]
) -> None:
    """Batches of files go through a real journal; then each comes again, alone and all together."""
    files = [received(*(sheet(**each) for each in batch), name=f"{n}.xlsx") for n, batch in enumerate(batches)]
    with Journal.open(tmp_path_factory.mktemp("day") / "record.sqlite") as journal:
        journal.append_all([planned], at=AT)

        def collect(*dropped: ReceivedFile) -> Collected:
            done = collecting(fold(journal.rows()), dropped)
            journal.append_all(done.entries, at=AT, files=done.files)
            return done

        for file in files:
            collect(file)
        rows, state = journal.rows(), fold(journal.rows())
        wanted = {reading.code for file in files for reading in file.readings}
        assert {one.code for one in state.sheets} == wanted
        assert state.received == len(wanted)
        assert len(state.versions) == len(rows) - 1 == len(set(state.versions))
        again = [*map(collect, files), collect(*files)]
        assert all(one.count("same") == len(one.sheets) for one in again)
        assert journal.rows() == rows
