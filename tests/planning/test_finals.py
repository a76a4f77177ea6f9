"""Heats of finals in the day: people without a tie, calls nobody heard, rest for all, rooms that fit, true cures."""

from dataclasses import replace
from datetime import timedelta

import pytest

from tourney.canon.syllabus import Syllabus
from tourney.draw import Draw, digest
from tourney.errors import Refusal
from tourney.intake.folder import read_folder
from tourney.model.calls import CallBook
from tourney.model.people import Roster
from tourney.model.plan import DrillOffHeat, Plan
from tourney.planning.finals import DueHeat, draw_stage, lines_at_once, refuse_heard_sets
from tourney.planning.plan import plan_day
from tourney.planning.replan.sets import Source
from tourney.planning.roster import enrol
from tourney.planning.ties import tied
from tourney.resources import sample_events

Day = tuple[Plan, CallBook, Roster, Syllabus]


@pytest.fixture(scope="module")
def day() -> Day:
    """The garden day before its finals: two rooms, two divisions."""
    found = read_folder(sample_events() / "garden_catalogue")
    assert found.event is not None
    roster = enrol(found.teams, found.officials, found.event, None)
    plan, book = plan_day(found.event, roster, found.syllabus, "a secret", digest("inputs"))
    return plan, book, roster, found.syllabus


def drawn(day: Day, *due: DueHeat) -> tuple[Plan, CallBook]:
    plan, book, roster, syllabus = day
    fresh = replace(plan, revision=plan.revision + 1)
    return draw_stage(fresh, book, roster, due, Source(syllabus, Draw("words")), plan.waves[-1].end)


def teams(plan: Plan, division: str) -> list[str]:
    return [team.id for team in plan.teams if team.division == division]


def semi_finals(plan: Plan) -> tuple[DueHeat, ...]:
    one, two, three, four, *_ = teams(plan, "Growers")
    return DueHeat("G-F1-1", "Growers", 1, (one, four)), DueHeat("G-F1-2", "Growers", 1, (two, three))


def the_line(plan: Plan) -> DueHeat:
    return DueHeat("S-F1-1", "Seedlings", 1, tuple(teams(plan, "Seedlings")[:2]))


def test_nobody_on_a_panel_has_a_tie_and_nobody_sits_twice(day: Day) -> None:
    before, _, roster, _ = day
    plan, _ = drawn(day, the_line(before), *semi_finals(before))
    official = {one.id: one for one in roster.officials}
    for key in ("S-F1-1", "G-F1-1", "G-F1-2"):
        for _, person in plan.heat[key].seats:
            assert not tied(official[person], [roster.team[team] for team in plan.heat[key].teams])
    for wave in plan.waves:
        people = [person for heat in plan.heats if heat.wave == wave.id for _, person in heat.seats]
        assert len(people) == len(set(people))
    assert plan.heats[: len(before.heats)] == before.heats


def test_each_wave_hears_calls_that_nobody_heard(day: Day) -> None:
    before, _, _, _ = day
    plan, book = drawn(day, *semi_finals(before))
    first, second = (plan.heat[key] for key in ("G-F1-1", "G-F1-2"))
    assert first.wave == second.wave and first.call_set == second.call_set  # two rooms: heard together
    assert first.call_set not in {heat.call_set for heat in before.heats}
    final = DueHeat("G-F2-1", "Growers", 2, (first.teams[0], second.teams[0]))
    later, book = drawn((plan, book, day[2], day[3]), final)
    assert later.heat["G-F2-1"].call_set not in {heat.call_set for heat in plan.heats}
    heard = [tuple(call.item for call in found.calls) for found in book.sets]
    assert len(heard) == len(set(heard))


def test_drill_offs_hear_set_after_set_and_further_ones_when_those_of_the_day_are_heard(day: Day) -> None:
    """Two ties of one division, one after the other; the first set of the second tie was read by hand."""
    before, book, roster, syllabus = day
    one, two, three, *_ = teams(before, "Growers")
    plan, heard = before, []
    for number in range(1, 6):
        pair = (one, two) if number < 3 else (two, three)
        about = DrillOffHeat(f"G-D{number}", "", number if number < 3 else number - 1)
        due = DueHeat(f"G-D{number}", "Growers", 0, pair, about, by_hand=int(number > 2))
        plan, book = drawn((plan, book, roster, syllabus), due)
        heat = plan.heat[due.heat]
        heard.append(heat.call_set)
        assert plan.drill_offs[-1] == about and plan.wave[heat.wave].minutes == 10
        assert len(book.set[heat.call_set].calls) == 3 and book.set[heat.call_set].use == "drill_off"
        assert not any(tied(o, [roster.team[t] for t in pair]) for o in roster.officials if o.id in heat.judges)
    assert len(set(heard)) == 5 and "G-DRILLOFF-3" not in heard
    calls = [frozenset(call.item for call in book.set[key].calls) for key in heard]
    assert len(set(calls)) == 5
    assert plan.rotation == before.rotation


def test_level_teams_stand_in_as_few_lines_at_once_as_rooms_can_take(day: Day) -> None:
    plan, _, roster, _ = day
    growers = teams(plan, "Growers")
    limit = {room.name: room.line_limit for room in plan.event.rooms}
    assert lines_at_once(plan, roster, "Growers", growers[:2]) == (tuple(growers[:2]),)
    parts = lines_at_once(plan, roster, "Growers", growers)
    assert len(parts) == 2 and sorted(team for part in parts for team in part) == growers
    for part, places in zip(parts, sorted(limit.values(), reverse=True), strict=True):
        assert sum(len(roster.team[team].members) for team in part) <= places
    one_left = replace(plan, closed_rooms=(plan.event.rooms[0].name,))
    assert lines_at_once(one_left, roster, "Growers", growers) == ()


def test_parts_of_a_drill_off_are_never_parted(day: Day) -> None:
    """Beside the parts of one tie another tie waits for the next wave; with one panel alone all is refused."""
    before, _, roster, syllabus = day
    one, two, three, four = teams(before, "Growers")
    parts = [
        DueHeat(f"G-D{number}", "Growers", 0, part, DrillOffHeat(f"G-D{number}", "", 1))
        for number, part in enumerate([(one, two), (three, four)], 2)
    ]
    other = DueHeat("G-D1", "Growers", 0, (two, three), DrillOffHeat("G-D1", "G-R1-1", 1))
    plan, _ = drawn(day, other, *parts)
    first, second, alone = (plan.heat[key] for key in ("G-D2", "G-D3", "G-D1"))
    assert (first.wave, first.call_set) == (second.wave, second.call_set)
    assert alone.wave != first.wave and alone.call_set != first.call_set
    few = replace(roster, officials=roster.officials[: len(first.seats)])
    with pytest.raises(Refusal) as refused:
        drawn((before, day[1], few, syllabus), *parts)
    assert "one part of the level teams after the other" in refused.value.cures[-1]


def test_a_set_that_somebody_heard_is_refused_before_it_is_called(day: Day) -> None:
    before, _, _, _ = day
    plan, book = drawn(day, *semi_finals(before))
    heat = plan.heat["G-F1-1"]
    refuse_heard_sets(before, [heat], book)
    heard = next(one.call_set for one in before.heats if set(one.line) & set(heat.line))
    with pytest.raises(Refusal, match=f"G-F1-1 would call {heard}, which [1-9]"):
        refuse_heard_sets(before, [replace(heat, call_set=heard)], book)
    with pytest.raises(Refusal, match=f"{len(heat.line)} of its {len(heat.line)} children"):
        refuse_heard_sets(plan, [heat], book)  # held once more, it needs another set


def test_all_have_walked_and_rested_before_a_heat(day: Day) -> None:
    before, book, roster, syllabus = day
    plan, book = drawn(day, the_line(before), *semi_finals(before))
    for earlier, later in zip(plan.waves, plan.waves[1:], strict=False):
        if later not in before.waves:
            assert later.start - earlier.end >= timedelta(minutes=max(plan.event.day.changeover, plan.event.day.rest))
    late = before.waves[-1].end + timedelta(hours=2)
    fresh = replace(before, revision=before.revision + 1)
    moved, _ = draw_stage(fresh, book, roster, [the_line(before)], Source(syllabus, Draw("words")), late)
    assert moved.wave[moved.heat["S-F1-1"].wave].start == late


def test_two_divisions_share_a_wave_where_rooms_and_people_allow(day: Day) -> None:
    before, *_ = day
    one, two, *_ = teams(before, "Growers")
    plan, _ = drawn(day, the_line(before), DueHeat("G-F1-1", "Growers", 1, (one, two)))
    line, final = plan.heat["S-F1-1"], plan.heat["G-F1-1"]
    assert line.wave == final.wave and line.room != final.room and line.call_set != final.call_set
    assert not {person for _, person in line.seats} & {person for _, person in final.seats}


def test_a_line_stands_in_a_room_that_takes_it_and_the_cure_of_a_refusal_is_true(day: Day) -> None:
    before, book, roster, syllabus = day
    rooms = [
        room.model_copy(update={"line_limit": limit}) for room, limit in zip(before.event.rooms, (4, 12), strict=True)
    ]
    narrow = replace(before, event=before.event.model_copy(update={"rooms": tuple(rooms)}))
    three = DueHeat("S-F1-1", "Seedlings", 1, tuple(teams(before, "Seedlings")[:3]))
    plan, _ = drawn((narrow, book, roster, syllabus), three)
    assert plan.heat["S-F1-1"].room == rooms[1].name

    with pytest.raises(Refusal) as refused:
        drawn(day, three)
    (shortage,) = refused.value.shortages
    assert (shortage.have, shortage.need) == (8, len(plan.heat["S-F1-1"].line))
    wide = [room.model_copy(update={"line_limit": shortage.need}) for room in before.event.rooms]
    cured = replace(before, event=before.event.model_copy(update={"rooms": tuple(wide)}))
    assert drawn((cured, book, roster, syllabus), three)[0].heat["S-F1-1"]


def test_too_few_people_without_a_tie_are_counted(day: Day) -> None:
    before, book, roster, syllabus = day
    clubs = tuple(sorted({team.club for team in roster.teams}))
    everyone = tuple(replace(one, clubs=clubs) for one in roster.officials)
    with pytest.raises(Refusal) as refused:
        drawn((before, book, replace(roster, officials=everyone), syllabus), the_line(before))
    assert refused.value.shortages
    short = sum(one.need - one.have for one in refused.value.shortages)
    freed = tuple(replace(one, clubs=()) for one in everyone[:short]) + everyone[short:]
    assert drawn((before, book, replace(roster, officials=freed), syllabus), the_line(before))[0].heat["S-F1-1"]
