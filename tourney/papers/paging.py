"""The paper that pages are printed on, and how blocks are shared out over its sheets."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from math import ceil
from typing import TypeVar

from tourney.papers.text_cells import MM_PER_POINT, text_width

PAPER_MM = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}  # ISO 216; ANSI/ASME Y14.1
MARGINS_MM = (24.0, 26.0)  # across and along, as in print.css; along with a little room to spare
JUDGE_MARGINS_MM = (13.0, 23.0)  # of a judge's sheet, which needs the width
FRAME_MM = 29.0  # what the heading and the stamp of a page take along
LEADING = 1.3
UNEVEN = 1.12  # lines of words never fill their column
Block = TypeVar("Block")


@dataclass(frozen=True, slots=True)
class Sheet:
    """What fits between the margins of one sheet of paper, in mm."""

    paper: str
    width: float
    height: float

    @staticmethod
    def of(paper: str, turn: str = "portrait", margins: tuple[float, float] = MARGINS_MM) -> "Sheet":
        """A4 or Letter, portrait or landscape."""
        width, height = PAPER_MM[paper] if turn == "portrait" else PAPER_MM[paper][::-1]
        return Sheet(paper, width - margins[0], height - margins[1])

    @property
    def room(self) -> float:
        """What heading and stamp leave along."""
        return self.height - FRAME_MM


@dataclass(frozen=True, slots=True)
class Words:
    """Text that wraps in a column. width: mm. points: type size. leading: from line to line, in type sizes."""

    text: str
    width: float
    points: float = 11.0
    bold: bool = False
    leading: float = LEADING

    @property
    def mm(self) -> float:
        """Height that the text takes at most."""
        even = ceil(self._width(self.text) * UNEVEN / self.width)
        return max(even, self._lines) * self.points * self.leading * MM_PER_POINT

    @property
    def _lines(self) -> int:
        """Lines, word after word; a word that is longer than a line begins one of its own and is broken."""
        lines, taken, space = 1, 0.0, self._width(" ")
        for width in map(self._width, self.text.split()):
            if taken and taken + space + width > self.width:
                lines, taken = lines + 1, 0.0
            more = max(0, ceil(width / self.width) - 1)
            lines += more
            taken += (space if taken else 0) + width - more * self.width
        return lines

    def _width(self, text: str) -> float:
        return text_width(text, self.points, bold=self.bold)


def in_pages(
    blocks: Iterable[Block], height: Callable[[Block], float], room: float, first: float = 0.0
) -> tuple[tuple[Block, ...], ...]:
    """Share blocks out over pages, in order, as many on each as its room allows; a larger one has a page alone.

    height: of a block, in mm. first: mm that something else takes on the first page. No blocks make one empty page.
    """
    found: list[list[Block]] = [[]]
    taken = first
    for block in blocks:
        needs = height(block)
        if found[-1] and taken + needs > room:
            found.append([])
            taken = 0.0
        found[-1].append(block)
        taken += needs
    return tuple(map(tuple, found))
