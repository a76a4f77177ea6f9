"""Rounds drawn one by one: what was drawn stays, every rule is kept, and the day ends when it was said to end."""

from collections import Counter
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise
from random import Random
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tourney.canon.syllabus import built_in
from tourney.draw import Draw
from tourney.errors import Refusal
from tourney.model.calls import Call, CallBook, CallSet
from tourney.model.documents import dump, load
from tourney.model.event import Event
from tourney.model.people import Roster
from tourney.model.plan import Heat, Plan
from tourney.planning import plan as planning
from tourney.planning.lines import take_places
from tourney.planning.next_round import draw_next_round, with_speakers
from tourney.planning.pools import in_pools
from tourney.planning.ties import tied

SYLLABUS = built_in()


@pytest.fixture(autouse=True)
def simple_call_sets(monkeypatch: pytest.MonkeyPatch) -> None:
    """Call sets have tests of their own; here they hold four calls that are all alike, so that planning is fast."""
    calls = tuple(Call(n, "book", f"B{n}", "law", 1.0, f"Book {n}", ("", "", "")) for n in range(1, 5))

    def draw_call_sets(division: Any, needed: Any, _syllabus: Any, _draw: Any) -> Any:
        class Drawn:
            sets = tuple(
                CallSet(need.id, division.name, need.use, need.round, need.order, division.seconds, calls)
                for need in needed
            )
            fairness = ()

        return Drawn

    monkeypatch.setattr(planning, "draw_call_sets", draw_call_sets)


def worth(plan: Plan, division: str, seed: int) -> dict[str, Fraction]:
    random = Random(seed)
    return {team.id: Fraction(random.randrange(5)) for team in plan.teams if team.division == division}


def played_on(plan: Plan, roster: Roster, seed: int = 0) -> list[Plan]:
    """The plan, and what becomes of it round by round."""
    plans = [plan]
    while plans[-1].reserved:
        now = plans[-1]
        for division in sorted({slot.division for slot in now.reserved}):
            now = draw_next_round(now, roster, division, worth(now, division, seed))
        plans.append(now)
    return plans


def broken_rules(plan: Plan, roster: Roster) -> list[str]:
    """Rules of the day that a plan breaks, read from the plan alone."""
    found = []
    for who in (lambda h: h.teams, lambda h: [person for _, person in h.seats], lambda h: [h.room]):
        times = Counter((heat.wave, key) for heat in (*plan.heats,) for key in who(heat))
        found += [f"{key} twice in {wave}" for (wave, key), count in times.items() if count > 1]
    kept = Counter([(heat.wave, heat.room) for heat in plan.heats] + [(slot.wave, slot.room) for slot in plan.reserved])
    found += [f"{place} twice" for place, count in kept.items() if count > 1]
    for team in plan.teams:
        mine = sorted((heat for heat in plan.heats if team.id in heat.teams), key=lambda h: plan.wave[h.wave].start)
        rounds = [*(h.round for h in mine), *(bye.round for bye in plan.byes if bye.team == team.id)]
        if sorted(rounds) != list(range(1, plan.drawn_rounds[team.division] + 1)):
            found.append(f"{team.id} in rounds {rounds}")
        for before, after in pairwise(mine):
            rest = plan.wave[after.wave].start - plan.wave[before.wave].end
            if rest.total_seconds() < 60 * plan.event.day.rest or after.round <= before.round:
                found.append(f"{team.id}: {before.id}, {after.id}")
    for heat in plan.heats:
        teams = [plan.team[team] for team in heat.teams]
        found += [f"{heat.id}: {p} is tied" for _, p in heat.seats if tied(roster.official[p], teams)]
        standing = {child for team in teams for child in team.members[: plan.event.division(heat.division).squad]}
        if sorted(heat.line) != sorted(standing):
            found.append(f"{heat.id}: line")
        room = next(room for room in plan.event.rooms if room.name == heat.room)
        if len(heat.line) > room.line_limit:
            found.append(f"{heat.id}: {heat.room} is too narrow")
    return found


def made(make: Any, teams: dict[str, int], rooms: int, officials: int, **more: Any) -> tuple[Event, Roster]:
    divisions = [{"name": name, "draw": "by_standing", "judges": 1, **more} for name in teams]
    event = make.event(divisions, rooms)
    return event, make.roster(event, teams, officials, tied=0.2)


@settings(max_examples=15)
@given(
    teams=st.lists(st.integers(2, 9), min_size=1, max_size=2),
    rooms=st.integers(1, 4),
    rounds=st.integers(1, 4),
    size=st.integers(1, 3),
    seed=st.integers(0, 99),
)
def test_any_day_by_standing_keeps_every_rule(
    make: Any, teams: list[int], rooms: int, rounds: int, size: int, seed: int
) -> None:
    names = dict(zip(("Junior", "Senior"), teams, strict=False))
    event, roster = made(make, names, rooms, 16, rounds=rounds, teams_per_heat=size)
    first, _ = planning.plan_day(event, roster, SYLLABUS, "a secret", "sha256:0")
    plans = played_on(first, roster, seed)
    assert plans[-1].drawn_rounds == dict.fromkeys(names, rounds)
    for before, after in pairwise(plans):
        assert after.waves == before.waves and after.call_sets == before.call_sets
        assert set(before.heats) < set(after.heats)
    for plan in plans:
        assert broken_rules(plan, roster) == []
        assert load(Plan, dump(plan)) == plan
        assert {heat.call_set for heat in plan.heats} <= {found.id for found in plan.call_sets}


@pytest.mark.parametrize(("teams", "rounds"), [(6, 5), (7, 7), (8, 6)])
def test_nobody_meets_twice_while_that_can_be(make: Any, teams: int, rounds: int) -> None:
    event, roster = made(make, {"Open": teams}, 4, 14, rounds=rounds)
    plan = played_on(planning.plan_day(event, roster, SYLLABUS, "", "")[0], roster)[-1]
    byes = Counter(bye.team for bye in plan.byes)
    assert not byes or set(byes.values()) == {1}
    met = Counter(frozenset(heat.teams) for heat in plan.heats)
    assert (
        max(met.values()) <= 2
    )  # a greedy round can leave a repeat to the end, never one that is needless at its time


def test_a_division_drawn_at_once_beside_one_by_standing(make: Any) -> None:
    divisions = [{"name": "Junior", "draw": "by_standing", "rounds": 3}, {"name": "Senior", "rounds": 3}]
    event = make.event(divisions, 4)
    roster = make.roster(event, {"Junior": 9, "Senior": 8}, 30, tied=0.5)
    plans = played_on(planning.plan_day(event, roster, SYLLABUS, "", "")[0], roster)
    assert plans[0].drawn_rounds == {"Junior": 1, "Senior": 3}
    assert [broken_rules(plan, roster) for plan in plans] == [[], [], []]


@settings(max_examples=10)
@given(teams=st.integers(6, 13), pools=st.integers(2, 3), rounds=st.integers(2, 4), size=st.integers(2, 3))
def test_pools_are_drawn_each_by_its_own_standing(make: Any, teams: int, pools: int, rounds: int, size: int) -> None:
    event, roster = made(make, {"Open": teams}, 4, 20, rounds=rounds, teams_per_heat=size, pools=pools)
    roster = in_pools(roster, event)
    first, _ = planning.plan_day(event, roster, SYLLABUS, "a secret", "sha256:0")
    plans = played_on(first, roster)
    assert plans[-1].drawn_rounds == {"Open": rounds}
    for plan in plans:
        assert broken_rules(plan, roster) == []
        pool = {team.id: team.pool for team in plan.teams}
        assert all(len({pool[team] for team in heat.teams}) == 1 for heat in plan.heats)
        assert {line.property: line.ok for line in plan.fairness}["club_teams_in_one_pool_most_less_fewest"]


def test_the_best_of_each_pool_meet_however_the_other_pool_stands(make: Any) -> None:
    """Pools of four: two who have not met are the best of theirs, and all of pool A made more than all of pool B."""
    event, roster = made(make, {"Open": 8}, 4, 20, rounds=2, pools=2)
    roster = in_pools(replace(roster, teams=tuple(replace(team, club=team.id) for team in roster.teams)), event)
    plan, _ = planning.plan_day(event, roster, SYLLABUS, "", "")
    heat_of = {plan.team[heat.teams[0]].pool: heat.teams for heat in plan.heats}
    others = {team.pool: team.id for team in plan.teams if team.id not in heat_of[team.pool]}
    best = {name: {heat_of[name][0], others[name]} for name in "AB"}
    points = {team.id: Fraction(10 * (team.pool == "A") + 3 * (team.id in best[team.pool])) for team in plan.teams}
    after = draw_next_round(plan, roster, "Open", points)
    drawn = [set(heat.teams) for heat in after.heats if heat.round == 2]
    assert all(pair in drawn for pair in best.values())


def test_all_against_all_has_nothing_to_wait_for(make: Any) -> None:
    event, roster = made(make, {"Open": 6}, 3, 12, rounds="all")
    plan, _ = planning.plan_day(event, roster, SYLLABUS, "", "")
    assert (plan.drawn_rounds, plan.reserved) == ({"Open": 5}, ())


def test_who_left_is_not_drawn_and_a_substitute_steps_in(make: Any) -> None:
    event, roster = made(make, {"Open": 6}, 3, 12, rounds=2)
    plan, _ = planning.plan_day(event, roster, SYLLABUS, "", "")
    left, weakened = plan.teams[0], plan.teams[1]
    plan = replace(plan, gone=(left.id, weakened.members[0]))
    after = draw_next_round(plan, roster, "Open", worth(plan, "Open", 1))
    fresh = [heat for heat in after.heats if heat.round == 2]
    assert sorted([*(team for heat in fresh for team in heat.teams), *(bye.team for bye in after.byes)]) == sorted(
        team.id for team in plan.teams[1:]
    )
    assert weakened.members[0] not in {child for heat in fresh for child in heat.line}


def test_a_lost_room_is_not_given_away(make: Any) -> None:
    event, roster = made(make, {"Open": 6}, 3, 12, rounds=2)
    plan, _ = planning.plan_day(event, roster, SYLLABUS, "", "")
    plan = replace(plan, closed_rooms=("Room A",))
    with pytest.raises(Refusal, match="needs 3 places in the day, and 2 are kept"):
        draw_next_round(plan, roster, "Open", worth(plan, "Open", 1))


def test_another_room_of_the_same_wave_steps_in(make: Any) -> None:
    event, roster = made(make, {"Open": 6}, 4, 16, rounds=2)
    plan, _ = planning.plan_day(event, roster, SYLLABUS, "", "")
    lost = plan.reserved[0].room
    after = draw_next_round(replace(plan, closed_rooms=(lost,)), roster, "Open", worth(plan, "Open", 1))
    fresh = [heat for heat in after.heats if heat.round == 2]
    assert lost not in {heat.room for heat in fresh}
    assert len({(heat.wave, heat.room) for heat in fresh}) == len({heat.id for heat in after.heats}) - 3 == 3
    assert {heat.call_set for heat in fresh} <= {found.id for found in plan.call_sets}


def test_too_few_officials_without_a_tie_are_named(make: Any) -> None:
    event, roster = made(make, {"Open": 4}, 2, 6, rounds=2, timekeeper="caller")
    plan, _ = planning.plan_day(event, roster, SYLLABUS, "", "")
    clubs = tuple(sorted({team.club for team in roster.teams}))
    roster = replace(roster, officials=tuple(replace(person, clubs=clubs) for person in roster.officials))
    with pytest.raises(Refusal, match="not enough officials without a tie") as refused:
        draw_next_round(plan, roster, "Open", worth(plan, "Open", 1))
    assert not refused.value.proven
    assert refused.value.cures


def test_speakers_of_a_new_round_even_out_those_before(make: Any) -> None:
    event, roster = made(make, {"Open": 8}, 4, 16, rounds=4)
    plan, book = planning.plan_day(event, roster, SYLLABUS, "s", "")
    draw = Draw(event.draw_words, "s")
    for after in played_on(plan, roster)[1:]:
        longer = with_speakers(after, book, draw)
        assert longer.speakers[: len(book.speakers)] == book.speakers
        assert set(longer.speakers_of) == {heat.id for heat in after.heats}
        book = longer
    last = played_on(plan, roster)[-1]
    line = {heat.id: heat.line for heat in last.heats}
    turns = Counter(line[row.heat][number - 1] for row in book.speakers for number in row.lines)
    assert max(turns.values()) - min(turns[child.id] for child in roster.contestants) <= 1
    assert with_speakers(last, CallBook(book.sets), draw).speakers_of.keys() == book.speakers_of.keys()


@given(st.lists(st.permutations(["a", "b", "c"]), max_size=6))
def test_places_in_line_are_taken_where_a_team_stood_least(before: list[list[str]]) -> None:
    heats = [tuple(heat) for heat in before]
    taken = take_places(("a", "b", "c"), heats)
    had = Counter((team, at) for heat in heats for at, team in enumerate(heat))
    paid = sum(had[team, at] for at, team in enumerate(taken))
    assert paid <= min(sum(had[team, at] for at, team in enumerate(order)) for order in heats or [taken])


def test_sheets_of_new_heats_hold_from_their_revision(make: Any) -> None:
    event, roster = made(make, {"Open": 4}, 2, 8, rounds=2)
    plan, _ = planning.plan_day(event, roster, SYLLABUS, "", "")
    after = draw_next_round(replace(plan, revision=5), roster, "Open", worth(plan, "Open", 1))
    since = {heat.since for heat in after.heats if heat.round == 2}
    assert since == {5}
    assert isinstance(after.heats[0], Heat)
