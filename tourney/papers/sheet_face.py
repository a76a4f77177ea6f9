"""The face of a score sheet: what is written where, and the rules drawn round it."""

from functools import cache
from itertools import product
from math import ceil, floor

from openpyxl.cell.cell import Cell
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.worksheet import Worksheet

from tourney.model.event import Points
from tourney.model.sheet import LETTERS
from tourney.model.sheet_layout import INITIALS_TAG, JUDGED_TAG, call_tag, judge_letter, line_tag
from tourney.papers.sheet_facts import SheetFacts, Standing
from tourney.papers.sheet_formulas import SheetFormulas, address
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
from tourney.papers.sheet_style import FONT, PALE, SOFT, Look, Painter, Rule, Rules, column_width, row_height
from tourney.papers.text_cells import MM_PER_POINT, runs, text_width

ON_SCREEN = "On screen: letters go into the boxes, an x under each call once it is judged. Save, and hand in this file."
RULES = (
    "Write faults only, one letter or more to a box, and tick every call once you have judged it. Nothing over a tick "
    "means clean; nothing and no tick means not judged. Heavy box: this child is asked for the spoken answer. "
    "To correct, strike out once and put your initials beside it."
)
# Points of the name and of the team beneath it: the largest that fit are taken.
_NAME_SIZES, _TEAM_SIZES = (12.0, 11.0, 10.0, 9.0, 8.0, 7.0, 6.0), (8.0, 7.0, 6.0, 5.5)
_LEADING = 1.2
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
_HEAD_RULES: Rules = ("thin", "thin", "medium", "medium")


def draw_face(sheet: Worksheet, painter: Painter, grid: Grid, facts: SheetFacts) -> None:
    """Write all cells of an empty sheet, and its sizes."""
    formulas = SheetFormulas(grid, facts.points)
    _sizes(sheet, grid)
    _head(sheet, painter, grid, facts, formulas)
    _call_numbers(sheet, painter, grid)
    for number, child in enumerate(facts.line, 1):
        _line(sheet, painter, grid, number, child, facts.speakers)
    _judged(sheet, painter, grid, formulas)
    _totals(sheet, painter, grid, formulas)


def _cell(sheet: Worksheet, row: int, column: int) -> Cell:
    cell = sheet.cell(row, column)
    assert isinstance(cell, Cell)
    return cell


def _sizes(sheet: Worksheet, grid: Grid) -> None:
    widths = {NUMBER_COLUMN: NUMBER, NAME_COLUMN: grid.name_width}
    widths |= dict.fromkeys(range(FIRST_CALL, grid.last_column + 1), grid.box_width)
    if grid.beside:
        widths |= dict.fromkeys(range(grid.last_call + 1, grid.last_column), grid.count_width)
        widths[grid.last_column] = grid.points_width
    for column, mm in widths.items():
        sheet.column_dimensions[get_column_letter(column)].width = column_width(mm)
    heights = HEAD | dict.fromkeys(range(FIRST_LINE, grid.last_line + 1), grid.line_height)
    heights |= {grid.judged_row: BOX, grid.check_row: 6.0}
    heights |= dict.fromkeys(range(grid.judged_row + 1, grid.last_row + 1), BENEATH_ROW)
    for row, mm in heights.items():
        sheet.row_dimensions[row].height = row_height(mm)
    sheet.row_dimensions[TAG_ROW].hidden = True
    sheet.column_dimensions[get_column_letter(TAG_COLUMN)].hidden = True


def _head(sheet: Worksheet, painter: Painter, grid: Grid, facts: SheetFacts, formulas: SheetFormulas) -> None:
    heat, last = facts.heat, grid.last_column
    code_from = max(FIRST_CALL + 1, last - len(COUNTED))
    initials = _cell(sheet, LEGEND_ROW, NAME_COLUMN)

    def merged(row: int, first: int, to: int, look: Look) -> Cell:
        return painter.merge(sheet, row, first, to, look)

    painter.text(_cell(sheet, TAG_ROW, TAG_COLUMN), facts.identity.text(), _SCREEN)
    status = merged(STATUS_ROW, NUMBER_COLUMN, NAME_COLUMN, _STATUS)
    painter.formula(status, formulas.status(address(initials.row, initials.column)), _STATUS)
    painter.text(_cell(sheet, STATUS_ROW, FIRST_CALL), ON_SCREEN, _SCREEN)
    title = f"{heat.division}   ·   round {heat.round}   ·   {facts.start}   ·   {heat.room}"
    painter.text(merged(TITLE_ROW, NUMBER_COLUMN, code_from - 1, _TITLE), title, _TITLE)
    painter.text(merged(TITLE_ROW, code_from, last, _CODE), facts.identity.code, _CODE)
    said = (
        facts.stamp.event,
        facts.stamp.date,
        f"wave {heat.wave}",
        f"judge {judge_letter(facts.identity.judge)}: {facts.judge}",
        f"{facts.seconds} seconds a call",
        *facts.tasks,
        "line 1 stands on your left",
    )
    painter.text(merged(FACTS_ROW, NUMBER_COLUMN, last, _FACTS), "   ·   ".join(said), _FACTS)
    for row, label in ((LEGEND_ROW, "Initials"), (RULES_ROW, "End")):
        painter.text(_cell(sheet, row, NUMBER_COLUMN), label, _LABEL)
        painter.dress(_cell(sheet, row, NAME_COLUMN), _ENTRY)
    painter.text(_cell(sheet, LEGEND_ROW, TAG_COLUMN), INITIALS_TAG, _SCREEN)
    painter.text(_cell(sheet, TAG_ROW, NAME_COLUMN), INITIALS_TAG, _SCREEN)
    legend = merged(LEGEND_ROW, FIRST_CALL, last, _SMALL)
    painter.put(legend, runs(FONT, *_legend(facts.points)), _SMALL)
    painter.text(merged(RULES_ROW, FIRST_CALL, last, _SMALL), RULES, _SMALL)


def _legend(points: Points) -> list[tuple[str, float, bool]]:
    """Each letter with its meaning and what it costs, as runs of text."""
    off = {"L": points.late, "W": points.wrong_place, "S": points.spoken, "H": points.handling}
    parts: list[tuple[str, float, bool]] = []
    for letter, meaning in LETTERS.items():
        cost = f" −{off[letter]}" if off.get(letter) else ""
        parts += [(letter, 11, True), (f" {meaning}{cost}      ", 8.5, False)]
    return [*parts, (f"clean {points.call}", 8.5, False)]


def _call_numbers(sheet: Worksheet, painter: Painter, grid: Grid) -> None:
    number_head = Look(8, bold=True, across="center", fill=PALE, rules=("medium", "thin", "medium", "medium"))
    name_head = Look(8, bold=True, fill=PALE, wrap=True, indent=_indent(grid), rules=_HEAD_RULES)
    painter.text(_cell(sheet, CALLS_ROW, NUMBER_COLUMN), "Line", number_head)
    painter.text(_cell(sheet, CALLS_ROW, NAME_COLUMN), "Name and team", name_head)
    for number in range(1, grid.calls + 1):
        column = FIRST_CALL + number - 1
        rules: Rules = (*_sides(grid, number), "medium", "medium")
        look = Look(11, bold=True, fill=PALE, across="center", rules=rules)
        painter.put(_cell(sheet, CALLS_ROW, column), number, look)
        painter.text(_cell(sheet, TAG_ROW, column), call_tag(number), _SCREEN)


def _indent(grid: Grid) -> int:
    """Air before a name, where there is room for it."""
    return 1 if grid.beside else 0


def _sides(grid: Grid, call: int) -> tuple[Rule, Rule]:
    """Left and right rule of a call's column: heavier round each group."""
    left: Rule = "medium" if call % GROUP == 1 else "thin"
    right: Rule = "medium" if call % GROUP == 0 or call == grid.calls else "thin"
    return left, right


def _line(
    sheet: Worksheet, painter: Painter, grid: Grid, number: int, child: Standing, speakers: tuple[int, ...]
) -> None:
    row = FIRST_LINE + number - 1
    bottom: Rule = "medium" if number == grid.lines else "thin"
    painter.text(_cell(sheet, row, TAG_COLUMN), line_tag(number, child.contestant), _SCREEN)
    number_look = Look(16, bold=True, across="center", fill=PALE, rules=("medium", "thin", "thin", bottom))
    painter.put(_cell(sheet, row, NUMBER_COLUMN), number, number_look)
    who = Look(8, wrap=True, indent=_indent(grid), rules=("thin", "medium", "thin", bottom))
    parts = name_parts(child, grid.name_width - 2 - 3 * _indent(grid), grid.line_height - 0.6)
    painter.put(_cell(sheet, row, NAME_COLUMN), runs(FONT, *parts), who)
    for call in range(1, grid.calls + 1):
        asked = speakers[call - 1 : call] == (number,)
        look = _box(*(_ROUND if asked else (*_sides(grid, call), "thin", bottom)))
        painter.dress(_cell(sheet, row, FIRST_CALL + call - 1), look)


@cache
def _box(left: Rule, right: Rule, top: Rule, bottom: Rule) -> Look:
    """A box to write a mark in."""
    rules = (left, right, top, bottom)
    return Look(12, bold=True, across="center", shrink=True, number="@", rules=rules, entry=True)


@cache
def name_parts(child: Standing, width: float, height: float) -> tuple[tuple[str, float, bool], ...]:
    """Name, own seconds and team as runs of text, as large as a cell of so many mm allows.

    Where nothing fits, the smallest size is taken and the text is cut short.
    """
    own = f"   {child.seconds}\N{NO-BREAK SPACE}s" if child.seconds else ""
    for size, small in product(_NAME_SIZES, _TEAM_SIZES):
        points = ceil(text_width(child.name + own, size, bold=True) / width) * size
        points += ceil(text_width(child.team, small) / width) * small
        if points * _LEADING * MM_PER_POINT <= height:
            return (child.name, size, True), (own, size, False), (f"\n{child.team}", small, False)
    size, small = _NAME_SIZES[-1], _TEAM_SIZES[-1]
    rows = max(2, floor(height / (_LEADING * MM_PER_POINT * size)))
    name, team = _cut(child.name, size, (rows - 1) * width), _cut(child.team, small, width)
    return (name, size, True), (own, size, False), (f"\n{team}", small, False)


def _cut(text: str, size: float, width: float) -> str:
    """Text that is no wider than `width` mm, with an ellipsis where something is left out."""
    if text_width(text, size) <= width:
        return text
    while text and text_width(f"{text}…", size) > width:
        text = text[:-1]
    return f"{text}…"


def _judged(sheet: Worksheet, painter: Painter, grid: Grid, formulas: SheetFormulas) -> None:
    row = grid.judged_row
    painter.text(_cell(sheet, row, TAG_COLUMN), JUDGED_TAG, _SCREEN)
    label = Look(8, bold=True, across="right", wrap=True, indent=1, fill=SOFT, rules=_FRAME)
    painter.text(painter.merge(sheet, row, NUMBER_COLUMN, NAME_COLUMN, label), "Judged: tick every call", label)
    screen = Look(7, across="right", wrap=True, ink=_GREY)
    painter.text(painter.merge(sheet, grid.check_row, NUMBER_COLUMN, NAME_COLUMN, screen), "Check, on screen", screen)
    for call in range(1, grid.calls + 1):
        column = FIRST_CALL + call - 1
        rules: Rules = (*_sides(grid, call), "medium", "medium")
        look = Look(11, across="center", fill=PALE, shrink=True, number="@", rules=rules, entry=True)
        painter.dress(_cell(sheet, row, column), look)
        painter.formula(_cell(sheet, grid.check_row, column), formulas.check(column), _CHECK)


def _totals(sheet: Worksheet, painter: Painter, grid: Grid, formulas: SheetFormulas) -> None:
    """Empty on paper, to be written by hand; alive on screen."""
    for place, name in enumerate((*COUNTED, "Points")):
        last = place == len(COUNTED)
        if grid.beside:
            heading = Look(9, bold=True, across="center", fill=SOFT, rules=_HEAD_RULES)
            painter.text(_cell(sheet, *grid.total(0, place)), name, heading)
        else:
            heading = Look(
                8, bold=True, across="right", fill=SOFT, shrink=True, rules=("medium", "medium", "thin", "thin")
            )
            words = name if last else f"{name} {LETTERS[COUNTED[place]]}"
            row, column = grid.total(0, place)
            painter.text(painter.merge(sheet, row, NUMBER_COLUMN, column, heading), words, heading)
        for line in range(1, grid.lines + 1):
            end = line == grid.lines
            right, bottom = (last, end) if grid.beside else (end, last)
            rules: Rules = ("thin", "medium" if right else "thin", "thin", "medium" if bottom else "thin")
            look = Look(10, bold=last, across="center", shrink=True, rules=rules)
            painter.formula(_cell(sheet, *grid.total(line, place)), formulas.total(line, place), look)
    if not grid.beside:
        _line_numbers_beneath(sheet, painter, grid)


def _line_numbers_beneath(sheet: Worksheet, painter: Painter, grid: Grid) -> None:
    row = grid.judged_row + 1
    label = Look(8, bold=True, across="right", fill=SOFT, shrink=True, rules=_FRAME)
    painter.text(painter.merge(sheet, row, NUMBER_COLUMN, NAME_COLUMN, label), "Totals of line", label)
    look = Look(9, bold=True, across="center", fill=SOFT, rules=_HEAD_RULES)
    for line in range(1, grid.lines + 1):
        painter.put(_cell(sheet, row, FIRST_CALL + line - 1), line, look)
