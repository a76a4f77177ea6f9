"""The scores call by call, and what an allowance for strict panels does to places."""

from collections.abc import Callable
from typing import Any

import pytest

from tourney.model.decisions import Decisions
from tourney.model.heard import Allowance
from tourney.model.ruling import Void
from tourney.scoring.adjusted import adjusted_places
from tourney.scoring.division_day import division_day
from tourney.scoring.heard import heard_calls
from tourney.scoring.heats import score_heats

Fill = Callable[..., Any]


@pytest.fixture
def day(make_day: Callable[..., Any]) -> Any:
    return make_day()


def test_what_the_panel_and_each_judge_said(day: Any, fill: Fill) -> None:
    plan, book, _ = day
    heat = plan.heats[0]
    faults = {(heat.id, 1, 1, 2): "L", (heat.id, 2, 1, 2): "L", (heat.id, 3, 2, 3): "S"}
    sheets = fill(day, faults, {(heat.id, 3, 1): "N"})
    heard = heard_calls(plan, book, score_heats(plan, book, sheets))
    assert len(heard) == sum(len(one.line) * 4 for one in plan.heats)
    of = {(one.heat.id, one.line, one.call.no): one for one in heard}
    late, alone, away = of[heat.id, 1, 2], of[heat.id, 2, 3], of[heat.id, 3, 1]
    assert late.word == ("L",) and late.found is False and late.points == 0 and late.given == (0, 0, 10)
    assert alone.word == () and alone.found and alone.marks == ((), (), ("S",))
    assert not away.there and away.found is None and away.answered is None
    asked = [one for one in heard if one.heat.id == heat.id and one.asked]
    assert [(one.call.no, one.line) for one in asked] == list(enumerate(book.speakers_of[heat.id], start=1))
    assert of[heat.id, 1, 1].answered is True and of[heat.id, 1, 2].answered is None


def test_what_is_open_is_not_known(day: Any, fill: Fill) -> None:
    plan, book, _ = day
    heat = plan.heats[0]
    sheets = fill(day, missing=[(heat.id, 1), (heat.id, 2)])
    heard = [one for one in heard_calls(plan, book, score_heats(plan, book, sheets)) if one.heat.id == heat.id]
    assert heard and all(one.word is None and one.points is None and one.found is None for one in heard)
    assert all(one.marks == (None, None, ()) and one.given == (None, None, 10) for one in heard)


def test_a_void_call_was_not_heard(day: Any, fill: Fill) -> None:
    plan, book, _ = day
    heat = plan.heats[0]
    decisions = Decisions(void={(heat.id, 2): Void((heat.id,), 2, None)})
    heard = heard_calls(plan, book, score_heats(plan, book, fill(day), decisions), decisions)
    assert {one.call.no for one in heard if one.heat.id == heat.id} == {1, 3, 4}


def test_an_allowance_moves_a_team_up(day: Any, fill: Fill) -> None:
    plan, book, _ = day
    strict, other = plan.heats[0], plan.heats[1]
    every = {(strict.id, 1, 1): "L", (strict.id, 2, 1): "L", (other.id, 1, 1): "S", (other.id, 2, 1): "S"}
    scores = score_heats(plan, book, fill(day, every_judge=every))
    days = [division_day(plan, plan.event.divisions[0], scores)]
    plain = {row.team: row for row in adjusted_places(days, {}, "")}
    assert all(row.place == row.adjusted and row.points == row.doubt == 0 for row in plain.values())
    made_up = {strict.id: Allowance(0.5, 0.1)}
    after = {row.team: row for row in adjusted_places(days, made_up, "")}
    for team in strict.teams:
        assert after[team].points == 40 and after[team].doubt == pytest.approx(1.96 * 8)
    loser = next(team for team in strict.teams if plain[team].place == max(row.place for row in plain.values()))
    assert after[loser].adjusted < after[loser].place
    assert after[loser].sure, "40 points for strict judges, of which 15.7 are in doubt"
    unsure = {row.team: row for row in adjusted_places(days, {strict.id: Allowance(0.5, 1.0)}, "")}
    assert unsure[loser].adjusted == after[loser].adjusted and unsure[loser].sure is False
    assert not any(row.sure for row in plain.values())
    assert all(after[team].points == 0 for team in other.teams)
