"""Where everything stands on a score sheet, and how large it prints.

Sizes are mm on paper. A box to write in is never smaller than 8 mm; what is left of the width goes to the names first.
Totals stand beside the boxes, or beneath them when 8 mm boxes leave no room for both.
"""

from dataclasses import dataclass
from math import ceil

from tourney.model.sheet import Letter
from tourney.model.sheet_layout import Zone, in_zone
from tourney.papers.sheet_style import PAPER_MM

SIDE, TOP, BOTTOM = 6.5, 17.0, 13.0  # margins; a clipboard holds the top
FIT = 1.02  # sheets are laid out 2 % large and shrunk by fitting to the page
BOX = 8.2  # 8.04 once shrunk; 31 dots on screen
NUMBER, NAME, NAME_AT_MOST = 9.0, 28.0, 58.0
BOX_AT_MOST, BOXES_AT_LEAST = 15.0, 120.0  # of one box; of all, since the words above them need the room
COUNT, COUNT_WIDE, POINTS, POINTS_WIDE = 5.0, 7.0, 9.5, 12.0
LINE_AT_MOST, BENEATH_ROW = 11.6, 5.0
GROUP = 4  # calls between heavier rules
COUNTED: tuple[Letter, ...] = ("L", "W", "S", "H", "N")

TAG_COLUMN, NUMBER_COLUMN, NAME_COLUMN, FIRST_CALL = 1, 2, 3, 4
TAG_ROW, STATUS_ROW, TITLE_ROW, FACTS_ROW, LEGEND_ROW, RULES_ROW, CALLS_ROW, FIRST_LINE = range(1, 9)
HEAD = {STATUS_ROW: 8.0, TITLE_ROW: 9.0, FACTS_ROW: 6.0, LEGEND_ROW: 7.5, RULES_ROW: 8.0, CALLS_ROW: 7.5}


@dataclass(frozen=True, slots=True)
class Grid:
    """The places of a sheet of so many calls and lines on one paper, as rows and columns counted from 1.

    zone: the lines that the judge marks; None for all.
    """

    calls: int
    lines: int
    paper: str
    zone: Zone | None = None

    def marked(self, line: int) -> bool:
        """Does the judge of this sheet mark a line."""
        return in_zone(line, self.zone)

    @property
    def _width(self) -> float:
        return (PAPER_MM[self.paper][0] - 2 * SIDE) * FIT

    @property
    def _height(self) -> float:
        return (PAPER_MM[self.paper][1] - TOP - BOTTOM) * FIT

    @property
    def beside(self) -> bool:
        """Do the totals stand beside the boxes."""
        return NUMBER + NAME + self.calls * BOX + len(COUNTED) * COUNT + POINTS <= self._width

    @property
    def _spare(self) -> float:
        """Width left over when everything is as narrow as it may be."""
        return self._width - NUMBER - NAME - self.calls * BOX - (len(COUNTED) * COUNT + POINTS if self.beside else 0)

    @property
    def count_width(self) -> float:
        """Width of a column that counts a letter."""
        return COUNT_WIDE if self._spare > 30 else COUNT

    @property
    def points_width(self) -> float:
        """Width of the column of points."""
        return POINTS_WIDE if self._spare > 30 else POINTS

    @property
    def name_width(self) -> float:
        """Width of the column of names."""
        return min(NAME_AT_MOST, NAME + self._spare / 2) if self.beside else max(14.0, NAME + self._spare)

    @property
    def box_width(self) -> float:
        """Width of a box to write in."""
        if not self.beside:
            return BOX
        totals = len(COUNTED) * self.count_width + self.points_width
        most = max(BOX_AT_MOST, BOXES_AT_LEAST / self.calls)
        return min(most, (self._width - NUMBER - self.name_width - totals) / self.calls)

    @property
    def indent(self) -> int:
        """Air before a name, where there is room for it."""
        return 1 if self.beside else 0

    @property
    def name_mm(self) -> tuple[float, float]:
        """Width and height that a name may take in its cell."""
        return self.name_width - 2 - 3 * self.indent, self.line_height - 0.6

    @property
    def line_height(self) -> float:
        """Height of a contestant's row."""
        other = sum(HEAD.values()) - HEAD[STATUS_ROW] + BOX
        other += 0 if self.beside else (len(COUNTED) + 2) * BENEATH_ROW
        return max(BOX, min(LINE_AT_MOST, (self._height - other) / self.lines))

    @property
    def pages(self) -> tuple[int, int]:
        """Pages across and down: one, unless more calls or lines are asked than boxes of 8 mm fit."""
        across = NUMBER + self.name_width + self.calls * self.box_width
        down = (sum(HEAD.values()) - HEAD[STATUS_ROW]) + self.lines * self.line_height + BOX
        return max(1, ceil(across / self._width - 0.02)), max(1, ceil(down / self._height - 0.02))

    @property
    def last_call(self) -> int:
        """Column of the last call."""
        return FIRST_CALL + self.calls - 1

    @property
    def last_line(self) -> int:
        """Row of the last contestant."""
        return FIRST_LINE + self.lines - 1

    @property
    def judged_row(self) -> int:
        """Row of the ticks."""
        return self.last_line + 1

    @property
    def last_column(self) -> int:
        """Last column that prints."""
        if self.beside:
            return self.last_call + len(COUNTED) + 1
        return max(self.last_call, FIRST_CALL + self.lines - 1)

    @property
    def code_column(self) -> int:
        """First column of the sheet's code."""
        return max(FIRST_CALL + 1, self.last_column - len(COUNTED))

    @property
    def last_row(self) -> int:
        """Last row that prints."""
        return self.judged_row if self.beside else self.judged_row + len(COUNTED) + 2

    @property
    def check_row(self) -> int:
        """Row, on screen only, that says of each call how far it is."""
        return self.last_row + 1

    def total(self, line: int, place: int) -> tuple[int, int]:
        """Row and column of a line's total. line: from 1, or 0 for the heading. place: 0-4 as COUNTED, 5 for points."""
        if self.beside:
            return FIRST_LINE + line - 1, self.last_call + 1 + place
        return self.judged_row + 2 + place, (FIRST_CALL + line - 1 if line else NAME_COLUMN)
