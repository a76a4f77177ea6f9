"""The forms that go out: one for coaches to enter their teams, one for the officials."""

from collections.abc import Sequence
from dataclasses import replace

from openpyxl.utils import get_column_letter
from openpyxl.worksheet.datavalidation import DataValidation

from tourney.model.table_columns import ENTRIES, OFFICIALS, Column
from tourney.papers.cells import Content
from tourney.papers.settings_starter import ENTRY, EXAMPLE_DIVISION, word_list
from tourney.papers.table_sheet import FIRST_ROW, Field, Shown, fit_pages, write_lines, write_table
from tourney.papers.wide_tables import fit_table
from tourney.papers.workbook import Sheet, Workbook

_ROWS = 60
_DIVISIONS_SHEET, _MOST_DIVISIONS = "Divisions", 20
_WIDTHS = {"name": 48, "club": 40, "team": 40, "needs": 60, "preferred_name": 36, "people": 55, "clubs": 45}
_USUAL_WIDTH = 32
_FIXED = {"Entries": 4, "Officials": 1}  # columns up to the name, which stay in sight
_DAYS = ("birth_date", "cleared_until")  # columns of days
_TIMES = ("from", "to")
_SEVERAL = ("roles",)  # columns where a cell may hold more than one of the words
_CHILDREN = (
    "Send this file only to the coordinator, who alone keeps birth dates and needs, and removes them after the day. "
    "Write what a child needs, never why. Ask parents first. Where your local safeguarding and data protection rules "
    "ask for more, they go first."
)

ENTRIES_READ_ME = (
    ("What this is", "Your club's entry: one row a child, on the sheet Entries."),
    ("Club and team", "Repeat them in every row. A club may enter several teams: give each a name of its own."),
    ("Division", "Choose it from the list. If none is offered, write it as the coordinator's letter does."),
    ("Birth date", "Year, month, day, such as 2016-05-28, so that nobody can mistake the day for the month."),
    ("Name shown", "initial: first name and initial; full: both names; number: no name at all. Empty means initial."),
    ("Substitutes", "Write substitute in the column role. Everyone else stands in line; empty means member."),
    ("More time", "needs_seconds: only where the coordinator has agreed that a child gets more time."),
    ("Other columns", "Leave empty what does not apply. Columns of your own do no harm."),
    ("Children's details", _CHILDREN),
)
ENTRIES_FOR_COORDINATOR = (
    ("For the coordinator", "Write your divisions into the sheet Divisions before you send this form to the coaches."),
    ("", "Put what comes back into the folder entries, one file a club."),
)
OFFICIALS_READ_ME = (
    ("What this is", "Everyone who can serve: one row a person, on the sheet Officials."),
    ("Roles", "judge, caller, timekeeper, with ; between. Empty means any."),
    ("Ties", "Clubs and contestants close to a person, with ; between. Nobody serves in a heat with one of them."),
    ("Clearance", "The last day on which the local clearance to be with children holds. After it nobody is assigned."),
    ("Times", "From and to, 24-hour clock, such as 09:00. Empty means the whole day."),
    ("Afterwards", "Save it as officials.xlsx beside the settings, not in this folder."),
    ("Safeguarding", "Your local rules on clearance, and on adults alone with children, go first."),
)


def entry_form() -> Workbook:
    """The form for coaches: what it is, the entries, and the divisions to choose from."""
    workbook, sheet = _form("Entry form", "Entries", ENTRIES, (*ENTRIES_READ_ME, *ENTRIES_FOR_COORDINATOR))
    names: list[Content] = [EXAMPLE_DIVISION["name"], *[None] * (_MOST_DIVISIONS - 1)]
    rows = [[name] for name in names]
    remark = "Written here by the coordinator; offered as a list on the sheet Entries."
    fields = [Field("divisions", 60, ENTRY)]
    divisions = workbook.add(_DIVISIONS_SHEET)
    write_table(divisions, "Divisions", remark, fields, rows, filtered=False)
    fit_table(divisions, fields)
    last = FIRST_ROW + _MOST_DIVISIONS - 1
    offered = DataValidation(type="list", formula1=f"={_DIVISIONS_SHEET}!$A${FIRST_ROW}:$A${last}", allow_blank=True)
    offered.add(_cells(ENTRIES, "division"))
    sheet.frame.add_data_validation(offered)
    return workbook


def officials_form() -> Workbook:
    """The form for the list of officials."""
    return _form("Officials", "Officials", OFFICIALS, OFFICIALS_READ_ME)[0]


def _form(
    title: str, name: str, columns: Sequence[Column], read_me: Sequence[tuple[str, str]]
) -> tuple[Workbook, Sheet]:
    """A workbook that opens at the sheet to fill in, and that sheet."""
    workbook = Workbook(title)
    first, sheet = workbook.add("Read me"), workbook.add(name)
    write_lines(first, title, read_me)
    fields = [_field(column) for column in columns]
    row = [Shown(None, field.look) for field in fields]
    remark = "One row each. Columns marked Needed have to be filled in, the others where they apply."
    write_table(sheet, name, remark, fields, [row] * _ROWS, _FIXED[name], filtered=False)
    _offer(sheet, columns)
    fit_pages(first, headings=False)
    fit_table(sheet, fields, fixed=_FIXED[name])
    workbook.open_at(sheet)
    return workbook, sheet


def form_width(column: Column) -> float:
    """How wide a column of a form is, in mm."""
    return _WIDTHS.get(column.name, _USUAL_WIDTH)


def _field(column: Column) -> Field:
    pattern = "yyyy-mm-dd" if column.name in _DAYS else "@" if column.name in _TIMES else "General"
    meaning = f"{column.meaning}. Needed." if column.needed else f"{column.meaning}."
    return Field(column.name, form_width(column), replace(ENTRY, number=pattern), meaning)


def _offer(sheet: Sheet, columns: Sequence[Column]) -> None:
    for column in columns:
        if column.words:
            one = column.name not in _SEVERAL
            sheet.frame.add_data_validation(word_list(column.words, _cells(columns, column.name), closed=one))


def _cells(columns: Sequence[Column], name: str) -> str:
    letter = get_column_letter(1 + [column.name for column in columns].index(name))
    return f"{letter}{FIRST_ROW}:{letter}{FIRST_ROW + _ROWS - 1}"
