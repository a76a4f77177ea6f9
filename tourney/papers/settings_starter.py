"""event.xlsx as a coordinator first sees it: every key with its default and its meaning, one example to overwrite."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from openpyxl.utils import get_column_letter
from openpyxl.worksheet.datavalidation import DataValidation

from tourney.model.event import Division
from tourney.model.settings_layout import KEY, MEANING, NO, SHEET, SHEETS, VALUE, YES, CellValue, Key, SettingsSheet
from tourney.papers.cells import Content
from tourney.papers.sheet_style import Look, Rules
from tourney.papers.table_sheet import BODY, FIRST_ROW, Field, Shown, fit_pages, write_lines, write_table
from tourney.papers.wide_tables import fit_table
from tourney.papers.workbook import Sheet, Workbook

EXAMPLE_ROOM = {"name": "Room 1"}
EXAMPLE_DIVISION = {"name": "Junior", "ages": "8, 10"}
_DIVISION_COLUMNS, _EMPTY_ROWS = 6, 10
_LIGHT: Rules = ("light", "light", "light", "light")
_FRAME: Rules = ("medium", "medium", "medium", "medium")
ENTRY = Look(10, up="top", wrap=True, indent=1, rules=_LIGHT)
_DAYS = ("date", "age_on")  # keys that hold a day
_KEY_LOOK = replace(BODY, bold=True, indent=0)
_MEANING_LOOK = replace(BODY, ink="595959")

READ_ME = (
    ("What this is", "Everything you decide about the day. One sheet for each matter; the names below are the sheets."),
    *((sheet.name, f"{sheet.meaning[0].upper()}{sheet.meaning[1:]}.") for sheet in SHEETS),
    (
        "Where to write",
        "In the framed cells. Heavy frames have to be filled in. Leave a cell empty: the default holds.",
    ),
    ("What to leave", "The words in the column `key`, the headings above the columns, and the sheets' names."),
    ("Example", "The room and the division are examples: write your own over them, and add as many as you need."),
    ("Lists", "Several words or numbers in one cell have commas between them, such as 8, 10."),
    ("Afterwards", "Save. Then run `tourney check` on this folder: it reads the rules back in plain sentences."),
    (
        "Children",
        "No child's name belongs in this file. Entries, with birth dates and needs, stay with you, the coordinator. "
        "Follow your local safeguarding and data protection rules first; nothing here replaces them.",
    ),
)


def settings_workbook() -> Workbook:
    """The workbook; it is sound once a name and a date are filled in."""
    workbook = Workbook("Settings of the day")
    first = workbook.add("Read me")
    write_lines(first, "Settings of the day", READ_ME)
    fit_pages(first, headings=False)
    for layout in SHEETS:
        sheet = workbook.add(layout.name)
        fields, rows = _SHAPES[layout.shape](layout)
        title = f"{layout.name[0].upper()}{layout.name[1:]}"
        fixed = 1 if layout.shape == "columns" else 0
        write_table(sheet, title, layout.meaning, fields, rows, fixed, filtered=False)
        _offer_words(sheet, layout, len(rows))
        fit_table(sheet, fields, fixed=fixed)
    return workbook


Rows = Sequence[Sequence[Content | Shown]]


def _pairs(layout: SettingsSheet) -> tuple[tuple[Field, ...], Rows]:
    fields = (Field(KEY, 40, _KEY_LOOK), Field(VALUE, 70, ENTRY), Field(MEANING, 130, _MEANING_LOOK))
    return fields, [(key.name, Shown(key.default, _entry(key)), _explained(key)) for key in layout.keys]


def _columns(layout: SettingsSheet) -> tuple[tuple[Field, ...], Rows]:
    """One filled column as an example, and room for more."""
    more = [Field(f"division {number}", 45, ENTRY) for number in range(1, _DIVISION_COLUMNS + 1)]
    rows: list[Sequence[Content | Shown]] = []
    for key in layout.keys:
        example = Shown(EXAMPLE_DIVISION.get(key.name, key.default), _entry(key))
        empty = Shown(None, replace(_entry(key), rules=_LIGHT))
        rows.append((key.name, _explained(key), example, *[empty] * (_DIVISION_COLUMNS - 1)))
    return (Field(KEY, 40, _KEY_LOOK), Field(MEANING, 95, _MEANING_LOOK), *more), rows


def _rows(layout: SettingsSheet) -> tuple[tuple[Field, ...], Rows]:
    fields = tuple(Field(key.name, 45, ENTRY, _explained(key)) for key in layout.keys)
    filled = [
        [Shown(value, _entry(key)) for key, value in zip(layout.keys, row, strict=True)] for row in _given(layout)
    ]
    empty = [Shown(None, replace(_entry(key), rules=_LIGHT)) for key in layout.keys]
    return fields, [*filled, *[empty] * (_EMPTY_ROWS - len(filled))]


_SHAPES = {"pairs": _pairs, "columns": _columns, "rows": _rows}


def _given(layout: SettingsSheet) -> Iterator[Sequence[CellValue]]:
    """Rows that stand there from the beginning: the example room, and the bands that hold by default."""
    if layout is SHEET["rooms"]:
        yield [EXAMPLE_ROOM.get(key.name, key.default) for key in layout.keys]
    if layout is SHEET["bands"]:
        for band in Division.model_fields["bands"].default:
            values = band.model_dump(by_alias=True)
            yield [values.get(key.name, "") for key in layout.keys]


def _entry(key: Key) -> Look:
    """Text stays as typed, so that 8-10 becomes no day of October; numbers are numbers, days are days."""
    pattern = "yyyy-mm-dd" if key.name in _DAYS else "General" if isinstance(key.default, int | float) else "@"
    return replace(ENTRY, number=pattern, rules=_FRAME if key.needed else _LIGHT)


def _explained(key: Key) -> str:
    if key.needed:
        return f"{key.meaning}. Needed."
    empty = f" Empty: {key.default}." if key.default != "" else ""
    return f"{key.meaning}.{choice(key)}{empty}"


def choice(key: Key) -> str:
    """The words that a key may hold, as a sentence; nothing where its meaning tells them already."""
    told = not key.words or key.words == (YES, NO) or all(word in key.meaning for word in key.words)
    return "" if told else f" {'One of' if key.closed else 'Words'}: {', '.join(key.words)}."


def _offer_words(sheet: Sheet, layout: SettingsSheet, rows: int) -> None:
    """A list to choose from wherever only certain words will do."""
    for place, key in enumerate(layout.keys):
        if not key.words:
            continue
        if layout.shape == "rows":
            column = get_column_letter(place + 1)
            cells = f"{column}{FIRST_ROW}:{column}{FIRST_ROW + rows - 1}"
        else:
            row = FIRST_ROW + place
            cells = f"B{row}" if layout.shape == "pairs" else f"C{row}:{get_column_letter(2 + _DIVISION_COLUMNS)}{row}"
        sheet.frame.add_data_validation(word_list(key.words, cells, closed=key.closed))


def word_list(words: Sequence[str], cells: str, *, closed: bool) -> DataValidation:
    """Offer words for these cells. closed: nothing else will do; otherwise they are only told, since more may stand."""
    offered = ",".join(words)
    if closed:
        validation = DataValidation(type="list", formula1=f'"{offered}"', allow_blank=True, showErrorMessage=True)
        validation.errorTitle, validation.error = "Not one of the words", f"Choose one of: {offered}."
    else:
        validation = DataValidation(allow_blank=True, showInputMessage=True)
        validation.promptTitle, validation.prompt = "Words that may stand here", ", ".join(words)[:255]
    validation.add(cells)
    return validation
