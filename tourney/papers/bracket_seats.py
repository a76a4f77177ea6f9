"""One heat of a bracket book: what is typed into it, the places these make, and the same as formulas.

Every place is worked out twice, here and by the formulas, so that programs that don't calculate show the truth too.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from tourney.model.bracket import Bracket, BracketHeat
from tourney.papers.bracket_tree import NOT_NEEDED
from tourney.papers.cells import Formula, cell_name

DRILL_OFF = "drill-off"
ABSENT = "–"  # typed as points: the team did not stand
# Columns to the right of a heat's teams. KEY, AHEAD and LEVEL lead to the place and are out of sight.
POINTS, EXTRA, PLACE, KEY, AHEAD, LEVEL, NEXT = 1, 2, 3, 4, 5, 6, 8

Typed = Fraction | str | None  # points, ABSENT, or nothing yet
Key = tuple[Fraction, int]


@dataclass(frozen=True, slots=True)
class Entries:
    """What is typed for one heat, seat by seat. extra: results of a drill-off, more is better."""

    points: tuple[Typed, ...]
    extra: tuple[int | None, ...]

    @property
    def keys(self) -> tuple[Key, ...]:
        """What seats are ranked by; none until all points are typed. Who did not stand counts as -1."""
        if None in self.points:
            return ()
        made = (points if isinstance(points, Fraction) else Fraction(-1) for points in self.points)
        return tuple((points, extra or 0) for points, extra in zip(made, self.extra, strict=True))


@dataclass(frozen=True, slots=True)
class Ways:
    """Where the teams of a heat go. cuts: places after which they part. on: whether any other heat asks for them."""

    cuts: tuple[int, ...]
    on: bool

    @staticmethod
    def of(bracket: Bracket, heat: BracketHeat) -> "Ways":
        """The ways out of a heat; from the last one its winner is told apart, if the bracket says so."""
        to = {source.place: other.id for other in bracket.heats for source in other.sources if source.heat == heat.id}
        count = len(heat.sources)
        if to:
            return Ways(tuple(place for place in range(1, count) if to.get(place) != to.get(place + 1)), on=True)
        return Ways((heat.moves_on,) if 0 < heat.moves_on < count else (), on=False)

    def places(self, keys: Sequence[Key]) -> tuple[int | str, ...]:
        """Each seat's place: DRILL_OFF where level teams would part.

        Others who are level go by their seats, or share a place where nobody asks any more.
        """
        found: list[int | str] = []
        for seat, key in enumerate(keys):
            ahead, level = sum(other > key for other in keys), keys.count(key)
            split = any(ahead < cut < ahead + level for cut in self.cuts)
            found.append(DRILL_OFF if split else 1 + ahead + (keys[:seat].count(key) if self.on else 0))
        return tuple(found)


def entries_of(heat: BracketHeat, ways: Ways) -> Entries:
    """What has to be typed so that a heat ends as it did; nothing for one that was not heard.

    Where points leave open who goes on, or who stands before whom in the end, the order is typed as a drill-off's; so
    is that of teams without points.
    """
    nothing = (None,) * len(heat.sources)
    if not heat.order:
        return Entries(nothing, nothing)
    made = dict(zip(heat.order, heat.points, strict=False))
    points: tuple[Typed, ...] = tuple(made.get(team or "", ABSENT) for team in heat.teams)
    better, keys = _better(heat), Entries(points, nothing).keys
    extra: list[int | None] = []
    for team, key, place in zip(heat.teams, keys, ways.places(keys), strict=True):
        level = {better.get(other or "", 0) for other, its in zip(heat.teams, keys, strict=True) if its == key}
        told = place == DRILL_OFF or (not ways.on and len(level) > 1)
        extra.append(better.get(team or "", 0) if told else None)
    return Entries(points, tuple(extra))


def _better(heat: BracketHeat) -> dict[str, int]:
    """A number for each team of a heat that was heard: more for a better one, the same where they share a place."""
    found: dict[str, int] = {}
    for at, team in enumerate(heat.order):
        shared = at and None not in (places := heat.places[at - 1 : at + 1]) and len(set(places)) == 1
        found[team] = found[heat.order[at - 1]] if shared else len(heat.order) - at
    return found


@dataclass(frozen=True, slots=True)
class Block:
    """A heat on its sheet. row: of its heading; its seats stand beneath. column: of its teams."""

    heat: BracketHeat
    row: int
    column: int
    ways: Ways
    entries: Entries

    @property
    def places(self) -> tuple[int | str, ...]:
        """Each seat's place, empty while points are missing."""
        return self.ways.places(self.entries.keys) or ("",) * len(self.heat.sources)

    def cell(self, seat: int, what: int = 0) -> str:
        """Such as F9. seat: from 0; what: 0 for the team, or one of the columns above."""
        return cell_name(self.row + 1 + seat, self.column + what)

    def area(self, what: int = 0, seats: int | None = None) -> str:
        """One column of all its seats, or of the first so many, such as F9:F10."""
        last = len(self.heat.sources) if seats is None else seats
        return f"{self.cell(0, what)}:{self.cell(last - 1, what)}"

    def workings(self, seat: int) -> Iterator[tuple[int, Formula]]:
        """The formulas to the right of a seat's entries, each with its column."""
        keys, count = self.entries.keys, len(self.heat.sources)
        points, extra, key, ahead, level = (self.cell(seat, what) for what in (POINTS, EXTRA, KEY, AHEAD, LEVEL))
        typed = self.entries.points[seat]

        def once_full(formula: str, value: float | str) -> Formula:
            return Formula(f'=IF(COUNT({self.area(KEY)})<{count},"",{formula})', value if keys else "")

        yield KEY, Formula(f'=IF({points}="","",IF(ISNUMBER({points}),{points},-1))', _key(typed))
        every, all_extra = self.area(KEY), self.area(EXTRA)
        more = f"SUMPRODUCT(({every}>{key})+({every}={key})*({all_extra}>{extra}))"
        yield AHEAD, once_full(more, sum(other > keys[seat] for other in keys) if keys else 0)
        same = f"SUMPRODUCT(({every}={key})*({all_extra}={extra}))"
        yield LEVEL, once_full(same, keys.count(keys[seat]) if keys else 0)
        place = f"1+{ahead}"
        if self.ways.on and seat:
            place += f"+SUMPRODUCT(({self.area(KEY, seat)}={key})*({self.area(EXTRA, seat)}={extra}))"
        if self.ways.cuts:
            splits = ",".join(f"AND({ahead}<{cut},{cut}<{ahead}+{level})" for cut in self.ways.cuts)
            place = f'IF(OR({splits}),"{DRILL_OFF}",{place})'
        yield PLACE, once_full(place, self.places[seat])

    def taker(self, place: int, otherwise: str, names: Sequence[str], *, deciding: bool = False) -> Formula:
        """The formula of a seat that the team on a place of this heat takes. names: in this heat's seats.

        otherwise: what stands there until then, such as "winner of Heat 3". deciding: the seat is of a heat that is not
        needed once the team on this one's first seat, unbeaten until then, has won.
        """
        if deciding:
            then = self.taker(place, otherwise, names)
            won = f'=IF({self.cell(0, PLACE)}=1,"{NOT_NEEDED}",{then.text[1:]})'
            return Formula(won, NOT_NEEDED if self.places[0] == 1 else then.value)
        said = otherwise.replace('"', '""')
        found = f'IFERROR(INDEX({self.area()},MATCH({place},{self.area(PLACE)},0)),"{said}")'
        text = f'=IF(COUNTIF({self.area(PLACE)},"{DRILL_OFF}")>0,"{DRILL_OFF}",{found})'
        if DRILL_OFF in self.places:
            return Formula(text, DRILL_OFF)
        return Formula(text, names[self.places.index(place)] if place in self.places else otherwise)


def as_number(points: Fraction) -> float:
    """Points as a cell holds them."""
    return points.numerator if points.denominator == 1 else float(points)


def _key(typed: Typed) -> float | str:
    if typed is None:
        return ""
    return as_number(typed) if isinstance(typed, Fraction) else -1
