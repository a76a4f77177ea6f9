"""Whatever happens: every rule is kept, what was played stays, and the changes are as few as the bound says."""

from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tourney.canon.syllabus import built_in
from tourney.errors import Refusal
from tourney.model.people import Contestant, Official, Team
from tourney.model.plan import Heat
from tourney.planning import plan as planning
from tourney.planning.replan.changes import Changes, Fewer, LateTeam
from tourney.planning.replan.replan import PlayedDay, Replanned

Change = Callable[[PlayedDay, Changes], Replanned]
Broken = Callable[[PlayedDay, Replanned], list[str]]
Played = Callable[[PlayedDay, str], PlayedDay]

LATE = LateTeam(
    Team("J09", "Latecomers", "Quillmere", "Junior", ("J09-1", "J09-2", "J09-3")),
    tuple(Contestant(f"J09-{n}", f"Late Child{n}") for n in (1, 2, 3)),
)


def needs(found: Replanned) -> dict[str, tuple[int, int]]:
    return {need.must: (need.bound, need.made) for need in found.needs}


def heat_of(day: PlayedDay, team: str, number: int) -> Heat:
    return next(heat for heat in day.plan.heats if team in heat.teams and heat.round == number)


@settings(max_examples=12, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    at=st.sampled_from(["08:00", "09:00", "09:45", "10:30"]),
    absent=st.lists(st.sampled_from([f"J0{n}" for n in range(1, 9)]), max_size=2, unique=True),
    out=st.lists(st.sampled_from([f"O0{n}" for n in range(1, 10)]), max_size=2, unique=True),
    delay=st.sampled_from([0, 5, 30]),
    late=st.booleans(),
)
def test_any_mishaps_leave_a_sound_day(
    barns: PlayedDay, change: Change, broken: Broken, played: Played,
    at: str, absent: list[str], out: list[str], delay: int, late: bool,
) -> None:  # fmt: skip
    day = played(barns, at)
    changes = Changes(absent=tuple(absent), officials_out=tuple(out), delay=delay, late=(LATE,) if late else ())
    try:
        found = change(day, changes)
    except Refusal as reason:
        assert reason.shortages and reason.cures
        return
    assert broken(day, found) == []
    assert all(need.made >= need.bound for need in found.needs)
    assert found == change(day, changes)
    assert found.plan.revision == day.plan.revision + 1


def test_an_absent_team_changes_nothing_for_the_others(
    barns: PlayedDay, change: Change, broken: Broken, played: Played
) -> None:
    day = played(barns, "09:30")
    found = change(day, Changes(absent=("J03",)))
    assert broken(day, found) == []
    assert needs(found) == {"teams must change their heat": (0, 0)} and found.moved == ()
    left = [heat for heat in day.plan.heats if "J03" in heat.teams and heat.wave not in day.held]
    for heat in left:
        now = found.plan.heat[heat.id]
        assert now.teams == tuple(team for team in heat.teams if team != "J03")
        assert (now.wave, now.room, now.call_set, now.seats) == (heat.wave, heat.room, heat.call_set, heat.seats)
        assert now.since == 1  # the sheets that are printed hold
    assert {one.id for one in found.told if one.kind == "team"} == {team for heat in left for team in heat.teams}
    assert not any(paper.needed for paper in found.reprint if paper.paper in ("score sheets", "script"))
    assert found.plan.gone == ("J03",)


def test_where_judges_have_zones_a_line_that_moves_up_needs_new_sheets(
    barns: PlayedDay, change: Change, played: Played
) -> None:
    day = played(barns, "09:30")
    (division,) = day.plan.event.divisions
    zoned = day.plan.event.model_copy(update={"divisions": (division.model_copy(update={"zones": ((1, 3), (4, 12))}),)})
    found = change(replace(day, plan=replace(day.plan, event=zoned)), Changes(absent=("J03",)))
    left = {heat.id for heat in day.plan.heats if "J03" in heat.teams and heat.wave not in day.held}
    assert left and {heat.id for heat in found.plan.heats if heat.since == 2} == left


def test_a_heat_that_nobody_comes_to_is_taken_off(
    barns: PlayedDay, change: Change, broken: Broken, played: Played
) -> None:
    day = played(barns, "08:00")
    heat = day.plan.heats[-1]
    found = change(day, Changes(absent=heat.teams))
    assert broken(day, found) == [] and heat.id not in found.plan.heat
    told = {one.id: one.what for one in found.told if one.kind == "official"}
    assert any(f"No longer judge of {heat.id}" in sentence for sentence in told[heat.judges[0]])


def test_a_lost_room_moves_its_heats_and_no_other(
    barns: PlayedDay, change: Change, broken: Broken, played: Played
) -> None:
    day = played(barns, "09:10")
    later = [heat for heat in day.plan.heats if heat.wave not in day.held]
    beside = Counter(heat.wave for heat in later)
    room = next(heat.room for heat in later if beside[heat.wave] < 3)  # one of its heats has a free room beside it
    found = change(day, Changes(rooms_lost=(room,)))
    assert broken(day, found) == []
    lost = [heat.id for heat in later if heat.room == room]
    assert sorted(move.heat for move in found.moved) == sorted(lost)
    assert needs(found)["heats must move"] == (len(lost), len(lost))
    bound, made = needs(found)["heats must change their time"]
    assert bound == made < len(lost)  # some find a free room in their own wave
    for move in found.moved:
        old, new = day.plan.heat[move.heat], found.plan.heat[move.heat]
        assert (new.since == 2) is (old.call_set != new.call_set) is (move.from_wave != move.to_wave)
    again = PlayedDay(found.plan, found.book, found.roster, day.held, day.clock, day.announced)
    other = next(one.name for one in day.plan.event.rooms if one.name != room)
    further = change(again, Changes(rooms_lost=(other,)))  # the room that was lost first is not used again
    assert broken(again, further) == [] and further.plan.closed_rooms == (room, other)


def test_fresh_calls_where_the_own_ones_were_heard(
    barns: PlayedDay, change: Change, broken: Broken, played: Played
) -> None:
    day = played(barns, "09:00")
    found = change(day, Changes(rooms_lost=("Room A", "Room B")))
    assert broken(day, found) == []
    known = {one.id for one in day.book.sets}
    fresh = [one for one in found.book.sets if one.id not in known]
    assert fresh and all(one.use == "rotation" and one.order for one in fresh)
    heard = {heat.call_set: heat.wave for heat in found.plan.heats}
    assert all(heard[one.id] not in {wave.id for wave in day.plan.waves} for one in fresh)
    for one in fresh:  # as hard as the sets of the drawn day, within three in a hundred
        sums = [sum(call.difficulty for call in other.calls) for other in day.book.sets if other.use == "rotation"]
        assert abs(sum(call.difficulty for call in one.calls) - sum(sums) / len(sums)) < 0.03 * sum(sums) / len(sums)


def test_an_official_who_leaves_is_replaced_seat_by_seat(
    barns: PlayedDay, change: Change, broken: Broken, played: Played
) -> None:
    day = played(barns, "09:30")
    later = [person for heat in day.plan.heats if heat.wave not in day.held for _, person in heat.seats]
    person = min(later)
    found = change(day, Changes(officials_out=(person,)))
    seats = later.count(person)
    assert broken(day, found) == [] and needs(found)["seats must change"] == (seats, seats)
    assert len(found.options) == seats
    for option in found.options:
        assert 1 <= len(option.choices) <= 3 and option.choices[0].chosen
        assert not any(choice.chosen for choice in option.choices[1:])
    assert not any(paper.paper == "score sheets" for paper in found.reprint)


def test_too_few_officials_is_a_refusal_with_its_cure(barns: PlayedDay, change: Change, played: Played) -> None:
    out = Changes(officials_out=tuple(f"O0{n}" for n in range(1, 8)))
    with pytest.raises(Refusal) as caught:
        change(played(barns, "09:00"), out)
    assert caught.value.proven and caught.value.shortages
    (cure,) = caught.value.cures
    day, number = played(barns, "09:00"), int(cure.split()[0])
    assert cure.endswith("enough.")
    for more in (number, number - 1):  # as many as are asked for are enough, one fewer is not
        helpers = tuple(Official(f"O{n}", f"New {n}") for n in range(90, 90 + more))
        larger = replace(day, roster=replace(day.roster, officials=(*day.roster.officials, *helpers)))
        if more == number:
            assert change(larger, out).plan.revision == 2
        else:
            with pytest.raises(Refusal):
                change(larger, out)


def test_a_child_who_leaves_and_a_substitute(barns: PlayedDay, change: Change, broken: Broken, played: Played) -> None:
    day = played(barns, "09:30")
    team = next(team for team in day.roster.teams if len(team.members) == 3)
    spare = Contestant(f"{team.id}-9", "Spare Child", substitute=True)
    larger = replace(team, members=(*team.members, spare.id))
    roster = replace(
        day.roster,
        teams=tuple(larger if one.id == team.id else one for one in day.roster.teams),
        contestants=(*day.roster.contestants, spare),
    )
    out = team.members[0]
    later = [heat for heat in day.plan.heats if out in heat.line and heat.wave not in day.held]
    found = change(replace(day, roster=roster), Changes(contestants_out=(out,)))
    assert needs(found)["lines must change"] == (len(later), len(later))
    for heat in later:
        line = found.plan.heat[heat.id].line
        assert line == tuple(spare.id if child == out else child for child in heat.line)
        assert found.plan.heat[heat.id].since == 2  # somebody new stands there, so older sheets are void
    fewer = change(day, Changes(contestants_out=(out,)))  # without a substitute
    assert broken(day, fewer) == []
    assert all(fewer.plan.heat[heat.id].since == 1 for heat in later)


def test_a_late_team_both_ways(barns: PlayedDay, change: Change, broken: Broken, played: Played) -> None:
    day = played(barns, "09:00")
    found = change(day, Changes(late=(LATE,)))
    assert broken(day, found) == []
    heats = [heat for heat in found.plan.heats if "J09" in heat.teams]
    assert [heat.round for heat in heats] == [1, 2, 3]
    assert all(day.plan.heat[heat.id].wave == heat.wave and heat.since == 2 for heat in heats)
    assert {heat.id for heat in found.plan.heats} == {heat.id for heat in day.plan.heats}
    (option,) = found.options
    joined, apart = option.choices
    assert joined.chosen and not apart.chosen and "3 heats stand with one team more" in joined.cost
    assert "3 heats more" in apart.cost
    assert found.plan.waves == day.plan.waves

    second = change(day, Changes(late=(LATE,), late_apart=True))
    assert broken(day, second) == []
    own = [heat for heat in second.plan.heats if "J09" in heat.teams]
    assert sorted(heat.round for heat in own) == [1, 2, 3] and all(heat.teams == ("J09",) for heat in own)
    assert all(second.plan.heat[heat.id] == heat for heat in day.plan.heats)
    assert [choice.chosen for choice in second.options[0].choices] == [False, True]
    assert "--late-apart" in apart.what and "--late-apart" not in second.options[0].choices[1].what

    # Rooms that take no third team: it drills alone, in rooms that are free or in waves of its own.
    rooms = tuple(room.model_copy(update={"line_limit": 8}) for room in day.plan.event.rooms)
    narrow = replace(day, plan=replace(day.plan, event=day.plan.event.model_copy(update={"rooms": rooms})))
    alone = change(narrow, Changes(late=(LATE,)))
    assert broken(narrow, alone) == []
    assert sorted(heat.round for heat in alone.plan.heats if heat.teams == ("J09",)) == [1, 2, 3]
    assert all(alone.plan.heat[heat.id] == heat for heat in narrow.plan.heats)


def test_a_delay_is_taken_up_by_time_to_spare(barns: PlayedDay, change: Change, broken: Broken, played: Played) -> None:
    day = played(barns, "09:30")
    found = change(day, Changes(delay=15))
    assert broken(day, found) == []
    bound, made = needs(found)["waves must start later"]
    assert bound == made > 0
    first = next(wave for wave in day.plan.waves if wave.id not in day.held)
    assert (found.plan.wave[first.id].start - first.start).total_seconds() == 900
    assert found.plan.heats == day.plan.heats and found.book == day.book
    assert {paper.paper for paper in found.reprint} & {"score sheets", "script"} == set()
    # Once there is time again, nothing starts before it was announced.
    later = replace(day, plan=found.plan)
    short = change(later, Changes(fewer=(Fewer(8, 3),)))
    assert all(wave.start >= day.announced[wave.id] for wave in short.plan.waves)


def test_fewer_calls_are_the_same_for_all_of_a_round(
    barns: PlayedDay, change: Change, broken: Broken, played: Played
) -> None:
    day = played(barns, "09:30")
    found = change(day, Changes(fewer=(Fewer(12, 3),)))
    assert broken(day, found) == []
    out = {row.call_set: row.calls for row in found.plan.left_out}
    third = [one for one in day.book.sets if one.round == 3]
    assert set(out) == {one.id for one in third} and {len(calls) for calls in out.values()} == {4}
    assert found.book == day.book  # sealed sets stay as they are
    kept = []
    for one in third:
        stay = [call for call in one.calls if call.no not in out[one.id]]
        kept.append(sorted(call.section for call in stay))
        mean, whole = (sum(call.difficulty for call in calls) / len(calls) for calls in (stay, one.calls))
        assert abs(mean - whole) < 0.1
    assert all(sections == kept[0] for sections in kept)
    with pytest.raises(Refusal, match="has begun"):
        change(day, Changes(fewer=(Fewer(12, 1),)))
    with pytest.raises(Refusal, match="no more calls"):
        change(day, Changes(fewer=(Fewer(16, 3),)))


def test_a_leaked_set_leaves_the_book(barns: PlayedDay, change: Change, broken: Broken, played: Played) -> None:
    day = played(barns, "09:30")
    leaked = next(heat.call_set for heat in day.plan.heats if heat.wave not in day.held)
    found = change(day, Changes(leaked=(leaked, "J-FINAL-1")))
    assert broken(day, found) == []
    names = {one.id for one in found.book.sets}
    assert leaked not in names and f"{leaked}-2" in names
    assert "J-FINAL-1" not in names and "J-FINAL-2" in names
    heats = [heat for heat in day.plan.heats if heat.call_set == leaked]
    assert needs(found)["heats must hear other calls"] == (len(heats), len(heats))
    assert {paper.of for paper in found.reprint if paper.paper == "score sheets"} == {heat.id for heat in heats}
    assert "J-FINAL-2" in {paper.of for paper in found.reprint if paper.paper == "script"}
    old, new = day.book.set[leaked], found.book.set[f"{leaked}-2"]
    assert (new.round, new.order) == (old.round, old.order)
    assert [call.item for call in new.calls] != [call.item for call in old.calls]
    assert any(f"{leaked}-2 steps in for {leaked}" in note for note in found.notes)
    heard = next(heat.call_set for heat in day.plan.heats if heat.wave in day.held)
    with pytest.raises(Refusal, match="heard already"):
        change(day, Changes(leaked=(heard,)))


def test_places_kept_for_later_rounds_move_too(make: Any, change: Change, played: Played) -> None:
    rules = {"name": "Junior", "rounds": 3, "judges": 1, "timekeeper": "caller", "draw": "by_standing"}
    event = make.event([rules], 4)
    roster = make.roster(event, {"Junior": 6}, 10, clubs=6, tied=0)
    plan, book = planning.plan_day(event, roster, built_in(), "a secret", "sha256:0")
    assert [len({one.room for one in plan.reserved if one.round == number}) for number in (2, 3)] == [3, 3]
    day = played(PlayedDay(plan, book, roster, frozenset(), "00:00", {}), "09:00")
    room = plan.reserved[0].room
    found = change(day, Changes(rooms_lost=(room,)))
    assert {one.id for one in found.plan.reserved} == {one.id for one in plan.reserved}
    assert room not in {one.room for one in found.plan.reserved}
    assert [one.wave for one in found.plan.reserved] == [one.wave for one in plan.reserved]
    late = change(day, Changes(late=(LATE,)))  # every drawn round has begun: it is in the draw of the next one
    assert late.plan.heats == plan.heats and late.plan.team["J09"].name == "Latecomers"


@pytest.fixture
def large(make: Any, monkeypatch: pytest.MonkeyPatch) -> PlayedDay:
    """Forty-eight teams in fours over four rounds, without calls."""

    class Drawn:
        sets, fairness = (), ()

    monkeypatch.setattr(planning, "draw_call_sets", lambda *_: Drawn)
    monkeypatch.setattr(planning, "draw_speakers", lambda *_: ())
    monkeypatch.setattr("tourney.planning.replan.replan.draw_speakers", lambda *_: ())
    rules = {"name": "Junior", "teams_per_heat": 4, "judges": 1, "timekeeper": "caller"}
    event = make.event([rules], 12)
    event = event.model_copy(
        update={"rooms": tuple(room.model_copy(update={"line_limit": 16}) for room in event.rooms)}
    )
    roster = make.roster(event, {"Junior": 48}, 30, tied=0.2)
    plan, book = planning.plan_day(event, roster, built_in(), "a secret", "sha256:0")
    return PlayedDay(plan, book, roster, frozenset(), "00:00", {})


@pytest.mark.parametrize("leavers", [3, 6, 10])
def test_absent_teams_of_heats_of_four_are_evened_out_at_the_bound(
    large: PlayedDay, change: Change, leavers: int
) -> None:
    gone = tuple(team.id for team in large.plan.teams[::3][:leavers])
    found = change(large, Changes(absent=gone))
    bound, made = needs(found)["teams must change their heat"]
    assert made == bound
    for heat in found.plan.heats:
        old = large.plan.heat[heat.id]
        short = len(old.teams) - len(heat.teams)
        others = [other for other in found.plan.heats if other.call_set == heat.call_set]
        assert short < 2 or all(len(other.teams) < 4 for other in others)
        assert (heat.wave, heat.room, heat.call_set) == (old.wave, old.room, old.call_set)
