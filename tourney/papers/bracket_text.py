"""A bracket drawn in letters, for the terminal."""

import unicodedata
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from tourney.model.bracket import Bracket
from tourney.papers.bracket_table import line_table, points_in, seat_rows
from tourney.papers.bracket_tree import NOT_NEEDED, TABLES, Leaf, Node, Tree, trees

LONGEST = 26  # letters of a name
JOINT = "┬"


def bracket_text(bracket: Bracket, names: Mapping[str, str], width: int = 100) -> str:
    """The whole finals of a division, in lines of at most `width` letters unless a single name is longer.

    names: team id -> name. A tree too wide for any names gives its stages one after another instead.
    """
    shown = {team: short(names[team], LONGEST) for team in bracket.seeds}
    lines: list[str] = []
    if bracket.kind in TABLES:
        lines += _table(bracket, names)
    for tree in () if bracket.kind in TABLES else trees(bracket):
        lines += ["", *([tree.title] if tree.title else []), *_tree(bracket, tree, shown, width)]
    lines += ["", *bracket.footnotes] if bracket.footnotes else []
    return "\n".join(line.rstrip() for line in lines).strip("\n") + "\n"


def cells(text: str) -> int:
    """How many letters wide a terminal shows a text: wide East Asian letters take two, combining marks none."""
    if text.isascii():
        return len(text)
    return sum(
        2 if unicodedata.east_asian_width(letter) in "WF" else not unicodedata.combining(letter) for letter in text
    )


def short(text: str, most: int) -> str:
    """Text in one line of at most so many letters, with … where something is left out."""
    line = " ".join(text.split())
    if cells(line) <= most:
        return line
    while line and cells(line) > most - 1:
        line = line[:-1]
    return f"{line.rstrip()}…"


@dataclass(frozen=True, slots=True)
class _Seat:
    """A line of the drawing as it comes to a joint: what stands at its left end, and the points at its right end."""

    row: int
    words: str
    points: str


@dataclass(frozen=True, slots=True)
class _Joint:
    column: int
    seats: tuple[_Seat, ...]


def _tree(bracket: Bracket, tree: Tree, names: Mapping[str, str], width: int) -> Iterable[str]:
    ids = {team: team for team in names}
    with_ids = {team: f"{team} {name}" for team, name in names.items()}
    for starts, labels, with_points in ((names, names, True), (with_ids, ids, True), (with_ids, ids, False)):
        joints = list(_joints(tree, starts, labels, with_points=with_points))
        end = _winner(tree.root, labels)
        edges = _edges(joints, tree.columns)
        if edges[-1] + 3 + cells(end) <= width:
            return _drawn(joints, edges, end)
    return _listed(bracket, tree, names)


def _joints(tree: Tree, names: Mapping[str, str], labels: Mapping[str, str], *, with_points: bool) -> Iterator[_Joint]:
    """Every heat, earlier ones first. names: of who starts; labels: of who comes from an earlier heat."""
    row = 0
    figures = len(str(max((leaf.seed or 0 for leaf in _leaves(tree.root)), default=0)))

    def joint(node: Node) -> tuple[int, list[_Joint]]:
        nonlocal row
        seats: list[_Seat] = []
        found: list[_Joint] = []
        for seat in node.seats:
            if isinstance(seat, Node):
                at, below = joint(seat)
                words, team = _winner(seat, labels), seat.heat.winner
                found += below
            else:
                at, team = row, seat.team
                words = _start(seat, names, figures)
                row += 1
            seats.append(_Seat(at, words, points_in(node.heat, team) if with_points else ""))
        return seats[0].row, [*found, _Joint(node.column, tuple(seats))]

    yield from joint(tree.root)[1]


def _leaves(node: Node) -> Iterator[Leaf]:
    for seat in node.seats:
        if isinstance(seat, Node):
            yield from _leaves(seat)
        else:
            yield seat


def _start(leaf: Leaf, names: Mapping[str, str], figures: int) -> str:
    number = "" if leaf.seed is None else f"{leaf.seed:>{figures}} "
    return number + (names[leaf.team] if leaf.team else leaf.words if leaf.seed is None else "")


def _winner(node: Node, labels: Mapping[str, str]) -> str:
    if not node.heat.needed:
        return f"{node.heat.name}: {NOT_NEEDED}"
    return labels[node.heat.winner] if node.heat.winner else node.heat.name


def _edges(joints: Sequence[_Joint], columns: int) -> list[int]:
    """Where each column's joints stand: far enough to the right for the longest line that comes to one of them."""
    began: dict[int, int] = {}  # row -> the column of the joint from which its line comes last
    edges = [0] * columns
    for column in range(columns):
        for joint in (one for one in joints if one.column == column):
            for seat in joint.seats:
                start = edges[began[seat.row]] + 3 if seat.row in began else 0
                need = start + cells(seat.words) + 2 + (cells(seat.points) + 1 if seat.points else 0)
                edges[column] = max(edges[column], need)
        for joint in (one for one in joints if one.column == column):
            began[joint.seats[0].row] = column
    return edges


def _drawn(joints: Sequence[_Joint], edges: Sequence[int], end: str) -> list[str]:
    rows = 1 + max(seat.row for joint in joints for seat in joint.seats)
    lines = [""] * rows
    for column, edge in enumerate(edges):
        for joint in (one for one in joints if one.column == column):
            first, last = joint.seats[0].row, joint.seats[-1].row
            rows_of_seats = {seat.row: seat for seat in joint.seats}
            for row in range(first, last + 1):
                if row in rows_of_seats:
                    sign = JOINT if row == first else "┘" if row == last else "┤"
                    lines[row] = _line(lines[row], rows_of_seats[row], edge) + sign
                else:
                    lines[row] += " " * (edge - cells(lines[row])) + "│"
    lines[joints[-1].seats[0].row] += f"─ {end}"
    return lines


def _line(so_far: str, seat: _Seat, edge: int) -> str:
    """A row up to the joint it comes to: words, a line, and points before the joint."""
    words = (f"{so_far}─ " if so_far else "") + seat.words
    points = f" {seat.points} " if seat.points else ""
    return f"{words} {'─' * (edge - cells(words) - 1 - cells(points))}{points}"


def _listed(bracket: Bracket, tree: Tree, names: Mapping[str, str]) -> Iterator[str]:
    """Stage by stage, a line a heat; points beside each name, and who stays in first."""
    for node in sorted(tree.root.nodes, key=lambda node: node.heat.stage):
        seats = [f"{row.who} {row.points}".strip() for row in seat_rows(bracket, node.heat, names)]
        yield f"{node.heat.name}: {' – '.join(seats)}"


def _table(bracket: Bracket, names: Mapping[str, str]) -> Iterator[str]:
    found = line_table(bracket, {team: short(name, LONGEST) for team, name in names.items()})
    rows = (found.headings, *found.rows)
    widths = [max(cells(row[column]) for row in rows) for column in range(len(found.headings))]
    for row in rows:
        parts = [
            text + " " * (wide - cells(text)) if column == 1 else " " * (wide - cells(text)) + text
            for column, (text, wide) in enumerate(zip(row, widths, strict=True))
        ]
        yield "  ".join(parts)
