"""The face of a score sheet: what is written where, and the rules drawn round it.

A face is drawn once for all sheets of one size and one count of points, with gaps for what differs: see sheet_gaps.
"""

from dataclasses import replace
from functools import cache

from openpyxl.utils import get_column_letter

from tourney.model.event import Points
from tourney.model.sheet import LETTERS
from tourney.model.sheet_layout import INITIALS_TAG, JUDGED_TAG, POINTS, call_tag, total_tag
from tourney.papers.cells import Run, Runs
from tourney.papers.sheet_formulas import SheetFormulas, address
from tourney.papers.sheet_gaps import CODE, FACTS, IDENTITY, TITLE, box_gap, line_gap, name_gap
from tourney.papers.sheet_grid import (
    BENEATH_ROW,
    BOX,
    CALLS_ROW,
    COUNTED,
    FACTS_ROW,
    FIRST_CALL,
    FIRST_LINE,
    GROUP,
    HEAD,
    LEGEND_ROW,
    NAME_COLUMN,
    NUMBER,
    NUMBER_COLUMN,
    RULES_ROW,
    STATUS_ROW,
    TAG_COLUMN,
    TAG_ROW,
    TITLE_ROW,
    Grid,
)
from tourney.papers.sheet_style import PALE, SOFT, Look, Rule, Rules, column_width, row_height
from tourney.papers.workbook import Sheet

ON_SCREEN = "On screen: letters go into the boxes, an x under each call once it is judged. Save, and hand in this file."
RULES = (
    "Write faults only, one letter or more to a box, and tick every call once you have judged it. Nothing over a tick "
    "means clean; nothing and no tick means not judged. Heavy box: this child is asked for the spoken answer. "
    "To correct, strike out once and put your initials beside it."
)
_GREY = "595959"
_TITLE = Look(16, bold=True, shrink=True)
_CODE = Look(16, bold=True, across="right", shrink=True)
_FACTS = Look(9, shrink=True)
_SMALL = Look(8, wrap=True, indent=1)
_LABEL = Look(7, across="right", shrink=True, ink=_GREY)
_ENTRY = Look(11, bold=True, across="center", number="@", rules=("thin", "thin", "thin", "thin"), entry=True)
_SCREEN = Look(9, ink=_GREY, indent=1)
_FRAME: Rules = ("medium", "medium", "medium", "medium")
_STATUS = Look(13, bold=True, across="center", shrink=True, rules=_FRAME)
_CHECK = Look(7, across="center", shrink=True, ink=_GREY)
_ROUND: Rules = ("thick", "thick", "thick", "thick")
ASKED_BOX = Look(12, bold=True, across="center", shrink=True, number="@", rules=_ROUND, entry=True)
_HEAD_RULES: Rules = ("thin", "thin", "medium", "medium")


def draw_face(sheet: Sheet, grid: Grid, points: Points) -> None:
    """Write all cells of an empty sheet, and its sizes."""
    formulas = SheetFormulas(grid, points)
    _sizes(sheet, grid)
    _head(sheet, grid, points, formulas)
    _call_numbers(sheet, grid)
    for number in range(1, grid.lines + 1):
        _line(sheet, grid, number)
    _judged(sheet, grid, formulas)
    _totals(sheet, grid, formulas)


def _sizes(sheet: Sheet, grid: Grid) -> None:
    widths = {NUMBER_COLUMN: NUMBER, NAME_COLUMN: grid.name_width}
    widths |= dict.fromkeys(range(FIRST_CALL, grid.last_column + 1), grid.box_width)
    if grid.beside:
        widths |= dict.fromkeys(range(grid.last_call + 1, grid.last_column), grid.count_width)
        widths[grid.last_column] = grid.points_width
    for column, mm in widths.items():
        sheet.frame.column_dimensions[get_column_letter(column)].width = column_width(mm)
    heights = HEAD | dict.fromkeys(range(FIRST_LINE, grid.last_line + 1), grid.line_height)
    heights |= {grid.judged_row: BOX, grid.check_row: 6.0}
    heights |= dict.fromkeys(range(grid.judged_row + 1, grid.last_row + 1), BENEATH_ROW)
    for row, mm in heights.items():
        sheet.height(row, row_height(mm))
    sheet.hide_row(TAG_ROW)
    sheet.frame.column_dimensions[get_column_letter(TAG_COLUMN)].hidden = True


def _head(sheet: Sheet, grid: Grid, points: Points, formulas: SheetFormulas) -> None:
    last = grid.last_column
    sheet.put(TAG_ROW, TAG_COLUMN, IDENTITY, _SCREEN)
    sheet.merge(STATUS_ROW, NUMBER_COLUMN, NAME_COLUMN, formulas.status(address(LEGEND_ROW, NAME_COLUMN)), _STATUS)
    sheet.put(STATUS_ROW, FIRST_CALL, ON_SCREEN, _SCREEN)
    sheet.merge(TITLE_ROW, NUMBER_COLUMN, grid.code_column - 1, TITLE, _TITLE)
    sheet.merge(TITLE_ROW, grid.code_column, last, CODE, _CODE)
    sheet.merge(FACTS_ROW, NUMBER_COLUMN, last, FACTS, _FACTS)
    for row, label in ((LEGEND_ROW, "Initials"), (RULES_ROW, "End")):
        sheet.put(row, NUMBER_COLUMN, label, _LABEL)
        sheet.put(row, NAME_COLUMN, None, _ENTRY)
    sheet.put(LEGEND_ROW, TAG_COLUMN, INITIALS_TAG, _SCREEN)
    sheet.put(TAG_ROW, NAME_COLUMN, INITIALS_TAG, _SCREEN)
    sheet.merge(LEGEND_ROW, FIRST_CALL, last, _legend(points), _SMALL)
    sheet.merge(RULES_ROW, FIRST_CALL, last, RULES, _SMALL)


def _legend(points: Points) -> Runs:
    """Each letter with its meaning and what it costs."""
    off = {"L": points.late, "W": points.wrong_place, "S": points.spoken, "H": points.handling}
    parts: list[Run] = []
    for letter, meaning in LETTERS.items():
        cost = f" −{off[letter]}" if off.get(letter) else ""
        parts += [(letter, 11, True), (f" {meaning}{cost}      ", 8.5, False)]
    return Runs((*parts, (f"clean {points.call}", 8.5, False)))


def _call_numbers(sheet: Sheet, grid: Grid) -> None:
    number_head = Look(8, bold=True, across="center", fill=PALE, rules=("medium", "thin", "medium", "medium"))
    name_head = Look(8, bold=True, fill=PALE, wrap=True, indent=grid.indent, rules=_HEAD_RULES)
    sheet.put(CALLS_ROW, NUMBER_COLUMN, "Line", number_head)
    sheet.put(CALLS_ROW, NAME_COLUMN, "Name and team", name_head)
    for number in range(1, grid.calls + 1):
        column = FIRST_CALL + number - 1
        rules: Rules = (*_sides(grid, number), "medium", "medium")
        sheet.put(CALLS_ROW, column, number, Look(11, bold=True, fill=PALE, across="center", rules=rules))
        sheet.put(TAG_ROW, column, call_tag(number), _SCREEN)


def _sides(grid: Grid, call: int) -> tuple[Rule, Rule]:
    """Left and right rule of a call's column: heavier round each group."""
    left: Rule = "medium" if call % GROUP == 1 else "thin"
    right: Rule = "medium" if call % GROUP == 0 or call == grid.calls else "thin"
    return left, right


def _line(sheet: Sheet, grid: Grid, number: int) -> None:
    row = FIRST_LINE + number - 1
    bottom: Rule = "medium" if number == grid.lines else "thin"
    sheet.put(row, TAG_COLUMN, line_gap(number), _SCREEN)
    number_look = Look(16, bold=True, across="center", fill=PALE, rules=("medium", "thin", "thin", bottom))
    sheet.put(row, NUMBER_COLUMN, number, number_look)
    who = Look(8, wrap=True, indent=grid.indent, rules=("thin", "medium", "thin", bottom))
    sheet.put(row, NAME_COLUMN, name_gap(number), who)
    for call in range(1, grid.calls + 1):
        look = _box(*_sides(grid, call), bottom)
        if grid.marked(number):
            sheet.put(row, FIRST_CALL + call - 1, None, look, box_gap(number, call))
        else:
            sheet.put(row, FIRST_CALL + call - 1, None, replace(look, fill=SOFT, hatched=True, entry=False))


@cache
def _box(left: Rule, right: Rule, bottom: Rule) -> Look:
    """A box to write a mark in."""
    return replace(ASKED_BOX, rules=(left, right, "thin", bottom))


def _judged(sheet: Sheet, grid: Grid, formulas: SheetFormulas) -> None:
    row = grid.judged_row
    sheet.put(row, TAG_COLUMN, JUDGED_TAG, _SCREEN)
    label = Look(8, bold=True, across="right", wrap=True, indent=1, fill=SOFT, rules=_FRAME)
    sheet.merge(row, NUMBER_COLUMN, NAME_COLUMN, "Judged: tick every call", label)
    screen = Look(7, across="right", wrap=True, ink=_GREY)
    sheet.merge(grid.check_row, NUMBER_COLUMN, NAME_COLUMN, "Check, on screen", screen)
    for call in range(1, grid.calls + 1):
        column = FIRST_CALL + call - 1
        rules: Rules = (*_sides(grid, call), "medium", "medium")
        look = Look(11, across="center", fill=PALE, shrink=True, number="@", rules=rules, entry=True)
        sheet.put(row, column, None, look)
        sheet.put(grid.check_row, column, formulas.check(column), _CHECK)


def _totals(sheet: Sheet, grid: Grid, formulas: SheetFormulas) -> None:
    """Empty on paper, to be written by hand; alive on screen."""
    for place, name in enumerate((*COUNTED, "Points")):
        last = place == len(COUNTED)
        row, column = grid.total(0, place)
        tag = total_tag(POINTS if last else name)
        sheet.put(*((TAG_ROW, column) if grid.beside else (row, TAG_COLUMN)), tag, _SCREEN)
        if grid.beside:
            sheet.put(row, column, name, Look(9, bold=True, across="center", fill=SOFT, rules=_HEAD_RULES))
        else:
            words = name if last else f"{name} {LETTERS[COUNTED[place]]}"
            rules: Rules = ("medium", "medium", "thin", "thin")
            heading = Look(8, bold=True, across="right", fill=SOFT, shrink=True, rules=rules)
            sheet.merge(row, NUMBER_COLUMN, column, words, heading)
        for line in range(1, grid.lines + 1):
            end = line == grid.lines
            right, bottom = (last, end) if grid.beside else (end, last)
            rules = ("thin", "medium" if right else "thin", "thin", "medium" if bottom else "thin")
            look = Look(10, bold=last, across="center", shrink=True, rules=rules)
            if grid.marked(line):
                sheet.put(*grid.total(line, place), formulas.total(line, place), look)
            else:
                sheet.put(*grid.total(line, place), None, replace(look, fill=SOFT, hatched=True))
    if not grid.beside:
        _line_numbers_beneath(sheet, grid)


def _line_numbers_beneath(sheet: Sheet, grid: Grid) -> None:
    row = grid.judged_row + 1
    label = Look(8, bold=True, across="right", fill=SOFT, shrink=True, rules=_FRAME)
    sheet.merge(row, NUMBER_COLUMN, NAME_COLUMN, "Totals of line", label)
    look = Look(9, bold=True, across="center", fill=SOFT, rules=_HEAD_RULES)
    for line in range(1, grid.lines + 1):
        sheet.put(row, FIRST_CALL + line - 1, line, look)
