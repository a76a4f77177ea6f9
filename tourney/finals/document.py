"""A bracket as results/finals.json holds it."""

from collections.abc import Sequence
from typing import Any

from tourney.finals.playing import final_places
from tourney.model.bracket import Bracket, BracketHeat, Source
from tourney.model.documents import exact_text


def bracket_document(bracket: Bracket) -> dict[str, Any]:
    """One element of `divisions`. A heat's points are exact; places are there as far as they are decided."""
    return {
        "division": bracket.division,
        "kind": bracket.kind,
        "seeds": [{"seed": seed, "team": team} for seed, team in enumerate(bracket.seeds, 1)],
        "heats": [_heat(heat) for heat in bracket.heats],
        "places": [{"place": place, "team": team} for place, team in final_places(bracket)],
        "footnotes": list(bracket.footnotes),
    }


def _heat(heat: BracketHeat) -> dict[str, Any]:
    return {
        "id": heat.id,
        "stage": heat.stage,
        "name": heat.name,
        "side": heat.side,
        "teams": list(heat.teams),
        "from": [_source(source) for source in heat.sources],
        "wave": heat.wave or None,
        "room": heat.room or None,
        "call_set": heat.call_set or None,
        "order": list(heat.order),
        "points": [exact_text(points) for points in heat.points],
        "winner": heat.winner,
        "needed": heat.needed,
    }


def _source(source: Source) -> dict[str, Any]:
    return {"seed": source.seed} if source.seed is not None else {"heat": source.heat, "place": source.place}


def finals_document(brackets: Sequence[Bracket], state: str) -> dict[str, Any]:
    """All of results/finals.json. state: provisional or final."""
    return {
        "format": "tourney-finals/1",
        "state": state,
        "divisions": [bracket_document(bracket) for bracket in brackets],
    }
