"""The score sheets of a workbook written by XlsxWriter: the same cells, looks, lists, rules, names and printing.

Everything is taken from the finished file beforehand, so that only writing is timed.
"""

from pathlib import Path
from typing import Any, NamedTuple

import xlsxwriter
from openpyxl import load_workbook
from openpyxl.cell.cell import Cell
from openpyxl.cell.rich_text import CellRichText
from openpyxl.worksheet.worksheet import Worksheet

_WEIGHTS = {None: 0, "thin": 1, "medium": 2, "thick": 5}
_SIDES = ("left", "right", "top", "bottom")
Look = tuple[tuple[str, Any], ...]


class Page(NamedTuple):
    """One sheet as calls to XlsxWriter. cells: row and column from 0, kind, content, look."""

    title: str
    cells: list[tuple[int, int, str, Any, Look]]
    merged: list[tuple[int, int, int, int, Look]]
    widths: list[tuple[int, float, bool]]
    heights: list[tuple[int, float | None, bool]]
    lists: list[tuple[str, dict[str, Any]]]
    rules: list[tuple[str, str]]
    names: list[tuple[str, str]]
    frozen: tuple[int, int]
    area: str
    head: str
    foot: str
    margins: tuple[float, float, float, float]


def pages_of(path: Path) -> list[Page]:
    """What to write, from a workbook of ours."""
    values = load_workbook(path, data_only=True)
    return [_page(sheet, values[sheet.title]) for sheet in load_workbook(path, rich_text=True).worksheets]


def _page(sheet: Worksheet, values: Worksheet) -> Page:
    there = [cell for row in sheet.iter_rows() for cell in row if isinstance(cell, Cell) and cell.has_style]
    frozen = sheet[str(sheet.freeze_panes)]
    head, foot = (
        "".join(f'&{where}&"Arial,Regular"&8 {part.text}' for where, part in places if part.text)
        for places in (_corners(sheet.oddHeader), _corners(sheet.oddFooter))
    )
    margins = sheet.page_margins
    return Page(
        sheet.title,
        [_cell(cell, values) for cell in there],
        [
            (found.min_row - 1, found.min_col - 1, found.max_row - 1, found.max_col - 1, _look(sheet.cell(*first)))
            for found in sheet.merged_cells.ranges
            for first in [(found.min_row, found.min_col)]
        ],
        [(place, column.width, column.hidden) for place, column in enumerate(sheet.column_dimensions.values())],
        [(int(row) - 1, found.height, found.hidden) for row, found in sheet.row_dimensions.items()],
        [
            (
                str(found.sqref),
                {
                    "validate": "list",
                    "source": str(found.formula1).strip('"').split(","),
                    "input_title": found.promptTitle,
                    "input_message": found.prompt,
                    "show_error": False,
                },
            )
            for found in sheet.data_validations.dataValidation
        ],
        [(str(found.sqref), rule.formula[0]) for found in sheet.conditional_formatting for rule in found.rules],
        [(name, found.attr_text) for name, found in sheet.defined_names.items()],
        (frozen.row - 1, frozen.column - 1),
        sheet.print_area.rsplit("!", 1)[1].replace("$", ""),
        head,
        foot,
        (margins.left, margins.right, margins.top, margins.bottom),
    )


def _corners(found: Any) -> list[tuple[str, Any]]:
    return [("L", found.left), ("C", found.center), ("R", found.right)]


def _cell(cell: Cell, values: Worksheet) -> tuple[int, int, str, Any, Look]:
    content: Any = cell.value
    kind = "formula" if cell.data_type == "f" else "number" if isinstance(content, int) else "text" if content else ""
    if isinstance(content, CellRichText):
        kind = "runs"
        parts: list[Any] = list(content)
        content = [((("bold", bool(run.font.b)), ("size", run.font.sz)), run.text) for run in parts]
    elif kind == "formula":
        content = (content, values[cell.coordinate].value or "")
    return cell.row - 1, cell.column - 1, kind, content, _look(cell)


def _look(cell: Any) -> Look:
    rules = {side: _WEIGHTS[getattr(cell.border, side).style] for side in _SIDES}
    return tuple(
        {
            "font_name": cell.font.name,
            "font_size": cell.font.sz,
            "bold": bool(cell.font.b),
            "font_color": f"#{cell.font.color.rgb[2:]}",
            "align": cell.alignment.horizontal,
            "valign": {"center": "vcenter"}.get(cell.alignment.vertical, cell.alignment.vertical),
            "text_wrap": bool(cell.alignment.wrap_text),
            "shrink": bool(cell.alignment.shrink_to_fit),
            "indent": int(cell.alignment.indent),
            "num_format": cell.number_format,
            "locked": cell.protection.locked,
            **({"bg_color": f"#{cell.fill.start_color.rgb[2:]}"} if cell.fill.fill_type else {}),
            **{side: weight for side, weight in rules.items() if weight},
        }.items()
    )


def write_pages(path: Path, pages: list[Page]) -> None:
    """Write them all with XlsxWriter as it comes."""
    with xlsxwriter.Workbook(path) as book:
        looks: dict[Look, Any] = {}

        def look(wanted: Look) -> Any:
            if wanted not in looks:
                looks[wanted] = book.add_format(dict(wanted))
            return looks[wanted]

        loud = book.add_format({"bold": True, "font_color": "#FFFFFF", "bg_color": "#262626", "border": 1})
        for page in pages:
            _write_page(book, page, look, loud)


def _write_page(book: Any, page: Page, look: Any, loud: Any) -> None:
    sheet = book.add_worksheet(page.title)
    for column, width, hidden in page.widths:
        sheet.set_column(column, column, width, None, {"hidden": hidden})
    for row, height, hidden in page.heights:
        sheet.set_row(row, height, None, {"hidden": hidden})
    for top, left, bottom, right, wanted in page.merged:
        sheet.merge_range(top, left, bottom, right, "", look(wanted))
    for row, column, kind, content, wanted in page.cells:
        style = look(wanted)
        if kind == "runs":
            parts = [part for run, text in content for part in (look(run), text)]
            sheet.write_rich_string(row, column, *parts, style)
        elif kind == "formula":
            sheet.write_formula(row, column, content[0], style, content[1])
        elif kind == "number":
            sheet.write_number(row, column, content, style)
        elif kind == "text":
            sheet.write_string(row, column, content, style)
        else:
            sheet.write_blank(row, column, None, style)
    for cells, options in page.lists:
        sheet.data_validation(cells, dict(options))
    for cells, formula in page.rules:
        sheet.conditional_format(cells, {"type": "formula", "criteria": f"={formula}", "format": loud})
    for name, place in page.names:
        book.define_name(f"'{page.title}'!{name}", f"={place}")
    sheet.freeze_panes(*page.frozen)
    sheet.protect()
    sheet.hide_gridlines(2)
    sheet.set_landscape()
    sheet.set_paper(9)
    sheet.fit_to_pages(1, 1)
    sheet.center_horizontally()
    sheet.print_area(page.area)
    sheet.set_margins(*page.margins)
    sheet.set_header(page.head)
    sheet.set_footer(page.foot)
