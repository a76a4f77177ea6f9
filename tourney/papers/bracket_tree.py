"""Finals as trees, which text, page and workbook draw alike: the winner of a heat takes a seat of the next one."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from tourney.model.bracket import Bracket, BracketHeat, Side, Source
from tourney.scoring.words import ordinal

TABLES = ("line", "last_out")  # kinds of finals that are a list of heats and not a tree
NOT_NEEDED = "not needed"  # a deciding heat, once the unbeaten team has won the heat before
SIDES: dict[Side, str] = {
    "main": "Not beaten",
    "second": "Beaten once",
    "deciding": "For the title",
    "placement": "",  # each of its drawings is called by its last heat
}


@dataclass(frozen=True, slots=True)
class Leaf:
    """A seat that no winner of the same tree takes. seed: its number, None for who comes from elsewhere: see words."""

    seed: int | None
    words: str
    team: str | None


@dataclass(frozen=True, slots=True)
class Node:
    """A heat. column: its place among the stages of its tree, from 0. seats: in the order of its sources."""

    heat: BracketHeat
    column: int
    seats: tuple["Leaf | Node", ...]

    @property
    def leaves(self) -> int:
        """How many rows it takes, one a leaf."""
        return sum(seat.leaves if isinstance(seat, Node) else 1 for seat in self.seats)

    @property
    def nodes(self) -> Iterator["Node"]:
        """All heats of this tree, earlier ones first."""
        for seat in self.seats:
            if isinstance(seat, Node):
                yield from seat.nodes
        yield self


@dataclass(frozen=True, slots=True)
class Tree:
    """One drawing. title: what is at stake. columns: stages."""

    title: str
    root: Node
    columns: int


def trees(bracket: Bracket) -> tuple[Tree, ...]:
    """Every tree, side by side as SIDES has them. Together they hold each heat once."""
    heats = {heat.id: heat for heat in bracket.heats}
    feeds = {
        (source.heat, heat.side)
        for heat in bracket.heats
        for source in heat.sources
        if source.heat and source.place == 1
    }
    found = []
    for side, title in SIDES.items():
        roots = [heat for heat in bracket.heats if heat.side == side and (heat.id, side) not in feeds]
        for root in roots:
            if side == "main" and bracket.kind != "double_knockout":
                named = ""
            else:
                named = root.name if side == "placement" else f"{title}: {root.name}" if side == "deciding" else title
            found.append(_numbered(named, _node(root, heats)))
    return tuple(found)


def _node(heat: BracketHeat, heats: Mapping[str, BracketHeat]) -> Node:
    def seat(source: Source, team: str | None) -> Leaf | Node:
        before = heats.get(source.heat)
        if before is not None and source.place == 1 and before.side == heat.side:
            return _node(before, heats)
        return Leaf(source.seed, came_from(source, heats), team)

    return Node(heat, heat.stage, tuple(map(seat, heat.sources, heat.teams)))


def _numbered(title: str, root: Node) -> Tree:
    stages = sorted({node.heat.stage for node in root.nodes})

    def numbered(node: Node) -> Node:
        seats = tuple(numbered(seat) if isinstance(seat, Node) else seat for seat in node.seats)
        return replace(node, column=stages.index(node.heat.stage), seats=seats)

    return Tree(title, numbered(root), len(stages))


def came_from(source: Source, heats: Mapping[str, BracketHeat]) -> str:
    """Who takes a seat, while it is not known: "seed 3", "winner of Semi-final 1", "loser of", "3rd of"."""
    if source.seed is not None:
        return f"seed {source.seed}"
    before = heats[source.heat]
    if source.place == 1:
        return f"winner of {before.name}"
    if source.place == 2 == len(before.sources):
        return f"loser of {before.name}"
    return f"{ordinal(source.place)} of {before.name}"


def in_parts(tree: Tree, most: int) -> tuple[Tree, ...]:
    """The tree in drawings of at most so many leaves: its lower parts, then what their winners come to."""
    if tree.root.leaves <= most:
        return (tree,)
    parts: list[Node] = []

    def cut(node: Node) -> Node:
        seats: list[Leaf | Node] = []
        for seat in node.seats:
            if isinstance(seat, Leaf):
                seats.append(seat)
            elif seat.leaves > most:
                seats.append(cut(seat))
            else:
                parts.append(seat)
                seats.append(Leaf(None, f"winner of {seat.heat.name}", seat.heat.winner))
        return replace(node, seats=tuple(seats))

    top = cut(tree.root)
    if not parts:
        return (tree,)
    drawn = [_numbered(f"{tree.title} Part {number}".strip(), part) for number, part in enumerate(parts, 1)]
    return (*drawn, *in_parts(_numbered(f"{tree.title} What follows".strip(), top), most))
