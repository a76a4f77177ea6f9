"""The standings as pages: for the wall with the names that may be shown, for the web with children by number."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from fractions import Fraction

from tourney.canon.syllabus import Syllabus
from tourney.model.people import Roster
from tourney.model.plan import Plan
from tourney.model.standing import ContestantStanding, DivisionResults, Results, TeamStanding
from tourney.papers.drawings import INK, MID, box, letters, svg
from tourney.papers.page_writer import Page, Writer
from tourney.papers.paging import LEADING, Sheet, Words, in_pages
from tourney.papers.sections_table import every_section, sections_heard
from tourney.papers.stamp import shown_chain
from tourney.papers.standings_table import ADVANCES, NO_HEAT
from tourney.papers.text_cells import MM_PER_POINT
from tourney.papers.views import DivisionLabel, Hall
from tourney.scoring.words import number, place_range, place_words

STRIP = (31.5, 9.0)  # mm of the bars that show a team's rounds
NOTE_MM, HEAD_MM = 14.0, 9.0
POOL_MM = 9.0  # the line that names a pool, or says who the others are
TEAM = 60.0  # mm of the column of names
BESIDE_REASON, BESIDE_CHILD = 172.0, 106.0  # mm of the columns beside the reason, and beside child and team
BESIDE_OTHER = 162.0  # mm of the columns beside the reason, of the others
BESIDE_STRIP, STRIP_HEAD_MM, MOST_SECTIONS = 78.0, 26.0, 12
LINE = 11 * LEADING * MM_PER_POINT


@dataclass(frozen=True, slots=True)
class TeamRow:
    """One team on the page. rounds: its points round by round, drawn. still: the places it can still take.

    pool: "" where the division is not parted. first: of its pool.
    """

    place: str
    name: str
    club: str
    points: str
    available: str
    heat_points: int | None
    rounds: str
    reason: str
    change: str
    still: str
    advances: str
    pool: str = ""
    first: bool = False


@dataclass(frozen=True, slots=True)
class OtherRow:
    """A team that is not among the first of its pool, in the order of all pools."""

    place: str
    name: str
    club: str
    pool: str
    points: str
    reason: str
    advances: str


@dataclass(frozen=True, slots=True)
class ChildRow:
    """One contestant on the page. name: as it may be shown there."""

    place: str
    name: str
    team: str
    points: str
    available: str
    band: str


@dataclass(frozen=True, slots=True)
class StripRow:
    """What one team found, section by section. boxes: one a section and one for all, drawn; empty if nothing came."""

    place: str
    name: str
    boxes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Standings:
    """One sheet: teams, what they found, or children of a division. sections: names of the strips' columns.

    others: who is not among the first of a pool.
    """

    division: DivisionLabel
    teams: tuple[TeamRow, ...] = ()
    others: tuple[OtherRow, ...] = ()
    sections: tuple[str, ...] = ()
    strips: tuple[StripRow, ...] = ()
    children: tuple[ChildRow, ...] = ()


def results_pages(
    plan: Plan, roster: Roster, results: Results, chain: str, now: datetime, syllabus: Syllabus
) -> Iterator[Page]:
    """wall.html and web.html; paths are below results/. chain: the hash of the record's last row. now: aware.

    On the web a child is a number: what families allowed for the hall they have not allowed for everybody.
    What was called from each section is shown once results are final: until then it would help who still counts calls.
    """
    hall, write = Hall(plan, roster), Writer(plan)
    final = results.state == "final"
    told = results.divisions if final else ()
    strips = {found.division: _strips(hall, found, write.wide, syllabus) for found in told}
    for path, title, on_web in (("wall.html", "Results", False), ("web.html", "Results", True)):
        sheets = [
            sheet
            for found in results.divisions
            for sheet in (
                *_teams(hall, found, write.wide),
                *strips.get(found.division, ()),
                *_children(hall, found, write.wide, on_web=on_web),
            )
        ]
        yield write(
            path,
            "results.html",
            title,
            turn="landscape",
            copies=0 if on_web else 1,
            sheets=sheets,
            final=final,
            matters=len(results.open_matters),
            as_of=hall.clock(now),
            chain=shown_chain(chain),
            on_web=on_web,
        )


def _teams(hall: Hall, found: DivisionResults, sheet: Sheet) -> Iterator[Standings]:
    heats = hall.plan.event.division(found.division).rank_by == "heat_points"
    most = max((points for row in found.teams for points in row.round_points), default=Fraction(0))
    teams = [
        replace(_team(hall, row, most, found.unheard, with_heats=heats), first=row is rows[0] and bool(pool))
        for pool, rows in found.pools.items()
        for row in rows
    ]
    label = hall.divisions[found.division]
    room = sheet.room - NOTE_MM - HEAD_MM - POOL_MM * any(row.pool for row in teams)
    for some in in_pages(teams, lambda row: _team_mm(row, sheet), room):
        yield Standings(label, some)
    others = [_other(hall, place_words(place, shared=shared), row) for place, shared, row in found.others]
    if others:
        for few in in_pages(others, lambda row: _other_mm(row, sheet), sheet.room - NOTE_MM - HEAD_MM - POOL_MM):
            yield Standings(label, others=few)


def _children(hall: Hall, found: DivisionResults, sheet: Sheet, *, on_web: bool) -> Iterator[Standings]:
    children = [_child(hall, row, on_web=on_web) for row in found.contestants]
    if children:
        for some in in_pages(children, lambda row: _child_mm(row, sheet), sheet.room - NOTE_MM - HEAD_MM):
            yield Standings(hall.divisions[found.division], children=some)


def _strips(hall: Hall, found: DivisionResults, sheet: Sheet, syllabus: Syllabus) -> tuple[Standings, ...]:
    """Sheets with a strip a team; none where nothing was called, or from too many sections to be read."""
    keys = sections_heard(found, syllabus)
    if not 0 < len(keys) <= MOST_SECTIONS:
        return ()
    names = (*map(syllabus.section_name, keys), "All")
    width = (sheet.width - BESIDE_STRIP) / len(names) - 3
    rows = []
    for row in found.teams:
        both = [*(row.sections.get(key, (0, 0)) for key in keys), every_section(row, keys)]
        boxes = tuple(found_drawn(name, *pair, width) for name, pair in zip(names, both, strict=True))
        place = place_words(row.place, shared=row.shared)
        rows.append(StripRow(f"{row.pool} {place}".strip(), hall.teams[row.team].name, boxes))
    pages = in_pages(rows, _strip_mm, sheet.room - NOTE_MM - STRIP_HEAD_MM)
    return tuple(Standings(hall.divisions[found.division], sections=names, strips=some) for some in pages)


def _team(
    hall: Hall, row: TeamStanding, most: Fraction, unheard: frozenset[tuple[str, int]], *, with_heats: bool
) -> TeamRow:
    team, told = hall.teams[row.team], hall.stood - unheard
    rounds = [points if (row.team, at) in told else None for at, points in enumerate(row.round_points, 1)]
    return TeamRow(
        place_words(row.place, shared=row.shared),
        team.name,
        "" if team.club in team.name else team.club,
        number(row.points),
        number(row.available),
        row.heat_points if with_heats else None,
        rounds_drawn(rounds, most),
        row.reason,
        row.change,
        place_range(*row.range),
        ADVANCES[row.advances],
        row.pool,
    )


def _other(hall: Hall, place: str, row: TeamStanding) -> OtherRow:
    team = hall.teams[row.team]
    return OtherRow(
        place,
        team.name,
        "" if team.club in team.name else team.club,
        row.pool,
        f"{number(row.points)} of {number(row.available)}",
        row.across_reason,
        ADVANCES[row.advances],
    )


def _child(hall: Hall, row: ContestantStanding, *, on_web: bool) -> ChildRow:
    return ChildRow(
        place_words(row.place, shared=row.shared),
        row.contestant if on_web else row.shown_as,
        hall.teams[row.team].name,
        number(row.points),
        number(row.available),
        row.band or "",
    )


def rounds_drawn(points: Sequence[Fraction | None], most: Fraction) -> str:
    """A bar a round with its points beneath, in SVG; None for one without a heat, or not in yet. most: the longest."""
    width, height = STRIP
    step = min(width / max(1, len(points)), 9.0)
    shapes = []
    for at, made in enumerate(points):
        said = NO_HEAT if made is None else number(made)
        if made is not None:
            tall = float(made / most) * (height - 3.4) if most else 0.0
            shapes.append(box(at * step + 0.3, height - 3.2 - tall, step - 0.8, tall, MID, 0.15))
        size = min(2.6, 1.7 * step / max(1, len(said)))
        shapes.append(letters(at * step + step / 2, height - 0.5, said, size, INK))
    rounds = enumerate(points, 1)
    words = "; ".join(f"round {at}: {'none' if made is None else number(made)}" for at, made in rounds)
    return svg("Points by round", words, shapes, width, height)


def found_drawn(section: str, found: int, heard: int, width: float) -> str:
    """A bar filled as far as a team found what it heard, with both numbers beneath, in SVG. width: mm."""
    if not heard:
        return ""
    height = STRIP[1]
    shapes = [
        box(0.2, 0.3, width - 0.4, height - 4.0, "#fff", 0.2),
        box(0.2, 0.3, (width - 0.4) * found / heard, height - 4.0, MID, 0.2),
        letters(width / 2, height - 0.5, f"{found} of {heard}", 2.7, INK),
    ]
    return svg(section, f"{found} of {heard} found", shapes, width, height)


def _strip_mm(row: StripRow) -> float:
    return max(Words(row.name, TEAM - 4, 13, bold=True).mm, STRIP[1] + 1.5) + 2.6


def _team_mm(row: TeamRow, sheet: Sheet) -> float:
    width = sheet.width - BESIDE_REASON - 4
    name = Words(row.name, TEAM - 4, 13, bold=True).mm + (Words(row.club, TEAM - 4, 9).mm if row.club else 0)
    why = Words(f"{row.reason}. {row.change}", width, 9).mm
    return max(name, why, STRIP[1] + 1.5, 2 * LINE) + 2.6 + POOL_MM * row.first


def _other_mm(row: OtherRow, sheet: Sheet) -> float:
    width = sheet.width - BESIDE_OTHER - 4
    name = Words(row.name, TEAM - 4, 13, bold=True).mm + (Words(row.club, TEAM - 4, 9).mm if row.club else 0)
    return max(name, Words(f"{row.reason}.", width, 9).mm, 2 * LINE) + 2.6


def _child_mm(row: ChildRow, sheet: Sheet) -> float:
    width = (sheet.width - BESIDE_CHILD) / 2 - 4
    return max(Words(row.name, width, 11, bold=True).mm, Words(row.team, width).mm) + 2.4
