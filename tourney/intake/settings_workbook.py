"""event.xlsx as a document, by the layout of model/settings_layout.py."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any

from tourney.faults import Code
from tourney.intake.cells import Value, as_text
from tourney.intake.findings import Findings
from tourney.intake.nearest import key, nearest, suggestion, word_key
from tourney.intake.settings_cells import from_cell
from tourney.intake.settings_document import Document
from tourney.intake.settings_schema import KeyPath, schema_at
from tourney.intake.sheets import Sheet
from tourney.model.settings_layout import (
    BAND_DIVISION,
    HEADER_WITHIN,
    KEY,
    MEANING,
    OFFICIALS_SHEET,
    SHEETS,
    VALUE,
    SettingsSheet,
)

_BASE: dict[str, KeyPath] = {"event": (), "pauses": ("day", "pauses")}  # other sheets: the key of the same name


@dataclass
class _Gathered:
    """What has been read so far."""

    file: str
    findings: Findings
    values: dict[str, Any] = field(default_factory=dict)
    places: dict[KeyPath, str] = field(default_factory=dict)

    def put(self, path: KeyPath, value: Value, place: str) -> None:
        """Keep a cell's place, and its value unless it is empty."""
        self.places[path] = place
        if value != "":
            _put(self.values, path, from_cell(value, schema_at(path)))


def read_workbook(file: str, sheets: Sequence[Sheet], findings: Findings) -> Document:
    """The settings in these sheets; what can't be placed goes to the findings."""
    gathered = _Gathered(file, findings)
    by_name = {word_key(sheet.name): sheet for sheet in sheets}
    _misnamed(file, by_name, findings)
    read: dict[str, Callable[[_Gathered, SettingsSheet, Sheet], None]] = {
        "pairs": _pairs,
        "rows": _rows,
        "columns": _columns,
    }
    for layout in SHEETS:
        if layout.name in by_name:
            read[layout.shape](gathered, layout, by_name[layout.name])
    return Document(file, gathered.values, gathered.places)


def _misnamed(file: str, by_name: dict[str, Sheet], findings: Findings) -> None:
    """A sheet whose name nearly is one that is not there."""
    known = [*(layout.name for layout in SHEETS), OFFICIALS_SHEET]
    absent = [name for name in known if name not in by_name]
    for name, sheet in by_name.items():
        near = None if name in known else nearest(name, absent, 0.8)
        if near:
            findings.fault(
                file,
                sheet.name,
                Code.UNKNOWN_KEY,
                f'A sheet "{sheet.name}" is not known.',
                f'If it is "{near}", call it so.',
            )


def _header(gathered: _Gathered, sheet: Sheet, needed: Sequence[str]) -> tuple[int, dict[str, int]]:
    """Row number and columns of the first row near the top with all of these words; 0 and a fault when none has."""
    for number, cells in sheet.lines[:HEADER_WITHIN]:
        found = {word_key(as_text(cell)): place for place, cell in reversed(list(enumerate(cells))) if cell != ""}
        if all(word in found for word in needed):
            return number, found
    if any(cell != "" for _, cells in sheet.lines for cell in cells):
        gathered.findings.fault(
            sheet.file,
            sheet.name,
            Code.MISSING_COLUMN,
            f'The sheet "{sheet.name}" has no row with {" and ".join(needed)} near its top.',
            "Write these words above the columns.",
        )
    return 0, {}


def _below(sheet: Sheet, header: int) -> Iterator[tuple[int, tuple[Value, ...]]]:
    return ((number, cells) for number, cells in sheet.lines if number > header and any(cell != "" for cell in cells))


def _keyed(
    gathered: _Gathered, layout: SettingsSheet, sheet: Sheet, header: int, column: int
) -> Iterator[tuple[int, tuple[Value, ...], KeyPath]]:
    """Row, cells and key of each row that names a key; unknown and repeated ones are faults."""
    known = {word_key(found.name): found.name for found in layout.keys}
    seen = set()
    for number, cells in _below(sheet, header):
        word = as_text(cells[column])
        name = known.get(word_key(word))
        if name in seen:
            gathered.findings.fault(
                sheet.file, sheet.where(number, column), Code.DUPLICATE_NAME, f"{name} is there twice.", "Keep one row."
            )
        elif name is not None:
            seen.add(name)
            yield number, cells, tuple(name.split("."))
        elif word:
            gathered.findings.fault(
                sheet.file,
                sheet.where(number, column),
                Code.UNKNOWN_KEY,
                f"{word} is not a key of {layout.name}.",
                suggestion(word, known.values()),
            )


def _pairs(gathered: _Gathered, layout: SettingsSheet, sheet: Sheet) -> None:
    header, columns = _header(gathered, sheet, (KEY, VALUE))
    if not header:
        return
    base = _BASE.get(layout.name, (layout.name,))
    for number, cells, path in _keyed(gathered, layout, sheet, header, columns[KEY]):
        gathered.put((*base, *path), cells[columns[VALUE]], sheet.where(number, columns[VALUE]))


def _columns(gathered: _Gathered, layout: SettingsSheet, sheet: Sheet) -> None:
    header, columns = _header(gathered, sheet, (KEY,))
    if not header:
        return
    rows = list(_keyed(gathered, layout, sheet, header, columns[KEY]))
    beside = {columns[KEY], columns.get(MEANING)}
    width = max((len(cells) for _, cells, _ in rows), default=0)
    filled = [
        place for place in range(width) if place not in beside and any(cells[place] != "" for _, cells, _ in rows)
    ]
    for index, place in enumerate(filled):
        gathered.places[(layout.name, index)] = sheet.where(header, place)
        for number, cells, path in rows:
            gathered.put((layout.name, index, *path), cells[place], sheet.where(number, place))


def _rows(gathered: _Gathered, layout: SettingsSheet, sheet: Sheet) -> None:
    names = [found.name for found in layout.keys]
    header, columns = _header(gathered, sheet, [found.name for found in layout.keys if found.needed])
    if not header:
        return
    for word, place in columns.items():
        if word not in (*names, MEANING):
            gathered.findings.fault(
                sheet.file,
                sheet.where(header, place),
                Code.UNKNOWN_KEY,
                f"{word} is not a key of {layout.name}.",
                suggestion(word, names),
            )
    rows = [
        (number, {name: (cells[columns[name]], columns[name]) for name in names if name in columns})
        for number, cells in _below(sheet, header)
    ]
    rows = [(number, cells) for number, cells in rows if any(value != "" for value, _ in cells.values())]
    if layout.name == "bands":
        _bands(gathered, sheet, rows)
        return
    base = _BASE.get(layout.name, (layout.name,))
    for index, (number, cells) in enumerate(rows):
        gathered.places[(*base, index)] = sheet.where(number)
        for name, (value, place) in cells.items():
            gathered.put((*base, index, name), value, sheet.where(number, place))


def _bands(gathered: _Gathered, sheet: Sheet, rows: list[tuple[int, dict[str, tuple[Value, int]]]]) -> None:
    """Each band goes to the division that its row names, or to all. What the sheet says goes, even when it is empty."""
    divisions = gathered.values.get("divisions", [])
    names = {key(str(division.get("name", ""))): index for index, division in enumerate(divisions)}
    for division in divisions:
        division["bands"] = []
    for number, cells in rows:
        text, place = as_text(cells.get(BAND_DIVISION, ("", 0))[0]), cells.get(BAND_DIVISION, ("", 0))[1]
        if text and key(text) not in names:
            gathered.findings.fault(
                sheet.file,
                sheet.where(number, place),
                Code.UNKNOWN_DIVISION,
                f'There is no division "{text}".',
                suggestion(text, (str(division.get("name", "")) for division in divisions)),
            )
            continue
        for index in [names[key(text)]] if text else range(len(divisions)):
            path = ("divisions", index, "bands", len(divisions[index]["bands"]))
            gathered.places[path] = sheet.where(number)
            divisions[index]["bands"].append({})
            for name in (name for name in cells if name != BAND_DIVISION):
                gathered.put((*path, name), cells[name][0], sheet.where(number, cells[name][1]))


def _put(values: Any, path: KeyPath, value: Any) -> None:
    """Set a value deep in tables and lists, making those that are missing."""
    for step, following in pairwise(path):
        if isinstance(step, int):
            while len(values) <= step:
                values.append({})
            values = values[step]
        else:
            values = values.setdefault(step, [] if isinstance(following, int) else {})
    values[path[-1]] = value
