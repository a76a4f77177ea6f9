"""Each rule of finals can fail: a sound plan with one thing spoilt."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest

from tourney.model.documents import load
from tourney.model.plan import DrawnFinals, DrillOffHeat, Heat, Plan, SealedSet, Wave
from tourney.verify.finals import finals_lines

Change = Callable[[Plan], Plan]
GROWERS = "Growers"


@pytest.fixture(scope="module")
def sound(drawn_day: Any) -> Plan:
    """The garden day with a knockout of four in three heats after the rounds, written down by hand."""
    plan = load(Plan, drawn_day.plan)
    seeds: list[str] = []
    for team in plan.teams:
        if team.division == GROWERS and [plan.team[one].club for one in seeds].count(team.club) < 2:
            seeds.append(team.id)
    one, two, three, four = seeds[:4]
    like = next(heat for heat in plan.heats if heat.division == GROWERS)
    start = max(wave.end for wave in plan.waves) + timedelta(minutes=10)
    waves = [Wave(f"W{90 + n}", start + timedelta(minutes=30 * n), 20) for n in range(2)]
    sets = tuple(SealedSet(f"G-FINAL-{n}", GROWERS, "final", "sha256:0") for n in (8, 9))

    def heat(key: str, stage: int, teams: Sequence[str]) -> Heat:
        return replace(
            like, id=key, round=3 + stage, wave=waves[stage - 1].id, teams=tuple(teams), call_set=sets[stage - 1].id
        )

    finals = DrawnFinals(GROWERS, "G", "knockout", 2, (one, two, three, four), (one, two, three, four))
    held = (heat("G-F1-1", 1, (one, four)), heat("G-F1-2", 1, (two, three)), heat("G-F2-1", 2, (one, two)))
    return replace(
        plan,
        waves=(*plan.waves, *waves),
        heats=(*plan.heats, *held),
        call_sets=(*plan.call_sets, *sets),
        finals=(finals,),
    )


def with_heat(plan: Plan, key: str, **changed: Any) -> Plan:
    return replace(plan, heats=tuple(replace(heat, **changed) if heat.id == key else heat for heat in plan.heats))


def with_finals(plan: Plan, **changed: Any) -> Plan:
    return replace(plan, finals=(replace(plan.finals[0], **changed),))


def other(plan: Plan) -> str:
    """A team that is no seed."""
    return next(team.id for team in plan.teams if team.id not in plan.finals[0].seeds)


def a_stranger(plan: Plan) -> Plan:
    return with_heat(plan, "G-F2-1", teams=(plan.finals[0].seeds[0], other(plan)))


def a_seed_twice(plan: Plan) -> Plan:
    first, *rest = plan.finals[0].seeds
    return with_finals(plan, seeds=(first, first, *rest[1:]), placed=(first, first, *rest[1:]))


def a_seed_of_another_division(plan: Plan) -> Plan:
    strange = other(plan)
    return with_finals(plan, seeds=(*plan.finals[0].seeds, strange), placed=(*plan.finals[0].placed, strange))


def places_of_others(plan: Plan) -> Plan:
    return with_finals(plan, placed=(*plan.finals[0].seeds[:3], other(plan)))


def too_many_of_a_club(plan: Plan) -> Plan:
    club = plan.team[plan.finals[0].seeds[0]].club
    seeds = plan.finals[0].seeds[:3]
    return replace(plan, teams=tuple(replace(team, club=club) if team.id in seeds else team for team in plan.teams))


def before_the_rounds_end(plan: Plan) -> Plan:
    return with_heat(plan, "G-F1-1", wave=plan.waves[0].id)


def calls_of_a_round(plan: Plan) -> Plan:
    first = plan.finals[0].seeds[0]
    heard = next(heat.call_set for heat in plan.rotation if first in heat.teams)
    return with_heat(plan, "G-F2-1", call_set=heard)


def the_same_calls_again(plan: Plan) -> Plan:
    return with_heat(plan, "G-F2-1", call_set="G-FINAL-8")


def two_heats_of_a_stage(plan: Plan) -> Plan:
    one, two, *_ = plan.finals[0].seeds
    return with_heat(plan, "G-F1-2", teams=(one, two))


def both_go_on(plan: Plan) -> Plan:
    return with_heat(plan, "G-F2-1", teams=plan.heat["G-F1-1"].teams)


def a_heat_too_many(plan: Plan) -> Plan:
    more = replace(plan.heat["G-F2-1"], id="G-F3-1", round=6)
    return replace(plan, heats=(*plan.heats, more))


def statuses(plan: Plan) -> dict[str, str]:
    return {line.name: line.status for line in finals_lines(plan)}


def test_sound_finals_keep_every_rule(sound: Plan) -> None:
    assert len(statuses(sound)) == 5 and set(statuses(sound).values()) == {"kept"}
    assert not list(finals_lines(replace(sound, finals=(), heats=sound.rotation)))


def drilled(plan: Plan, about: str = "G-F1-1", **changed: Any) -> Plan:
    """Both teams of the first heat drill once more, half an hour after the last heat."""
    wave = Wave("W99", plan.waves[-1].end + timedelta(minutes=30), 10)
    calls = SealedSet("G-DRILLOFF-9", GROWERS, "drill_off", "sha256:0")
    held = replace(plan.heat["G-F1-1"], id="G-F1-1-D1", wave=wave.id, call_set=calls.id)
    return replace(
        plan,
        waves=(*plan.waves, wave),
        heats=(*plan.heats, replace(held, **changed)),
        call_sets=(*plan.call_sets, calls),
        drill_offs=(DrillOffHeat("G-F1-1-D1", about, 1),),
    )


def test_a_sound_drill_off_keeps_every_rule(sound: Plan) -> None:
    assert len(statuses(drilled(sound))) == 6 and set(statuses(drilled(sound)).values()) == {"kept"}


def test_each_rule_of_drill_offs_can_fail(sound: Plan) -> None:
    first, third = sound.finals[0].seeds[0], sound.finals[0].seeds[2]
    rule = "drill_offs_of_the_level"
    assert statuses(drilled(sound, teams=(first, third)))[rule] == "broken"
    assert statuses(drilled(sound, teams=(first,)))[rule] == "broken"
    assert statuses(drilled(sound, wave=sound.heat["G-F1-1"].wave))[rule] == "broken"
    assert statuses(drilled(sound, call_set="G-FINAL-9"))[rule] == "broken"
    assert statuses(drilled(sound, call_set="G-FINAL-8"))["finals_hear_fresh_calls"] == "broken"
    assert statuses(drilled(sound, "", wave=sound.waves[0].id))["finals_after_the_rounds"] == "broken"


@pytest.mark.parametrize(
    ("change", "broken"),
    [
        (a_stranger, "finals_of_seeds"),
        (a_seed_twice, "finals_of_seeds"),
        (a_seed_of_another_division, "finals_of_seeds"),
        (places_of_others, "finals_of_seeds"),
        (too_many_of_a_club, "finals_of_seeds"),
        (before_the_rounds_end, "finals_after_the_rounds"),
        (calls_of_a_round, "finals_hear_fresh_calls"),
        (the_same_calls_again, "finals_hear_fresh_calls"),
        (two_heats_of_a_stage, "finals_stage_after_stage"),
        (both_go_on, "finals_without_who_lost"),
        (a_heat_too_many, "finals_without_who_lost"),
    ],
    ids=lambda value: getattr(value, "__name__", value),
)
def test_each_rule_can_fail(sound: Plan, change: Change, broken: str) -> None:
    assert statuses(change(sound))[broken] == "broken"


def test_a_heat_that_is_open_once_more_is_noted(sound: Plan) -> None:
    older = two_heats_of_a_stage(sound)
    newer = with_heat(older, "G-F1-1", since=older.revision + 1)
    assert statuses(newer)["finals_stage_after_stage"] == "noted"
