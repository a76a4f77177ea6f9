"""Finals in which everyone stands in one line, and every heat of any finals, as rows of a plain table."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass

from tourney.finals.playing import final_places
from tourney.model.bracket import Bracket, BracketHeat
from tourney.papers.bracket_tree import NOT_NEEDED, came_from
from tourney.scoring.words import number, place_words

MOST_HEATS = 5  # that have a column each beside the names of teams, on paper and on the terminal


@dataclass(frozen=True, slots=True)
class SeatRow:
    """A seat of a heat. who: a team's name, or where it comes from while it is not known. goes_on: decided already."""

    who: str
    points: str
    known: bool
    goes_on: bool


@dataclass(frozen=True, slots=True)
class LineTable:
    """Finals in one line: a row a team. rows: seed, team, points a heat or in the last heat alone, place."""

    headings: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


def points_in(heat: BracketHeat, team: str | None) -> str:
    """What a team made in a heat, exactly; empty while it was not heard or where nobody drilled."""
    made = dict(zip(heat.order, heat.points, strict=False))
    return number(made[team]) if team in made else ""


def seat_rows(bracket: Bracket, heat: BracketHeat, names: Mapping[str, str]) -> tuple[SeatRow, ...]:
    """The seats of a heat: best first once it was heard, until then as they were drawn.

    One row that says so for a heat that is not needed.
    """
    if not heat.needed:
        return (SeatRow(NOT_NEEDED, "", known=False, goes_on=False),)
    if heat.order:
        on = max(1, heat.moves_on)
        return tuple(SeatRow(names[team], points_in(heat, team), True, at < on) for at, team in enumerate(heat.order))
    heats = {found.id: found for found in bracket.heats}
    return tuple(
        SeatRow(names[team] if team else came_from(source, heats), "", bool(team), False)
        for team, source in zip(heat.teams, heat.sources, strict=True)
    )


def line_table(bracket: Bracket, names: Mapping[str, str]) -> LineTable:
    """Finals of kind line or last_out. A dash: the team had left by then. Best first as far as that is known.

    Where there are too many heats for a column each, the last one that a team stood in is named.
    """
    place = {team: found for found, team in final_places(bracket)}
    taken = Counter(place.values())
    ordered = sorted(bracket.seeds, key=lambda team: (place.get(team, 0), bracket.seeds.index(team)))
    wide, rows = len(bracket.heats) <= MOST_HEATS, []
    for team in ordered:
        cells = [_cell(heat, team, gone=team in place) for heat in bracket.heats] if wide else _last_heat(bracket, team)
        told = place_words(place[team], shared=taken[place[team]] > 1) if team in place else ""
        rows.append((str(bracket.seeds.index(team) + 1), names[team], *cells, told))
    columns = [heat.name for heat in bracket.heats] if wide else ["Last heat", "Points"]
    return LineTable(("Seed", "Team", *columns, "Place"), tuple(rows))


def _last_heat(bracket: Bracket, team: str) -> list[str]:
    """The last heat that a team stood in, and what it made there; nothing before the first is heard."""
    stood = [heat for heat in bracket.heats if team in heat.order]
    return [stood[-1].name, points_in(stood[-1], team)] if stood else ["", ""]


def _cell(heat: BracketHeat, team: str, *, gone: bool) -> str:
    if team in heat.order:
        return points_in(heat, team)
    return "–" if gone else ""
