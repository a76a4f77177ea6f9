"""Workbooks as this program writes them: openpyxl keeps styles, views, names and printing, cells are ours."""

import re
from collections.abc import Callable, Mapping, Sequence
from datetime import date as Date
from datetime import datetime, time
from io import BytesIO
from pathlib import Path
from typing import Any
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

import openpyxl
from openpyxl.cell.cell import Cell
from openpyxl.packaging.custom import StringProperty
from openpyxl.styles import Alignment, Border, Font, PatternFill, Protection, Side
from openpyxl.utils.indexed_list import IndexedList
from openpyxl.worksheet.cell_range import CellRange
from openpyxl.worksheet.worksheet import Worksheet
from openpyxl.writer.excel import ExcelWriter

from tourney.files import save
from tourney.papers.cells import Content, Gap, cell_name, cell_xml, fill_gaps
from tourney.papers.sheet_style import DARK, FONT, MIDDLE, Look, Rule
from tourney.papers.text_cells import clean, sheet_title

NO_DAY = Date(2000, 1, 1)  # of files that are made before the event has a date
_NO_TIME = (1980, 1, 1, 0, 0, 0)
_EXTENT = re.compile('<dimension ref="[^"]*" />')
_CELLS = "<sheetData></sheetData>"


class Sheet:
    """A worksheet. frame: all of it but rows and cells. Rows and columns count from 1."""

    def __init__(self, frame: Worksheet, number_of: Callable[[Look], int]) -> None:
        self.frame, self.title = frame, frame.title
        self._number_of = number_of
        self._rows: dict[int, dict[int, str]] = {}
        self._row_forms: dict[int, str] = {}
        self._model: Sheet = self
        self._gaps: Mapping[str, str] | None = None

    def put(self, row: int, column: int, content: Content, look: Look, gap: Gap | None = None) -> None:
        """Write a cell, or give an empty one its look. gap: where another look may take the place of this one."""
        style = str(self._number_of(look))
        style = gap.mark(style) if gap else style
        self._rows.setdefault(row, {})[column] = cell_xml(cell_name(row, column), style, content)

    def merge(self, row: int, first: int, last: int, content: Content, look: Look) -> None:
        """Join the cells of a row from column `first` to `last` and write content there."""
        for column in range(first, last + 1) if look.fill or any(look.rules) else ():
            self.put(row, column, None, look)
        if last > first:
            # Not merge_cells, which would redraw borders that are drawn here already, cell by cell.
            self.frame.merged_cells.add(CellRange(min_row=row, min_col=first, max_row=row, max_col=last).coord)
        self.put(row, first, content, look)

    def height(self, row: int, points: float) -> None:
        """Make a row so high."""
        self._row_forms[row] = f' ht="{points}" customHeight="1"'

    def hide_row(self, row: int) -> None:
        """Keep a row out of sight."""
        self._row_forms[row] = ' hidden="1"'

    def take_after(self, model: "Sheet", gaps: Mapping[str, str]) -> None:
        """Be like `model`, an earlier sheet of the workbook or this one, with its gaps filled: see fill_gaps."""
        self._model, self._gaps = model, gaps

    @property
    def drawn(self) -> bool:
        """Has it cells of its own, so that it takes after no other."""
        return self._model is self

    def xml(self, done: Mapping["Sheet", str]) -> str:
        """The whole sheet with its gaps filled. done: every drawn sheet, as with_cells gave it."""
        return done[self] if self._gaps is None else fill_gaps(done[self._model], self._gaps)

    def with_cells(self, frame: str) -> str:
        """The frame, as openpyxl wrote it, with all rows and cells in it."""
        columns = [column for row in self._rows.values() for column in row]
        if columns:
            last = cell_name(max(self._rows), max(columns))
            frame = _EXTENT.sub(f'<dimension ref="{cell_name(min(self._rows), min(columns))}:{last}"/>', frame, 1)
        rows = sorted({*self._rows, *self._row_forms})
        cells = "".join(f'<row r="{row}"{self._row_forms.get(row, "")}>{self._row_xml(row)}</row>' for row in rows)
        return frame.replace(_CELLS, f"<sheetData>{cells}</sheetData>", 1)

    def _row_xml(self, row: int) -> str:
        return "".join(cell for _, cell in sorted(self._rows.get(row, {}).items()))


class Workbook:
    """A workbook in the family's typeface; the same content gives the same bytes."""

    def __init__(self, title: str, day: Date = NO_DAY) -> None:
        """day: stands in the file's properties instead of the present time."""
        self._frame = openpyxl.Workbook()
        self._scratch = self._frame.worksheets[0]
        self._frame.remove(self._scratch)
        self._sheets: list[Sheet] = []
        self._numbers: dict[Look, int] = {}
        font = Font(name=FONT, size=10)
        styles: Any = self._frame
        styles._fonts = IndexedList([font])
        styles._named_styles["Normal"].font = font  # column widths are counted in its digits
        about = self._frame.properties
        about.title, about.creator = clean(title), "tourney"
        about.created = about.modified = datetime.combine(day, time())

    def add(self, title: str) -> Sheet:
        """A new sheet at the end; its title is shortened and cleaned as titles must be, and like no other."""
        frame: Worksheet = self._frame.create_sheet(sheet_title(title, [sheet.title for sheet in self._sheets]))
        self._sheets.append(Sheet(frame, self.number_of))
        return self._sheets[-1]

    def tell(self, **facts: str) -> None:
        """Custom properties of the file, for other programs."""
        frame: Any = self._frame
        for name, value in facts.items():
            frame.custom_doc_props.append(StringProperty(name=name, value=clean(value)))

    def open_at(self, sheet: Sheet) -> None:
        """Show this sheet first when the file is opened."""
        self._frame.active = self._sheets.index(sheet)

    def number_of(self, look: Look) -> int:
        """The number by which cells of this workbook name a look; worked out once for each."""
        number = self._numbers.get(look)
        if number is None:
            number = self._numbers[look] = _styled(Cell(self._scratch, row=1, column=1), look)
        return number

    def save(self, path: Path) -> None:
        """Write the file. FileTrouble when it is open elsewhere or the folder is read-only."""
        draft = BytesIO()
        _FrameWriter(self._frame, ZipFile(draft, "w"), self._sheets).save()
        save(path, lambda target: self._pack(draft, target))

    def _pack(self, draft: BytesIO, target: Path) -> None:
        done: dict[Sheet, str] = {}
        with ZipFile(draft) as parts, ZipFile(target, "w") as archive:

            def write(name: str, content: bytes) -> None:
                archive.writestr(ZipInfo(name, _NO_TIME), content, ZIP_DEFLATED)

            places = {sheet.frame.path.lstrip("/"): sheet for sheet in self._sheets}
            for name in parts.namelist():
                if name not in places:
                    write(name, parts.read(name))
            for name, sheet in places.items():
                if sheet.drawn:
                    done[sheet] = sheet.with_cells(parts.read(name).decode())
                write(name, sheet.xml(done).encode())


class _FrameWriter(ExcelWriter):
    """Writes everything but cells; of a sheet that takes after another only that it is there."""

    def __init__(self, workbook: openpyxl.Workbook, archive: ZipFile, sheets: Sequence[Sheet]) -> None:
        super().__init__(workbook, archive)
        self._drawn = {sheet.frame for sheet in sheets if sheet.drawn}

    def write_worksheet(self, ws: Worksheet) -> None:
        if ws in self._drawn:
            super().write_worksheet(ws)
        else:
            self.manifest.append(ws)


def _styled(cell: Cell, look: Look) -> int:
    cell.font = Font(name=FONT, size=look.size, bold=look.bold, color=look.ink)
    cell.fill = _fill(look)
    cell.alignment = Alignment(
        horizontal=look.across, vertical=look.up, wrap_text=look.wrap, shrink_to_fit=look.shrink, indent=look.indent
    )
    left, right, top, bottom = map(_side, look.rules)
    cell.border = Border(left, right, top, bottom)
    cell.number_format = look.number
    cell.protection = Protection(locked=not look.entry)
    return cell.style_id


def _fill(look: Look) -> PatternFill:
    if look.hatched:
        return PatternFill("lightUp", start_color=DARK, end_color=look.fill)
    return PatternFill("solid", start_color=look.fill) if look.fill else PatternFill()


def _side(rule: Rule) -> Side:
    return Side(style="thin", color=MIDDLE) if rule == "light" else Side(style=rule or None, color=DARK)
