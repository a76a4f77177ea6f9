"""The rotation drawn for people, in SVG 1.1: who meets whom, and each team's day. Greys alone, no name of a person.

Measures are in mm. Letters and figures run from left to right whatever the page does; each drawing carries all it says
in words, for those who can't see it.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import combinations
from xml.sax.saxutils import escape

from tourney.model.people import Team
from tourney.model.plan import Heat
from tourney.papers.views import Hall

INK, SOFT, TINT, MID = "#000", "#555", "#e4e4e4", "#bdbdbd"
ROWS = 30  # teams along one side of a drawing
MOST = 4 * ROWS  # teams of a division beyond which the drawings would fill too much paper
LABEL, CELL, ROW, TOP = 15.0, 7.5, 5.6, 9.0  # column of team ids, largest cell, a team's line, what stands above
GAP = 0.7


@dataclass(frozen=True, slots=True)
class Drawing:
    """One picture. key: how to read it. words: what it shows, as text. height: with its heading and key."""

    title: str
    key: str
    words: str
    svg: str
    height: float


def drawings(hall: Hall, width: float) -> tuple[Drawing, ...]:
    """Both pictures of each division, in parts where it has many teams. width: of the paper between its margins."""
    found: list[Drawing] = []
    for division in hall.plan.event.divisions:
        teams = [team for team in hall.plan.teams if team.division == division.name]
        heats = [heat for heat in hall.plan.heats if heat.division == division.name]
        if heats and 1 < len(teams) <= MOST:
            parts = [teams[start : start + ROWS] for start in range(0, len(teams), ROWS)]
            found += [_meetings(rows, columns, heats, width) for rows in parts for columns in parts]
            found += [_days(hall, rows, heats, width) for rows in parts]
    return tuple(found)


def _meetings(rows: Sequence[Team], columns: Sequence[Team], heats: Sequence[Heat], width: float) -> Drawing:
    """A square for each two teams, with the rounds in which they meet."""
    met: dict[tuple[str, str], list[str]] = {}
    for heat in heats:
        for one, other in combinations(heat.teams, 2):
            met.setdefault((one, other), []).append(str(heat.round))
            met.setdefault((other, one), []).append(str(heat.round))
    cell = min(CELL, (width - LABEL) / len(columns))
    shapes = [letters(LABEL + (n + 0.5) * cell, TOP - 2, team.id, cell * 0.4, SOFT) for n, team in enumerate(columns)]
    for number, team in enumerate(rows):
        y = TOP + number * cell
        shapes.append(letters(LABEL - 2, y + cell * 0.68, team.id, min(3.2, cell * 0.6), INK, "end"))
        for column, opponent in enumerate(columns):
            rounds = met.get((team.id, opponent.id), [])
            shapes += _square(LABEL + column * cell, y, cell, team, opponent, rounds)
    words = "; ".join(_opponents(team, columns, met) for team in rows)
    title = f"{rows[0].division}: who meets whom{_part(rows, columns)}"
    key = (
        "A figure is the round in which two teams meet. Grey with a stroke: teams of one club. Thick: they meet again."
    )
    return _drawing(title, key, words, shapes, LABEL + len(columns) * cell + 0.5, TOP + len(rows) * cell)


def _square(x: float, y: float, cell: float, team: Team, other: Team, rounds: Sequence[str]) -> Iterator[str]:
    same_club = team.club == other.club
    fill = MID if team.id == other.id else TINT if same_club else "#fff"
    yield box(x, y, cell, cell, fill, 0.2)
    if same_club and team.id != other.id:
        yield f'<path d="M{x:.2f} {y + cell:.2f}l{cell:.2f} {-cell:.2f}" stroke="{SOFT}" stroke-width="0.2"/>'
    if len(rounds) > 1:
        yield box(x + 0.4, y + 0.4, cell - 0.8, cell - 0.8, "none", 0.7)
    if rounds:
        said = ",".join(rounds)
        yield letters(x + cell / 2, y + cell * 0.68, said, min(cell * 0.55, 1.5 * cell / len(said)), INK)


def _opponents(team: Team, columns: Sequence[Team], met: dict[tuple[str, str], list[str]]) -> str:
    found = [
        f"{other.id} in round {', '.join(met[team.id, other.id])}" for other in columns if (team.id, other.id) in met
    ]
    return f"{team.id} meets {', '.join(found) or 'none of these'}"


def _days(hall: Hall, teams: Sequence[Team], heats: Sequence[Heat], width: float) -> Drawing:
    """A line for each team with a box for each heat, along the clock."""
    first, last = hall.plan.waves[0].start, hall.plan.waves[-1].end
    scale = (width - LABEL - 2) / max(1.0, (last - first) / timedelta(minutes=1))

    def at(moment: datetime) -> float:
        return LABEL + (moment - first) / timedelta(minutes=1) * scale

    bottom = TOP + len(teams) * ROW
    shapes = list(_clock(hall, at, bottom))
    words = []
    for row, team in enumerate(teams):
        y = TOP + row * ROW
        mine = sorted(
            (heat for heat in heats if team.id in heat.teams), key=lambda heat: hall.plan.wave[heat.wave].start
        )
        shapes.append(letters(LABEL - 2, y + ROW * 0.68, team.id, 3.2, INK, "end"))
        shapes.append(f'<path d="M{LABEL} {y + ROW / 2:.2f}H{width - 2:.2f}" stroke="{MID}" stroke-width="0.2"/>')
        said = []
        for heat in mine:
            wave = hall.plan.wave[heat.wave]
            shapes.append(box(at(wave.start), y + GAP, at(wave.end) - at(wave.start), ROW - 2 * GAP, "#fff", 0.35))
            shapes.append(letters((at(wave.start) + at(wave.end)) / 2, y + ROW * 0.68, str(heat.round), 3.0, INK))
            said.append(f"round {heat.round} at {hall.clock(wave.start)} in {heat.room}")
        words.append(f"{team.id}: {', '.join(said) or 'no heat'}")
    title = f"{teams[0].division}: each team’s day{_part(teams, teams)}"
    key = "A box is a heat, with its round. Grey: a pause of the whole hall."
    return _drawing(title, key, "; ".join(words), shapes, width, bottom)


def _clock(hall: Hall, at: Callable[[datetime], float], bottom: float) -> Iterator[str]:
    """Pauses, and a line at each half hour with the time at each full one."""
    waves = hall.plan.waves
    for pause in hall.plan.event.day.pauses:
        if pause.after_wave < len(waves):
            start = waves[pause.after_wave - 1].end
            end = start + timedelta(minutes=pause.minutes)
            yield box(at(start), TOP, at(end) - at(start), bottom - TOP, TINT, 0)
    first = waves[0].start
    moment = first + timedelta(minutes=-first.minute % 30)
    while moment <= waves[-1].end:
        yield f'<path d="M{at(moment):.2f} {TOP - 1}V{bottom:.2f}" stroke="{MID}" stroke-width="0.2"/>'
        if moment.minute == 0:
            yield letters(at(moment), TOP - 2, hall.clock(moment), 3.2, SOFT)
        moment += timedelta(minutes=30)


def _part(rows: Sequence[Team], columns: Sequence[Team]) -> str:
    """Which teams are in this part of a large division; nothing for a whole one."""
    if len(rows) == len(columns) < ROWS:
        return ""
    return f", {rows[0].id} to {rows[-1].id}" + (
        f" against {columns[0].id} to {columns[-1].id}" if rows != columns else ""
    )


def _drawing(title: str, key: str, words: str, shapes: Iterable[str], width: float, height: float) -> Drawing:
    return Drawing(title, key, words, svg(title, words, shapes, width, height + 1), height + 22)


def svg(title: str, words: str, shapes: Iterable[str], width: float, height: float) -> str:
    """A picture of so many mm from its shapes. title, words: what it shows, for those who can't see it."""
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width:.2f} {height:.2f}" width="{width:.2f}mm" '
        f'height="{height:.2f}mm" role="img" direction="ltr" font-family="sans-serif">'
    )
    return f"{head}<title>{escape(title)}</title><desc>{escape(words)}</desc>{''.join(shapes)}</svg>"


def box(x: float, y: float, width: float, height: float, fill: str, line: float) -> str:
    """A rectangle with an inked outline, `line` mm wide."""
    return (
        f'<rect x="{x:.2f}" y="{y:.2f}" width="{width:.2f}" height="{height:.2f}" fill="{fill}" stroke="{INK}" '
        f'stroke-width="{line}"/>'
    )


def letters(
    x: float, y: float, words: str, size: float, ink: str, anchor: str = "middle", *, bold: bool = False
) -> str:
    """Words beginning, centred or ending at x (anchor: start, middle or end), on the line y. size: mm."""
    place = f'x="{x:.2f}" y="{y:.2f}" font-size="{size:.2f}" text-anchor="{anchor}"'
    weight = ' font-weight="bold"' if bold else ""
    return f'<text {place} fill="{ink}"{weight}>{escape(words)}</text>'
