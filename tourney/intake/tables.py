"""Tables as people send them: the header is looked for, columns stand in any order, every cell keeps its place."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from tourney.faults import Code
from tourney.intake.cells import Value, as_text
from tourney.intake.findings import Findings
from tourney.intake.grid import Unreadable
from tourney.intake.nearest import nearest, word_key
from tourney.intake.sheets import Sheet, csv_sheets, read_file, workbook_sheets
from tourney.model.settings_layout import HEADER_WITHIN
from tourney.model.table_columns import Column

KINDS = (".xlsx", ".csv")
WORKBOOKS = (".xlsm", ".ods", ".xls")  # what a club's entries may come as besides
_LISTED = 8  # further columns that a note names one by one


@dataclass(frozen=True, slots=True)
class Row:
    """One row with something in it. cells: known columns that are filled in. extra: further columns, kept as sent."""

    sheet: Sheet
    number: int
    cells: dict[str, Value]
    extra: dict[str, Value]
    places: dict[str, int]

    @property
    def file(self) -> str:
        """The file it stands in."""
        return self.sheet.file

    def where(self, column: str = "name") -> str:
        """The place of one of its cells, filled or not."""
        return self.sheet.where(self.number, self.places.get(column, 0))

    def text(self, column: str) -> str:
        """A cell as text, empty when nothing stands there."""
        return as_text(self.cells[column]) if column in self.cells else ""


@dataclass(frozen=True, slots=True)
class Table:
    """One table: the columns it has, and its rows."""

    sheet: Sheet
    header: int
    columns: frozenset[str]
    rows: tuple[Row, ...]


@dataclass(frozen=True, slots=True)
class _Header:
    sheet: Sheet
    number: int
    places: dict[str, int]
    others: dict[str, int]
    twice: tuple[str, ...]


def of_other_kind(folder: Path, stem: str) -> str:
    """The name of a file in the folder that is called so and is of a kind not read there; empty where there is none."""
    found = (path.name for path in folder.iterdir() if path.stem.casefold() == stem and path.is_file())
    return min(found, default="")


def read_tables(path: Path, file: str, columns: Sequence[Column], findings: Findings) -> tuple[Table, ...]:
    """All tables of a workbook or CSV file that have these columns. What is wrong goes to the findings."""
    try:
        content = read_file(path)
        sheets = csv_sheets(file, content) if path.suffix.lower() == ".csv" else workbook_sheets(file, content)
    except Unreadable as trouble:
        findings.loss(file, "", Code.UNREADABLE_FILE, f"{path.name} {trouble.message}", trouble.hint)
        return ()
    return tables_in(sheets, columns, findings)


def tables_in(sheets: Sequence[Sheet], columns: Sequence[Column], findings: Findings) -> tuple[Table, ...]:
    """The tables among sheets of one file. A sheet whose header nearly fits is a fault, not passed over."""
    needed = {column.name for column in columns if column.needed}
    headers = [_header(sheet, columns) for sheet in sheets]
    if not sheets[0].name:  # one CSV text, read with each separator
        headers = [max(headers, key=lambda header: len(header.places))]
    least = min(2, len(columns))  # one word that fits may stand anywhere
    whole = [header for header in headers if needed <= header.places.keys() and len(header.places) >= least]
    nearly = [header for header in headers if header not in whole and header.sheet.visible]
    if whole:
        nearly = [header for header in nearly if len(header.places) >= 3]
    else:
        nearly = sorted(nearly, key=lambda header: -len(header.places))[:1]
    for header in nearly:
        _missing(header, columns, findings)
    return tuple(_table(header, columns, findings) for header in whole)


def _header(sheet: Sheet, columns: Sequence[Column]) -> _Header:
    """The row near the top in which most columns are named."""
    known = {word_key(column.name): column.name for column in columns}
    return max(
        (_named(sheet, number, cells, known) for number, cells in sheet.lines[:HEADER_WITHIN]),
        key=lambda header: len(header.places),
        default=_Header(sheet, 1, {}, {}, ()),
    )


def _named(sheet: Sheet, number: int, cells: tuple[Value, ...], known: dict[str, str]) -> _Header:
    places: dict[str, int] = {}
    others: dict[str, int] = {}
    twice = []
    for place, cell in enumerate(cells):
        name = known.get(word_key(as_text(cell)))
        if name is None and cell != "":
            others.setdefault(as_text(cell), place)
        elif name in places:
            twice.append(name)
        elif name is not None:
            places[name] = place
    return _Header(sheet, number, places, others, tuple(twice))


def _missing(header: _Header, columns: Sequence[Column], findings: Findings) -> None:
    """One fault a needed column that a header lacks."""
    for column in columns:
        if not column.needed or column.name in header.places:
            continue
        near = nearest(column.name, header.others)
        where = header.sheet.where(header.number, header.others[near] if near else 0)
        findings.loss(
            header.sheet.file,
            where,
            Code.MISSING_COLUMN,
            f'No column is called "{column.name}".',
            f'"{near}" looks like it: write "{column.name}" there.'
            if near
            else f"Add it to the row with the column names: {column.meaning}.",
        )


def _table(header: _Header, columns: Sequence[Column], findings: Findings) -> Table:
    sheet = header.sheet
    where = sheet.where(header.number)
    for name in header.twice:
        findings.fault(sheet.file, where, Code.DUPLICATE_NAME, f'Two columns are called "{name}".', "Keep one of them.")
    absent = [column.name for column in columns if column.name not in header.places]
    plain = {}
    for name, place in header.others.items():
        near = nearest(word_key(name), absent, 0.8)
        if near is None:
            plain[name] = place
        else:
            findings.fault(
                sheet.file,
                sheet.where(header.number, place),
                Code.UNKNOWN_COLUMN,
                f'Column "{name}" is not known.',
                f'If it is "{near}", write it so; otherwise give it a name less like that.',
            )
    _note_extra(header, plain, findings)
    after = [(number, cells) for number, cells in sheet.lines if number > header.number]
    rows = (_row(header, number, cells) for number, cells in after)
    return Table(sheet, header.number, frozenset(header.places), tuple(row for row in rows if row.cells))


def _note_extra(header: _Header, extra: dict[str, int], findings: Findings) -> None:
    if not extra:
        return
    names = list(extra)
    more = f" and {len(names) - _LISTED} more" if len(names) > _LISTED else ""
    findings.note(
        header.sheet.file,
        header.sheet.where(header.number, extra[names[0]]),
        Code.EXTRA_COLUMNS,
        f"Further columns are kept and not used: {', '.join(names[:_LISTED])}{more}.",
    )


def _row(header: _Header, number: int, cells: tuple[Value, ...]) -> Row:
    def filled(places: dict[str, int]) -> dict[str, Value]:
        return {name: cells[place] for name, place in places.items() if place < len(cells) and cells[place] != ""}

    return Row(header.sheet, number, filled(header.places), filled(header.others), header.places)
