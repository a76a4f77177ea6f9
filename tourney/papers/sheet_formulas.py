"""The formulas of a score sheet: which marks are sound, how far each call is, what each line has.

Marks are searched with FIND in UPPER: what people type may hold * and ?, which counting functions take for wildcards.
A call counts once it is ticked and every mark in it can be read, so an open call is never taken for a clean one.
"""

from openpyxl.utils import get_column_letter

from tourney.model.event import Points
from tourney.model.sheet import LETTERS, SEPARATORS, TICKS
from tourney.papers.cells import Formula
from tourney.papers.sheet_grid import COUNTED, FIRST_CALL, FIRST_LINE, Grid

READ, UNTICKED, FIX = "ok", "tick?", "FIX"  # what the check row says of a call; empty: nothing there yet


def address(row: int, column: int) -> str:
    """A cell's fixed address, such as $D$8."""
    return f"${get_column_letter(column)}${row}"


def area(row: int, column: int, last_row: int, last_column: int) -> str:
    """A block's fixed address, such as $D$8:$S$19."""
    return f"{address(row, column)}:{address(last_row, last_column)}"


def unreadable(cells: str) -> tuple[str, ...]:
    """Conditions without their `=`: each true where any of the cells holds what intake could not read.

    An entry begins with a letter, has nothing but letters and separators, no letter twice, and N alone: with N written
    out as all the letters, any other beside it would stand there twice. Each is under 255 characters, more than which
    the rules of some spreadsheet programs may not have; and nothing empty is searched for, which some take for found.
    """
    letters = "".join(LETTERS)
    allowed = letters + SEPARATORS
    entry = f'SUBSTITUTE(UPPER({cells}),"N","{letters}")'
    return (
        f'SUMPRODUCT(--ISERROR(FIND(LEFT(TRIM({cells})&"{letters}"),"{letters}{letters.lower()}")))>0',
        f'SUMPRODUCT(LEN({cells})-LEN(SUBSTITUTE(UPPER({cells}),{_each(allowed)},"")))<>SUMPRODUCT(LEN({cells}))',
        f'SUMPRODUCT(--(LEN({entry})-LEN(SUBSTITUTE({entry},{_each(letters)},""))>1))>0',
    )


def _each(letters: str) -> str:
    """Each of the letters, side by side: conditions may hold no written-out list."""
    return f'MID("{letters}",COLUMN($A:${get_column_letter(len(letters))}),1)'


def tick_allowed(cell: str) -> str:
    """True for a tick as people type one; a condition without its `=`."""
    # Two spaces between, which no text has once it is trimmed.
    return f'ISNUMBER(FIND("  "&UPPER(TRIM({cell}))&"  ","  {"  ".join(TICKS).upper()}  "))'


class SheetFormulas:
    """The formulas of one grid under one division's points, with what they come to while the sheet is empty."""

    def __init__(self, grid: Grid, points: Points) -> None:
        self._grid, self._points = grid, points
        self._check = area(grid.check_row, FIRST_CALL, grid.check_row, grid.last_call)
        self._none_read = f'COUNTIF({self._check},"{READ}")=0'

    def check(self, column: int) -> Formula:
        """How far the call in this column is: ok, FIX, tick? or nothing."""
        grid = self._grid
        marks, tick = area(FIRST_LINE, column, grid.last_line, column), address(grid.judged_row, column)
        text = (
            f'=IF(OR({",".join(unreadable(marks))}),"{FIX}",'
            f'IF({tick_allowed(tick)},"{READ}",IF(TRIM({tick})<>"","{FIX}",'
            f'IF(SUMPRODUCT(LEN(TRIM({marks})))>0,"{UNTICKED}",""))))'
        )
        return Formula(text, "")

    def status(self, initials: str) -> Formula:
        """One word on the whole sheet: FIX call 9, 4 calls open, initials missing, COMPLETE. initials: an address."""
        grid, check = self._grid, self._check
        numbers = area(FIRST_LINE - 1, FIRST_CALL, FIRST_LINE - 1, grid.last_call)
        left = f'({grid.calls}-COUNTIF({check},"{READ}"))'
        text = (
            f'=IF(COUNTIF({check},"{FIX}")>0,"FIX call "&INDEX({numbers},MATCH("{FIX}",{check},0)),'
            f'IF({left}>1,{left}&" calls open",IF({left}=1,"1 call open",'
            f'IF(TRIM({initials})="","Initials missing","COMPLETE"))))'
        )
        return Formula(text, f"{grid.calls} calls open" if grid.calls > 1 else "1 call open")

    def total(self, line: int, place: int) -> Formula:
        """A line's count of one letter, or for the last place its points; nothing until a call is judged."""
        what = self._count(line, COUNTED[place]) if place < len(COUNTED) else self._line_points(line)
        return Formula(f'=IF({self._none_read},"",{what})', "")

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
