"""Finished documents as lines of text that a person can compare: what they say and how they look, nothing else.

Hashes are masked, since they change with every setting; sizes are rounded as a reader would.
"""

import re
from collections.abc import Iterator
from html.parser import HTMLParser
from itertools import groupby
from pathlib import Path
from typing import Any

from openpyxl import load_workbook
from openpyxl.cell.cell import Cell
from openpyxl.cell.rich_text import CellRichText
from openpyxl.worksheet.worksheet import Worksheet

_HASH = re.compile(r"\b(?=[0-9a-f]*[0-9])(?:[0-9a-f]{12}|[0-9a-f]{8})\b")
_SIDES = ("left", "right", "top", "bottom")


def workbook_text(path: Path, *tabs: str) -> str:
    """These tabs of a workbook, all when none is named: set-up, cells with their looks, and the looks."""
    formulas, values = load_workbook(path, rich_text=True), load_workbook(path, data_only=True)
    looks: dict[str, int] = {}
    lines = [f"tabs: {', '.join(formulas.sheetnames)}", f"opens at: {formulas.active.title if formulas.active else ''}"]
    for name in tabs or formulas.sheetnames:
        lines += ["", f"== {name}", *_set_up(formulas[name]), *_cells(formulas[name], values[name], looks)]
    lines += ["", "== looks", *(f"{number}: {look}" for look, number in looks.items())]
    return _HASH.sub("#", "\n".join(lines)) + "\n"


def page_text(html: str) -> str:
    """The words of a page in their order, one element a line; styles and scripts are left out."""
    words = _Words()
    words.feed(html)
    return _HASH.sub("#", "\n".join(words.lines)) + "\n"


class _Words(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.lines: list[str] = []
        self._silent = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:  # noqa: ARG002 -- its signature
        self._silent += tag in ("style", "script")

    def handle_endtag(self, tag: str) -> None:
        self._silent -= tag in ("style", "script")

    def handle_data(self, data: str) -> None:
        if not self._silent and data.strip():
            self.lines.append(" ".join(data.split()))


def _set_up(sheet: Worksheet) -> Iterator[str]:
    page, margins = sheet.page_setup, sheet.page_margins
    widths = ((letter, "hidden" if found.hidden else f"{found.width:.2f}") for letter, found in _columns(sheet))
    yield f"widths: {_runs(widths)}"
    heights = ((str(row), "hidden" if found.hidden else f"{found.height or 0:.2f}") for row, found in _rows(sheet))
    yield f"heights: {_runs(heights)}"
    yield f"frozen: {sheet.freeze_panes}; filter: {sheet.auto_filter.ref}; grid: {sheet.sheet_view.showGridLines}"
    fit = f"{page.fitToWidth} by {page.fitToHeight} pages"
    yield f"print: {page.orientation}, paper {page.paperSize}, {fit}, {_area(sheet)}"
    sides = (margins.left, margins.right, margins.top, margins.bottom)
    yield f"margins in mm: {', '.join(f'{25.4 * side:.1f}' for side in sides)}"
    for name, corners in (("head", sheet.oddHeader), ("foot", sheet.oddFooter)):
        there: Any = corners
        yield f"{name}: {there.left.text} | {there.center.text} | {there.right.text}"
    yield f"locked: {sheet.protection.sheet}; merged: {', '.join(sorted(map(str, sheet.merged_cells.ranges)))}"
    for name, found in sorted(sheet.defined_names.items()):
        yield f"name {name}: {found.attr_text}"
    for offered in sheet.data_validations.dataValidation:
        told = offered.prompt or offered.error
        yield f"list {offered.sqref}: {offered.formula1}; {told}; stops: {bool(offered.showErrorMessage)}"
    for rules in sheet.conditional_formatting:
        for rule in rules.rules:
            yield f"rule {rules.sqref}: {rule.formula[0] if rule.formula else rule.type}"


def _columns(sheet: Worksheet) -> Iterator[tuple[str, Any]]:
    yield from sheet.column_dimensions.items()


def _rows(sheet: Worksheet) -> Iterator[tuple[int, Any]]:
    yield from sheet.row_dimensions.items()


def _area(sheet: Worksheet) -> str:
    repeated = ", ".join(filter(None, (sheet.print_title_cols, sheet.print_title_rows)))
    titles = f", titles {repeated}" if repeated else ""
    return f"area {sheet.print_area or 'all'}{titles}"


def _runs(sizes: Iterator[tuple[str, str]]) -> str:
    """Neighbours of one size together: "D-S 5.86"."""
    shown = []
    for size, group in groupby(sizes, key=lambda pair: pair[1]):
        names = [name for name, _ in group]
        shown.append(f"{names[0]}-{names[-1]} {size}" if len(names) > 1 else f"{names[0]} {size}")
    return ", ".join(shown)


def _cells(sheet: Worksheet, values: Worksheet, looks: dict[str, int]) -> Iterator[str]:
    for row in sheet.iter_rows():
        there = [cell for cell in row if isinstance(cell, Cell) and (cell.has_style or cell.value is not None)]
        shown = [(cell.column_letter, _content(cell, values), _look(cell)) for cell in there]
        for (content, look), group in groupby(shown, key=lambda found: found[1:]):
            letters = [letter for letter, *_ in group]
            place = f"{letters[0]}{row[0].row}" + (f":{letters[-1]}{row[0].row}" if len(letters) > 1 else "")
            yield f"{place} [{looks.setdefault(look, len(looks) + 1)}] {content}".rstrip()


def _content(cell: Any, values: Worksheet) -> str:
    if cell.data_type == "f":
        return f"{cell.value} -> {values[cell.coordinate].value!r}"
    if isinstance(cell.value, CellRichText):
        runs: list[Any] = list(cell.value)
        return "".join(f"<{run.font.sz:g}{'b' if run.font.b else ''}>{run.text!r}" for run in runs)
    return "" if cell.value is None else repr(cell.value)


def _look(cell: Any) -> str:
    at, rules = cell.alignment, [getattr(cell.border, side).style or "-" for side in _SIDES]
    parts = [
        f"{cell.font.name} {cell.font.sz:g}{' bold' if cell.font.b else ''} {cell.font.color.rgb[2:]}",
        f"on {cell.fill.start_color.rgb[2:]}" if cell.fill.fill_type else "",
        f"{at.horizontal} {at.vertical}{' wrap' if at.wrap_text else ''}{' shrink' if at.shrink_to_fit else ''}",
        f"indent {at.indent:g}" if at.indent else "",
        f"rules {' '.join(rules)}" if set(rules) != {"-"} else "",
        f"as {cell.number_format}" if cell.number_format != "General" else "",
        "" if cell.protection.locked else "entry",
    ]
    return ", ".join(filter(None, parts))
