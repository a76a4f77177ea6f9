"""Totals that were added up on paper and typed beside the marks: they find the box in which the typing slipped.

Each line counts its letters, so a letter too many and another too few point at the boxes of that line.
"""

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass

from tourney.intake.grid import FORMULA, Grid, Place, cell_name
from tourney.intake.marks import plain, quoted
from tourney.model.event import Points
from tourney.model.sheet import LETTERS, Letter, Marked
from tourney.model.sheet_layout import POINTS
from tourney.scoring.marks import points_of


@dataclass(frozen=True)
class HandTotals:
    """What was typed for one line. places: a letter or POINTS -> its cell. calls: call -> column of the boxes.

    marks: what was read in the boxes of the line. whole: every one of its boxes was judged and could be read.
    """

    grid: Grid
    line: int
    row: int
    places: Mapping[str, Place]
    calls: Mapping[int, int]
    marks: Sequence[Marked]
    whole: bool

    def slips(self, scale: Points) -> Iterator[tuple[Place, str]]:
        """Every total that the marks don't come to, with where to look; nothing where no total was typed by hand."""
        typed: dict[str, int] = {}
        for what, place in self.places.items():
            text = plain(self.grid.at(place))
            if not text or self.grid.doubt(place) == FORMULA:
                continue
            if text.isascii() and text.isdecimal() and len(text) < 5:
                typed[what] = int(text)
            else:
                yield place, f"The total says {quoted(text)}: type a whole number."
        if not typed:
            return
        over: list[Letter] = [letter for letter in LETTERS if self._count(letter) > typed.get(letter, 10_000)]
        under: list[Letter] = [letter for letter in LETTERS if self._count(letter) < typed.get(letter, 0)]
        for letter in (*over, *under):
            yield self.places[letter], self._words(letter, typed[letter], over if letter in under else under)
        made = sum(points_of(mark.letters, scale) for mark in self.marks)
        made += scale.call * (len(self.calls) - len(self.marks))
        if self.whole and not (over or under) and typed.get(POINTS, made) != made:
            yield (
                self.places[POINTS],
                f"Line {self.line} has {typed[POINTS]} points on paper, but its marks make {made}.",
            )

    def _count(self, letter: Letter) -> int:
        return sum(letter in mark.letters for mark in self.marks)

    def _words(self, letter: Letter, typed: int, others: Collection[Letter]) -> str:
        """What to compare. others: letters of which it is the other way round."""
        read = self._count(letter)
        said = f"Line {self.line} has {typed} {letter} on paper, but {read} in its boxes."
        if read > typed:
            return f"{said} Look at {self._boxes([letter])}."
        if others:
            return f"{said} Look at {self._boxes(others)}: was it {letter}?"
        return f"{said} One may be missing in a box that is empty or holds another letter."

    def _boxes(self, letters: Collection[Letter]) -> str:
        columns = [self.calls[mark.call] for mark in self.marks if set(letters) & set(mark.letters)]
        return ", ".join(cell_name((self.row, column)) for column in columns)
