"""The formulas of a score sheet: which marks are sound, how far each call is, what each line has.

Marks are searched with FIND in UPPER: what people type may hold * and ?, which counting functions take for wildcards.
A call counts once it is ticked and every mark in it can be read, so an open call is never taken for a clean one.
"""

from openpyxl.utils import get_column_letter

from tourney.model.event import Points
from tourney.papers.sheet_grid import COUNTED, FIRST_CALL, FIRST_LINE, Grid

READ, UNTICKED, FIX = "ok", "tick?", "FIX"  # what the check row says of a call; empty: nothing there yet


def address(row: int, column: int) -> str:
    """A cell's fixed address, such as $D$8."""
    return f"${get_column_letter(column)}${row}"


def area(row: int, column: int, last_row: int, last_column: int) -> str:
    """A block's fixed address, such as $D$8:$S$19."""
    return f"{address(row, column)}:{address(last_row, last_column)}"


def unreadable(cell: str) -> str:
    """True where a cell holds anything but letters of marks, each once, N alone; a condition without its `=`.

    Kept under 255 characters, which is all that a validation may hold in spreadsheet programs.
    """
    rest = f'SUBSTITUTE(UPPER({cell})," ","")'
    for letter in COUNTED:
        rest = f'SUBSTITUTE({rest},"{letter}","",1)'
    return f'(LEN({rest})>0)+ISNUMBER(FIND("N",UPPER({cell})))*(LEN(TRIM({cell}))>1)>0'


def tick_allowed(cell: str) -> str:
    """True for a tick as people type one; a condition without its `=`."""
    return f'ISNUMBER(FIND("|"&UPPER(TRIM({cell}))&"|","|X|✓|✔|"))'


class SheetFormulas:
    """The formulas of one grid under one division's points."""

    def __init__(self, grid: Grid, points: Points) -> None:
        self._grid, self._points = grid, points
        self._check = area(grid.check_row, FIRST_CALL, grid.check_row, grid.last_call)
        self._none_read = f'COUNTIF({self._check},"{READ}")=0'

    def check(self, column: int) -> str:
        """How far the call in this column is: ok, FIX, tick? or nothing."""
        grid = self._grid
        marks, tick = area(FIRST_LINE, column, grid.last_line, column), address(grid.judged_row, column)
        return (
            f'=IF(SUMPRODUCT(--({unreadable(marks)}))>0,"{FIX}",'
            f'IF({tick_allowed(tick)},"{READ}",IF(TRIM({tick})<>"","{FIX}",'
            f'IF(SUMPRODUCT(LEN(TRIM({marks})))>0,"{UNTICKED}",""))))'
        )

    def status(self, initials: str) -> str:
        """One word on the whole sheet: FIX call 9, 4 calls open, initials missing, COMPLETE. initials: an address."""
        grid, check = self._grid, self._check
        numbers = area(FIRST_LINE - 1, FIRST_CALL, FIRST_LINE - 1, grid.last_call)
        left = f'({grid.calls}-COUNTIF({check},"{READ}"))'
        return (
            f'=IF(COUNTIF({check},"{FIX}")>0,"FIX call "&INDEX({numbers},MATCH("{FIX}",{check},0)),'
            f'IF({left}>1,{left}&" calls open",IF({left}=1,"1 call open",'
            f'IF(TRIM({initials})="","Initials missing","COMPLETE"))))'
        )

    def total(self, line: int, place: int) -> str:
        """A line's count of one letter, or for the last place its points; nothing until a call is judged."""
        what = self._count(line, COUNTED[place]) if place < len(COUNTED) else self._line_points(line)
        return f'=IF({self._none_read},"",{what})'

    def _count(self, line: int, letter: str) -> str:
        return f'SUMPRODUCT(({self._check}="{READ}")*{self._found(line, letter)})'

    def _found(self, line: int, letter: str) -> str:
        row = FIRST_LINE + line - 1
        return f'ISNUMBER(FIND("{letter}",UPPER({area(row, FIRST_CALL, row, self._grid.last_call)})))'

    def _line_points(self, line: int) -> str:
        """Points of one line: each call less its faults, never below 0, and 0 where the child was absent."""
        points = self._points
        off = {"L": points.late, "W": points.wrong_place, "S": points.spoken, "H": points.handling}
        left = f"({points.call}" + "".join(f"-{n}*{self._found(line, letter)}" for letter, n in off.items() if n) + ")"
        there = f"(1-{self._found(line, 'N')})"
        return f'SUMPRODUCT(({self._check}="{READ}")*{there}*({left}>0)*{left})'
