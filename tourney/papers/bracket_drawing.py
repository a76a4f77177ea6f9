"""A bracket drawn in SVG 1.1, for pages: greys alone, measures in mm, and all it says in words as well."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cached_property

from tourney.model.bracket import Bracket, BracketHeat
from tourney.papers.bracket_table import points_in, seat_rows
from tourney.papers.bracket_tree import NOT_NEEDED, Leaf, Node, Tree, in_parts, trees
from tourney.papers.drawings import INK, SOFT, Drawing, letters, svg
from tourney.papers.text_cells import MM_PER_POINT, text_width

MOST = 64  # leaves of one drawing
TIGHT, WIDE = 3.5, 9.0  # mm between two leaves
FIRST, BROADER = 0.3, 1.2  # least part of the width for the first column; how much broader than others it would be
NAMED = 22.0  # mm of a column that has room for names; a narrower one shows ids
HEAD = 16.0  # mm that the heading of a drawing and the space around it take
THIN, THICK = 0.25, 0.7
KEY = "Bold: goes on. Beneath a line: the heat in which it was, or will be, decided."
GAPS = 3.0  # mm before a name, behind its points and between the two
TOP = 5.0  # mm of the first row's letters
LETTERS, SMALL, TINY = 4.0, 2.6, 2.5  # mm of letters: names; names too long for their line; when and where
BROADEST = 1.17  # how much wider than the usual ones the broadest common typeface without serifs is

Where = Callable[[BracketHeat], str]


def bracket_drawings(
    bracket: Bracket, names: Mapping[str, str], where: Where, width: float, room: float
) -> tuple[Drawing, ...]:
    """A drawing for each tree, larger ones in parts. names: team id -> name. where: time and room of a heat.

    width, room: mm of the sheet across, and along beneath its heading.
    """
    parts = [part for tree in trees(bracket) for part in in_parts(tree, MOST)]
    return tuple(_Pen(bracket, names, where, width, room, tree).drawing() for tree in parts)


@dataclass(frozen=True)
class _Pen:
    """Draws one tree."""

    bracket: Bracket
    names: Mapping[str, str]
    where: Where
    width: float
    room: float
    tree: Tree

    @property
    def pitch(self) -> float:
        """How many mm there are from one leaf to the next."""
        return max(TIGHT, min(WIDE, (self.room - HEAD - TOP) / self.tree.root.leaves))

    @cached_property
    def size(self) -> float:
        """Height of the letters of all names, in mm: as large as lets every name into its line, within limits."""
        usual = min(LETTERS, self.pitch * 0.7)
        scale = 1.0
        for node in self.tree.root.nodes:
            for seat in node.seats:
                left, team, words = self._seat(seat)
                free = self._edge(node.column) - left - GAPS
                scale = min(scale, free / max(1, _mm(words + points_in(node.heat, team), usual, bold=True)))
        return max(min(SMALL, self.pitch * 0.6), 0.99 * scale * usual)

    def drawing(self) -> Drawing:
        """The whole tree."""
        root = self.tree.root
        y, _, shapes = self._node(root, 0)
        left, won = self._edge(root.column), root.heat.winner is not None
        shapes += self._line(left, self.width, y, self._winner(root), "", ahead=won)
        heats = [self._words(node.heat) for node in root.nodes]
        height = TOP + root.leaves * self.pitch
        title = self.tree.title or "The heats"
        words = ". ".join(heats)
        return Drawing(title, KEY, words, svg(title, words, shapes, self.width, height), height + HEAD)

    def _words(self, heat: BracketHeat) -> str:
        seats = (f"{row.who} {row.points}".strip() for row in seat_rows(self.bracket, heat, self.names))
        return f"{heat.name}: {', '.join(seats)}"

    def _edge(self, column: int) -> float:
        """Where the joints of a column stand; behind the last one there is room for who won."""
        first = self.width * self._first
        return first + column * (self.width - first) / self.tree.columns

    def _node(self, node: Node, row: int) -> tuple[float, int, list[str]]:
        """Height at which the winner's line leaves a heat, the next free row, and everything up to its joint."""
        right = self._edge(node.column)
        shapes: list[str] = []
        heights = []
        for seat in node.seats:
            if isinstance(seat, Node):
                y, row, before = self._node(seat, row)
                shapes += before
            else:
                y, row = TOP + row * self.pitch, row + 1
            left, team, words = self._seat(seat)
            ahead = team is not None and team in node.heat.order[: max(1, node.heat.moves_on)]
            shapes += self._line(left, right, y, words, points_in(node.heat, team), ahead=ahead)
            heights.append(y)
        shapes.append(
            f'<path d="M{right:.2f} {heights[0]:.2f}V{heights[-1]:.2f}" stroke="{INK}" stroke-width="{THIN}"/>'
        )
        middle = sum(heights) / len(heights)
        shapes += self._place(node, right, middle, (heights[-1] - heights[0]) / 2)
        return middle, row, shapes

    def _seat(self, seat: Leaf | Node) -> tuple[float, str | None, str]:
        """Where a seat's line begins, whose it is, and what stands on it."""
        if isinstance(seat, Node):
            return self._edge(seat.column), seat.heat.winner, self._winner(seat)
        return 0.0, seat.team, self._start(seat)

    def _start(self, leaf: Leaf) -> str:
        number = [] if leaf.seed is None else [str(leaf.seed)]
        if leaf.team is None:
            return " ".join(number) or leaf.words
        with_id = [] if self._column >= NAMED else [leaf.team]
        return " ".join([*number, *with_id, self.names[leaf.team]])

    def _winner(self, node: Node) -> str:
        if node.heat.winner is None:
            return "" if node.heat.needed else NOT_NEEDED
        return self.names[node.heat.winner] if self._column >= NAMED else node.heat.winner

    @property
    def _first(self) -> float:
        return max(FIRST, BROADER / (self.tree.columns + BROADER))

    @property
    def _column(self) -> float:
        return self.width * (1 - self._first) / self.tree.columns

    def _line(self, left: float, right: float, y: float, words: str, points: str, *, ahead: bool) -> list[str]:
        size = self.size
        shown = _fitting(words, right - left - GAPS - _mm(points, size, bold=ahead), size, bold=ahead)
        line = THICK if ahead else THIN
        found = [f'<path d="M{left:.2f} {y:.2f}H{right:.2f}" stroke="{INK}" stroke-width="{line}"/>']
        found += [letters(left + 1, y - 0.8, shown, size, INK, "start", bold=ahead)] if shown else []
        return found + ([letters(right - 0.8, y - 0.8, points, size, INK, "end", bold=ahead)] if points else [])

    def _place(self, node: Node, x: float, y: float, free: float) -> list[str]:
        """Beneath the winner's line, where there is room: which heat this is, when and where."""
        said = [node.heat.name, self.where(node.heat)]
        room = int(min(free, self.pitch * 1.4) / (TINY * 1.25))
        fitting = (_fitting(words, self._column - 2, TINY, bold=False) for words in said[:room] if words)
        return [
            letters(x + 1, y + (at + 1) * TINY * 1.2, words, TINY, SOFT, "start") for at, words in enumerate(fitting)
        ]


def _mm(words: str, size: float, *, bold: bool) -> float:
    # A line here cannot wrap, so capitals count in full: they are near three quarters of an em.
    extra = sum(0.2 for letter in words if letter.isupper() and letter not in "MW")
    return BROADEST * (text_width(words, size / MM_PER_POINT, bold=bold) + extra * size)


def _fitting(words: str, width: float, size: float, *, bold: bool) -> str:
    """As much of the words as fits, with … where something is left out."""
    if _mm(words, size, bold=bold) <= width:
        return words
    kept = words
    while kept and _mm(f"{kept}…", size, bold=bold) > width:
        kept = kept[:-1]
    return f"{kept.rstrip()}…"
