"""Where the boxes of a written score sheet are, found by its hidden tags."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from io import BytesIO

from openpyxl.utils import get_column_letter
from python_calamine import CalamineWorkbook

from tourney.model.sheet_layout import INITIALS_TAG, JUDGED_TAG, parse_identity

Rows = Sequence[Sequence[object]]


@dataclass(frozen=True, slots=True)
class Places:
    """Addresses such as D8. boxes: by line and call. ticks: by call."""

    code: str
    boxes: dict[tuple[int, int], str]
    ticks: dict[int, str]
    initials: str


def sheet_places(content: bytes) -> Iterator[Places | None]:
    """The places of every sheet of a workbook, in order; None for a sheet that is no score sheet.

    CalamineError when the content is no workbook.
    """
    workbook = CalamineWorkbook.from_filelike(BytesIO(content))
    for name in workbook.sheet_names:
        yield _places(workbook.get_sheet_by_name(name).to_python(skip_empty_area=False))


def _places(rows: Rows) -> Places | None:
    identity = parse_identity(rows[0][0]) if rows else None
    if identity is None:
        return None
    columns = {str(tag): column for column, tag in enumerate(rows[0])}
    calls = {int(tag.split()[1]): column for tag, column in columns.items() if tag.startswith("call ")}
    boxes: dict[tuple[int, int], str] = {}
    ticks: dict[int, str] = {}
    initials = ""
    for number, row in enumerate(rows[1:], 2):
        tag = str(row[0])
        here = {call: f"{get_column_letter(column + 1)}{number}" for call, column in calls.items()}
        if tag.startswith("line "):
            boxes |= {(int(tag.split()[1]), call): address for call, address in here.items()}
        elif tag == JUDGED_TAG:
            ticks = here
        elif tag == INITIALS_TAG:
            initials = f"{get_column_letter(columns[tag] + 1)}{number}"
    return Places(identity.code, boxes, ticks, initials)
