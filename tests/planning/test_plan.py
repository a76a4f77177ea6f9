"""Whole days: every rule kept, the same words the same plan, and refusals that name the shortage and its cure."""

import re
from collections import Counter
from dataclasses import replace
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tourney.canon.syllabus import built_in
from tourney.errors import Refusal
from tourney.model.calls import CallBook, CallSet
from tourney.model.documents import dump, load
from tourney.model.event import Event
from tourney.model.people import Official, Roster
from tourney.model.plan import Plan
from tourney.planning import plan as planning
from tourney.verify.duties import duty_lines
from tourney.verify.figures import figure_lines
from tourney.verify.hours import hour_lines
from tourney.verify.plan import plan_lines

SYLLABUS = built_in()
RECHECKS = (plan_lines, duty_lines, hour_lines, figure_lines)  # share nothing with what drew the plan


@pytest.fixture(autouse=True)
def bare_call_sets(monkeypatch: pytest.MonkeyPatch) -> None:
    """Call sets have tests of their own; here they are empty, so that days are planned fast."""

    def draw_call_sets(division: Any, needed: Any, _syllabus: Any, _draw: Any) -> Any:
        class Drawn:
            sets = tuple(
                CallSet(need.id, division.name, need.use, need.round, need.order, division.seconds, ())
                for need in needed
            )
            fairness = ()

        return Drawn

    monkeypatch.setattr(planning, "draw_call_sets", draw_call_sets)
    monkeypatch.setattr(planning, "draw_speakers", lambda *_: ())


def planned(event: Event, roster: Roster) -> tuple[Plan, CallBook]:
    return planning.plan_day(event, roster, SYLLABUS, "a secret", "sha256:0")


def broken_rules(plan: Plan, roster: Roster) -> list[str]:
    """Rules of the day that a plan breaks, read from the plan alone."""
    found: list[str] = []
    for kind, who in (
        ("team", lambda heat: heat.teams),
        ("official", lambda heat: [person for _, person in heat.seats]),
        ("room", lambda heat: [heat.room]),
    ):
        times = Counter((heat.wave, key) for heat in plan.heats for key in who(heat))
        found += [f"{kind} {key} twice in {wave}" for (wave, key), count in times.items() if count > 1]
    for team in plan.teams:
        heats = [heat for heat in plan.heats if team.id in heat.teams]
        byes = [bye for bye in plan.byes if bye.team == team.id]
        if len(heats) + len(byes) != plan.drawn_rounds[team.division]:
            found.append(f"{team.id}: {len(heats)} heats, {len(byes)} byes")
        for before, after in pairwise(sorted(heats, key=lambda heat: plan.wave[heat.wave].start)):
            rest = plan.wave[after.wave].start - plan.wave[before.wave].end
            if rest.total_seconds() < 60 * plan.event.day.rest or after.round <= before.round:
                found.append(f"{team.id}: {before.id}, {after.id}")
    for heat in plan.heats:
        division = plan.event.division(heat.division)
        if len(heat.judges) != division.judges or (heat.timekeeper is None) != (division.timekeeper == "caller"):
            found.append(f"{heat.id}: wrong seats")
        for duty, person in heat.seats:
            official = roster.official[person]
            clubs = {plan.team[team].club for team in heat.teams}
            children = {child for team in heat.teams for child in plan.team[team].members}
            if clubs & set(official.clubs) or children & set(official.people):
                found.append(f"{heat.id}: {person} is tied")
            if official.roles and duty not in official.roles:
                found.append(f"{heat.id}: {person} is no {duty}")
            if not official.cleared:
                found.append(f"{heat.id}: {person} is not cleared")
            wave = plan.wave[heat.wave]
            if official.start and f"{wave.start:%H:%M}" < official.start:
                found.append(f"{heat.id}: {person} is not there yet")
        standing = {child for team in heat.teams for child in plan.team[team].members[: division.squad]}
        if sorted(heat.line) != sorted(standing):
            found.append(f"{heat.id}: line")
    sets = {(heat.division, heat.wave, heat.call_set, heat.round) for heat in plan.heats}
    if len({key[:2] for key in sets}) != len(sets) or len({key[2] for key in sets}) != len(sets):
        found.append("call sets and waves")
    return found


@pytest.fixture(scope="module")
def coast(make: Any) -> tuple[Event, Roster]:
    """36 teams of 14 clubs in three divisions, 6 rooms, 36 officials most of whom have a tie, lunch."""
    divisions = [{"name": "Junior", "seconds": 12}, {"name": "Middle"}, {"name": "Senior", "seconds": 8}]
    event = make.event(divisions, 6, day={"pauses": [{"after_wave": 6, "minutes": 40, "label": "Lunch"}]})
    return event, make.roster(event, {"Junior": 14, "Middle": 12, "Senior": 10}, 36)


def test_a_large_day(coast: tuple[Event, Roster]) -> None:
    plan, book = planned(*coast)
    assert broken_rules(plan, coast[1]) == []
    figures = {(line.property, line.scope): line for line in plan.fairness}
    assert all(line.ok for line in plan.fairness)
    for division in ("Junior", "Middle", "Senior"):
        assert figures["repeated_meetings", division].measured == 0
        assert figures["same_club_meetings", division].measured == 0
        assert figures["fewest_rooms_of_a_team", division].measured == 4
        assert figures["one_judge_meets_one_team", division].measured == 1
        assert figures["parts_of_the_team_judge_graph", division].measured == 1
    assert figures["finish", "all"].measured == figures["finish", "all"].bound
    loads = Counter(person for heat in plan.heats for _, person in heat.seats)
    assert max(loads.values()) - min(loads.values()) <= 2
    assert figures["most_heats_of_an_official", "all"].measured == max(loads.values())
    assert [heat.id for heat in plan.heats if heat.division == "Senior"][:5] == [f"S-R1-{n}" for n in range(1, 6)]
    assert [found.id for found in book.sets if found.division == "Senior" and found.use != "rotation"] == [
        "S-FINAL-1", "S-DRILLOFF-1", "S-DRILLOFF-2", "S-DRILLOFF-3", "S-RESERVE-1", "S-PRACTICE",
    ]  # fmt: skip
    orders = [found.order for found in book.sets if found.division == "Junior" and found.use == "rotation"]
    assert orders == list(range(1, len(orders) + 1))


def test_the_same_words_give_the_same_plan_and_others_do_not(coast: tuple[Event, Roster]) -> None:
    event, roster = coast
    first, again = planned(event, roster), planned(event, roster)
    assert dump(first[0]) == dump(again[0])
    assert load(Plan, dump(first[0])) == first[0]
    other, _ = planned(event.model_copy(update={"draw_words": "a heron"}), roster)
    assert other.heats != first[0].heats


def test_the_secret_changes_nothing_but_its_hash(coast: tuple[Event, Roster]) -> None:
    event, roster = coast
    one, _ = planning.plan_day(event, roster, SYLLABUS, "one", "sha256:0")
    other, _ = planning.plan_day(event, roster, SYLLABUS, "other", "sha256:0")
    assert one.draw.secret != other.draw.secret
    assert replace(one, draw=other.draw) == other


def test_a_small_hall(make: Any) -> None:
    divisions = [{"name": "Open", "judges": 2, "rounds": 3}]
    event = make.event(divisions, 1, day={"pauses": [{"after_wave": 5, "minutes": 15}]})
    roster = make.roster(event, {"Open": 6}, 5, tied=0)
    plan, _ = planned(event, roster)
    assert broken_rules(plan, roster) == []
    assert [len(plan.heats), len(plan.waves)] == [9, 9]


def test_an_official_who_comes_late_or_needs_a_room_without_steps(make: Any) -> None:
    event = make.event([{"name": "Open", "judges": 1}], 2)
    rooms = [event.rooms[0], event.rooms[1].model_copy(update={"step_free": False})]
    event = event.model_copy(update={"rooms": tuple(rooms)})
    roster = make.roster(event, {"Open": 8}, 7, tied=0)
    officials = list(roster.officials)
    officials[0] = replace(officials[0], start="10:00")
    officials[1] = replace(officials[1], step_free_only=True)
    roster = replace(roster, officials=tuple(officials))
    plan, _ = planned(event, roster)
    assert broken_rules(plan, roster) == []
    assert {heat.room for heat in plan.heats if "O02" in [person for _, person in heat.seats]} == {"Room A"}


def test_too_few_officials_are_counted_and_the_cure_is_enough(make: Any) -> None:
    event = make.event([{"name": "Open"}], 3)
    roster = make.roster(event, {"Open": 12}, 12, tied=0)
    with pytest.raises(Refusal) as refused:
        planned(event, roster)
    assert refused.value.proven
    assert (refused.value.shortages[0].have, refused.value.shortages[0].need) == (12, 15)
    assert "3 more helpers who can be judge, caller and timekeeper" in refused.value.cures[0]
    assert "Leave out Room C" in refused.value.cures[1]
    more = tuple(Official(f"O{n}", f"New {n}") for n in range(90, 93))
    assert broken_rules(*_plan_with(event, roster, more)) == []
    with pytest.raises(Refusal):
        _plan_with(event, roster, more[:2])


def _plan_with(event: Event, roster: Roster, more: tuple[Official, ...]) -> tuple[Plan, Roster]:
    larger = replace(roster, officials=(*roster.officials, *more))
    return planned(event, larger)[0], larger


def test_a_team_to_which_all_judges_are_tied(make: Any) -> None:
    event = make.event([{"name": "Open", "judges": 2}], 1)
    roster = make.roster(event, {"Open": 4}, 6, tied=0)
    club = roster.teams[0].club
    officials = tuple(replace(official, clubs=(club.upper(),)) for official in roster.officials[:4])
    roster = replace(roster, officials=(*officials, *roster.officials[4:]))
    with pytest.raises(Refusal) as refused:
        planned(event, roster)
    assert refused.value.proven
    assert "can't drill at all" in refused.value.message
    (cure,) = refused.value.cures
    assert cure.startswith("2 more helpers who can be judge, caller and timekeeper without a tie to ")
    assert club in cure


def test_ties_that_no_draw_avoids_are_not_called_proven(make: Any) -> None:
    """Two clubs meet in every heat of a full round robin, and most judges belong to one of them."""
    event = make.event([{"name": "Open", "judges": 1, "timekeeper": "caller", "rounds": "all"}], 1)
    roster = make.roster(event, {"Open": 4}, 4, clubs=2, tied=0)
    clubs = sorted({team.club for team in roster.teams})
    tied = [replace(official, clubs=(clubs[n // 2],)) for n, official in enumerate(roster.officials)]
    roster = replace(roster, officials=tuple(tied))
    with pytest.raises(Refusal) as refused:
        planned(event, roster)
    assert not refused.value.proven
    assert "None of 20 draws" in refused.value.message
    assert refused.value.cures[0].endswith(f"without a tie to {clubs[0]} or {clubs[1]} are enough.")


DUTIES = ("judge", "caller", "timekeeper")


def named_in(cure: str, clubs: set[str]) -> tuple[int, tuple[Any, ...], tuple[str, ...]]:
    """What a cure asks for: how many people, the duties that they can do, and clubs to which they may have ties."""
    said = re.fullmatch(r"(\d+) more (.+) without a tie to (.+) (?:is|are) enough\.", cure)
    assert said is not None, cure
    duties = tuple(duty for duty in DUTIES if duty in said[2])
    return (
        int(said[1]),
        duties,
        () if said[3] == "any club" else tuple(sorted(clubs - set(re.split(", | or ", said[3])))),
    )


@settings(max_examples=10)
@given(
    teams=st.lists(st.integers(2, 6), min_size=1, max_size=2),
    officials=st.integers(3, 12),
    clubs=st.integers(2, 6),
    judges=st.integers(1, 2),
    tied=st.sampled_from([0.0, 0.5, 0.9]),
    one_role=st.booleans(),
)
def test_the_least_cure_is_enough_and_one_fewer_is_not(
    make: Any, teams: list[int], officials: int, clubs: int, judges: int, tied: float, one_role: bool
) -> None:
    """As many people as are asked for, with no duty and no club more than the words leave open, fill every seat."""
    names = ["Junior", "Middle"][: len(teams)]
    event = make.event([{"name": name, "rounds": 2, "judges": judges} for name in names], 3)
    roster = make.roster(event, dict(zip(names, teams, strict=True)), officials, clubs, tied)
    if one_role:
        roles = [replace(one, roles=(DUTIES[n % 3],)) for n, one in enumerate(roster.officials)]
        roster = replace(roster, officials=tuple(roles))
    try:
        planned(event, roster)
    except Refusal as refused:
        number, duties, ties = named_in(refused.cures[0], {team.club for team in roster.teams})
        more = tuple(Official(f"O{n}", f"New {n}", roles=duties, clubs=ties) for n in range(90, 90 + number))
        assert broken_rules(*_plan_with(event, roster, more)) == []
        with pytest.raises(Refusal) as still:
            _plan_with(event, roster, more[:-1])
        assert named_in(still.value.cures[0], set())[0] == 1


@settings(max_examples=20)
@given(
    teams=st.lists(st.integers(0, 8), min_size=1, max_size=3),
    rooms=st.integers(1, 4),
    officials=st.integers(1, 24),
    clubs=st.integers(1, 6),
    rounds=st.sampled_from([1, 2, 4, "all"]),
    size=st.integers(1, 5),
    tied=st.sampled_from([0.0, 0.4, 0.9]),
)
def test_any_event_gets_a_plan_or_a_refusal(
    make: Any, teams: list[int], rooms: int, officials: int, clubs: int, rounds: Any, size: int, tied: float
) -> None:
    names = ["Junior", "Middle", "Senior"][: len(teams)]
    divisions = [{"name": name, "rounds": rounds, "teams_per_heat": size, "judges": 1} for name in names]
    event = make.event(divisions, rooms)
    roster = make.roster(event, dict(zip(names, teams, strict=True)), officials, clubs, tied)
    try:
        plan, _ = planned(event, roster)
    except Refusal as refused:
        assert refused.shortages
        assert refused.cures
        if refused.proven:
            assert all(short.have < short.need for short in refused.shortages)
        else:
            assert "None of 20 draws" in refused.message
        return
    assert broken_rules(plan, roster) == []
    assert [line for part in RECHECKS for line in part(plan) if line.status == "broken"] == []
    assert load(Plan, dump(plan)) == plan


@pytest.mark.parametrize(
    ("teams", "rooms", "minutes"),
    [
        (12, 2, 60),  # 6 heats a round: 3 waves in two rooms, 2 in three; so 3 waves of 15 + 5 minutes in 3 rounds
        (12, 6, 0),  # a round is one wave already
    ],
)
def test_what_one_more_room_would_save(make: Any, teams: int, rooms: int, minutes: int) -> None:
    event = make.event([{"name": "Open", "rounds": 3, "calls": 12, "judges": 1}], rooms, day={"slot": 15, "rest": 5})
    plan, _ = planned(event, make.roster(event, {"Open": teams}, 5 * rooms, tied=0))
    line = next(line for line in plan.fairness if line.property == "minutes_saved_by_one_more_room")
    assert line.measured == minutes
