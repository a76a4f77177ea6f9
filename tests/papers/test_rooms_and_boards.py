"""What a room, the desk and the wall are handed."""

import re
from dataclasses import replace
from typing import Any, get_args

import pytest

from tourney.model.event import TieBreak
from tourney.papers.access import LARGE_PRINT, access_rows
from tourney.papers.board import BY_HAND, HEADS, boards, cribs
from tourney.papers.call_pages import drill_offs, practice, whole_sets
from tourney.papers.pages import pages
from tourney.papers.room_packs import blank_sheets, room_packs
from tourney.papers.run_sheet import run_sheet
from tourney.papers.sheet_facts import facts_by_room
from tourney.papers.sign_in import ROWS_A_PAGE, sign_in_lists
from tourney.papers.views import Hall, WaveRow


def test_a_room_is_handed_every_judges_sheet_in_wave_order(day: Any) -> None:
    packs = room_packs(Hall(day.plan, day.roster), day.book)
    facts = facts_by_room(day.plan, day.book, day.roster)
    assert {room: [code for heat in pack.heats for code in heat.codes] for room, pack in packs.items()} == {
        room: [sheet.identity.code for sheet in sheets] for room, sheets in facts.items()
    }
    for pack in packs.values():
        assert [heat.heat.start for heat in pack.heats] == sorted(heat.heat.start for heat in pack.heats)
        assert [sheet.code for heat in pack.heats for sheet in heat.sheets] == [
            code for heat in pack.heats for code in heat.codes
        ]


def test_a_sheet_on_paper_has_the_workbooks_line_and_who_is_asked(day: Any) -> None:
    for heat in (heat for pack in room_packs(Hall(day.plan, day.roster), day.book).values() for heat in pack.heats):
        speakers = day.book.speakers_of[heat.heat.id]
        for sheet in heat.sheets:
            asked = {
                call: line.number
                for line in sheet.lines
                for call, yes in zip(sheet.calls, line.asked, strict=True)
                if yes
            }
            assert tuple(asked[call] for call in sheet.calls) == speakers
            assert [line.number for line in sheet.lines] == list(range(1, 1 + len(day.plan.heat[heat.heat.id].line)))


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_a_sheet_too_large_for_a_page_is_parted_with_every_box_once(new_day: Any, paper: str) -> None:
    day = new_day(
        names=("Only",), teams=8, teams_per_heat=8, squad=4, rooms=1, rounds=1, calls=60, paper=paper, judges=1
    )
    (pack,) = room_packs(Hall(day.plan, day.roster), day.book).values()
    sheets = pack.heats[0].sheets
    boxes = [(line.number, call) for sheet in sheets for line in sheet.lines for call in sheet.calls]
    assert len(sheets) > 1 and sorted(boxes) == [(line, call) for line in range(1, 33) for call in range(1, 61)]
    assert len({sheet.code for sheet in sheets}) == 1
    sizes = [dict(sheet.sizes) for sheet in sheets]
    assert all(float(size[name].removesuffix("mm")) >= 8 for size in sizes for name in ("box", "line"))


def test_a_blank_sheet_names_nobody_and_holds_the_longest_line(day: Any) -> None:
    for sheet in blank_sheets(Hall(day.plan, day.roster)):
        assert len(sheet.lines) == 8 and sheet.calls == tuple(range(1, 17))
        assert not [part for line in sheet.lines for part in line.parts if part[0].strip()]
        assert not any(asked for line in sheet.lines for asked in line.asked)


def test_every_child_is_on_the_sign_in_list_of_the_own_club_once(day: Any) -> None:
    lists = sign_in_lists(Hall(day.plan, day.roster))
    found = [
        (club, child.id)
        for club, parts in lists.items()
        for part in parts
        for team in part.teams
        for child in team.children
    ]
    assert sorted(found) == sorted((team.club, child) for team in day.plan.teams for child in team.members)
    for parts in lists.values():
        assert [part.parted for part in parts] == [place > 0 for place in range(len(parts))]


def test_a_large_club_is_parted_between_teams(new_day: Any) -> None:
    day = new_day(names=tuple("ABCDEFGH"), teams=2)
    for parts in sign_in_lists(Hall(day.plan, day.roster)).values():
        assert len(parts) > 1
        assert all(sum(len(team.children) for team in part.teams) <= ROWS_A_PAGE for part in parts)


def test_every_tie_break_has_a_column_and_a_way_on_paper() -> None:
    assert set(HEADS) == set(BY_HAND) == set(get_args(TieBreak))


def test_a_board_lists_all_teams_and_the_chain_in_its_order(day: Any) -> None:
    hall = Hall(day.plan, day.roster)
    found = boards(hall)
    assert [[team.id for team in board.teams] for board in found] == [
        [team.id for team in day.plan.teams if team.division == name] for name in ("Junior", "Senior")
    ]
    assert [step.head for step in found[0].steps] == ["Clean", "W", "L", "Met", "Hard calls", "Drill-off"]
    assert found[0].rounds == 3 and found[0].by_points
    first = boards(Hall(replace(day.plan, drawn_rounds={"Junior": 1, "Senior": 1}), day.roster))
    assert first[0].rounds == 3  # rounds that are drawn later have a column too


def test_divisions_with_the_same_rules_share_a_crib(day: Any) -> None:
    junior, senior = boards(Hall(day.plan, day.roster))
    assert [[label.name for label in labels] for labels, _ in cribs((junior, senior))] == [["Junior", "Senior"]]
    assert len(cribs((junior, replace(senior, counting=2)))) == 2


def test_the_run_sheet_counts_the_sheets_of_every_wave(day: Any) -> None:
    hall = Hall(day.plan, day.roster)
    rounds = next(stage for stage in run_sheet(hall) if stage.title == "The rounds")
    waves = [row for row in hall.schedule if isinstance(row, WaveRow)]
    assert [task.sheets for task in rounds.tasks if task.sheets] == [
        3 * sum(heat is not None for heat in row.heats) for row in waves
    ]
    assert [task.time for task in rounds.tasks] == [row.start for row in hall.schedule]
    morning = next(stage for stage in run_sheet(hall) if stage.title == "The morning")
    assert [task.time for task in morning.tasks] == ["07:30", "08:00", "08:15", "08:30", "08:45", "08:50", "08:55"]


def test_drill_off_and_practice_hold_their_own_sets_alone(day: Any) -> None:
    hall = Hall(day.plan, day.roster)
    for found, use, most in ((drill_offs, "drill_off", 3), (practice, "practice", 8)):
        for one in found(hall, day.book, day.syllabus):
            sets = [calls for calls in day.book.sets if calls.use == use and calls.division == one.division.name]
            assert [spare.id for spare in one.sets] == [calls.id for calls in sets]
            for spare, calls in zip(one.sets, sets, strict=True):
                assert [call.say for call in spare.calls] == [call.say for call in calls.calls][:most]
                assert calls.fingerprint().startswith(f"sha256:{spare.mark}")


@pytest.mark.parametrize("words", LARGE_PRINT)
def test_large_print_is_asked_for_in_needs_or_edition(day: Any, words: str) -> None:
    first = day.roster.contestants[0]
    for asked in (replace(first, needs=f"Please: {words.upper()}."), replace(first, edition=words.replace(" ", "  "))):
        rows = access_rows(Hall(day.plan, replace(day.roster, contestants=(asked, *day.roster.contestants[1:]))))
        assert next(row for row in rows if row.id == first.id).large_print == f"large_print/{first.id}.html"


def test_a_pause_stands_between_the_heats_in_large_print(day: Any) -> None:
    first = next(day.roster.contestant[child] for child in day.plan.heats[0].line)
    asked = replace(first, edition="large print")
    children = tuple(asked if one is first else one for one in day.roster.contestants)
    found = pages(day.plan, day.book, replace(day.roster, contestants=children), day.syllabus)
    page = next(page for page in found if page.path == f"steward/large_print/{first.id}.html")
    times = re.findall(r'open">(\d\d:\d\d)', page.html)
    assert len(times) > 2 and times == sorted(times) and "Lunch" in page.html


def test_other_needs_ask_for_no_large_print(day: Any) -> None:
    other = replace(day.roster.contestants[0], needs="a chair; stands at the end of a large line")
    rows = access_rows(Hall(day.plan, replace(day.roster, contestants=(other, *day.roster.contestants[1:]))))
    assert next(row for row in rows if row.id == other.id).large_print == ""


def test_whole_sets_that_no_heat_hears_have_envelopes_of_their_own(day: Any) -> None:
    first = day.book.set[day.plan.heats[0].call_set]
    used = replace(day.plan.heats[0], call_set="J-RESERVE-1")
    plan = replace(day.plan, heats=(used, *day.plan.heats[1:]))
    extra = [
        replace(first, id="J-FINAL-1", use="final", round=None, order=None),
        *(replace(first, id=f"J-RESERVE-{n}", use="reserve", round=None, order=None) for n in (1, 2)),
    ]
    book = replace(day.book, sets=(*day.book.sets, *extra))
    found = whole_sets(Hall(plan, day.roster), book, day.syllabus)
    assert {use: [one.id for sets in divisions for one in sets.sets] for use, divisions in found.items()} == {
        "final": ["J-FINAL-1"],
        "reserve": ["J-RESERVE-2"],  # the first one is heard in a heat, and stands in that room's scripts
    }
    (spare,) = found["reserve"][0].sets
    assert [len(page) for page in spare.pages] == [8, 8]
    assert [call.say for page in spare.pages for call in page] == [call.say for call in first.calls]


def test_a_judge_who_asked_for_it_has_the_same_sheet_in_large_print(day: Any) -> None:
    heat = day.plan.heats[0]
    roster = replace(
        day.roster,
        officials=tuple(replace(one, large_print=one.id == heat.judges[1]) for one in day.roster.officials),
    )
    pack = room_packs(Hall(day.plan, roster), day.book)[heat.room]
    (found,) = (one for one in pack.heats if one.heat.id == heat.id)
    plain, large = ([part for part in found.sheets if part.code == found.codes[judge]] for judge in (0, 1))
    assert [part.larger for part in plain] == [1] and {part.larger for part in large} == {2**0.5}
    assert [part.calls for part in large] == [tuple(range(1, 9)), tuple(range(9, 17))], "boxes in even halves"
    assert all([line.number for line in part.lines] == list(range(1, 9)) for part in large)
    asked = {(line.number, call) for part in large for line in part.lines
             for call, heavy in zip(part.calls, line.asked, strict=True) if heavy}  # fmt: skip
    assert asked == {(line, call) for call, line in enumerate(day.book.speakers_of[heat.id], 1)}
    assert all(float(dict(part.sizes)["box"].removesuffix("mm")) * part.larger >= 11 for part in large)
