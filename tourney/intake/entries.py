"""Entries: one row a child, from every workbook and CSV file in entries/."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date as Date
from pathlib import Path
from typing import TypeVar, get_args

from tourney.faults import Code
from tourney.intake.cells import as_text, as_whole
from tourney.intake.dates import readings
from tourney.intake.findings import Findings
from tourney.intake.nearest import key, one_of, suggestion
from tourney.intake.tables import KINDS, WORKBOOKS, Row, Table, read_tables
from tourney.model.event import Division, Event
from tourney.model.people import Contestant, ShowName
from tourney.model.table_columns import ENTRIES

FOLDER = "entries"
MOST_SECONDS = 300  # a longer time for one call is a slip of the keyboard
_JUNK = ("~$", ".")  # lock files of open workbooks, and what systems leave behind
_SYSTEM = ("desktop.ini", "thumbs.db")
_ROLES = ("member", "substitute")
Word = TypeVar("Word", bound=str)
_NEEDED = tuple(column.name for column in ENTRIES if column.needed)


@dataclass(frozen=True, slots=True)
class Entry:
    """One child as entered. births: the days that the birth date can mean. division: None when there is none such."""

    row: Row
    club: str
    team: str
    division: Division | None
    births: tuple[Date, ...]
    grade: int | None
    contestant: Contestant

    @property
    def name(self) -> str:
        """The child's name as entered."""
        return self.contestant.name


def spellings(entries: Iterable[Entry]) -> dict[str, str]:
    """Each club's key -> its name as first written."""
    return {key(entry.club): entry.club for entry in reversed(tuple(entries))}


def read_entries(folder: Path, event: Event | None, findings: Findings, late: Path | None = None) -> tuple[Entry, ...]:
    """All children, file by file in order of name. event: None when the settings can't be used. late: one more file."""
    files = list(_files(folder / FOLDER, findings))
    found = [entry for path in files for entry in _read_file(path, f"{FOLDER}/{path.name}", event, findings)]
    if late is not None and late.resolve() not in {path.resolve() for path in files}:
        found += _read_file(late, late.name, event, findings)
    if not found and complete(findings):
        findings.fault(
            FOLDER,
            "",
            Code.NO_ENTRIES,
            "There are no entries.",
            f"Put the clubs' workbooks or CSV files into the folder {FOLDER}.",
        )
    return tuple(found)


def complete(findings: Findings) -> bool:
    """Whether every row of every file in entries/ was taken in."""
    return not any(file.startswith(f"{FOLDER}/") for file in findings.lost)


def _files(folder: Path, findings: Findings) -> Iterator[Path]:
    """The files to read; other files are named, since there may be children in them."""
    if not folder.is_dir():
        return
    for path in sorted(folder.iterdir()):
        if path.name.startswith(_JUNK) or path.name.casefold() in _SYSTEM:
            continue
        file = f"{FOLDER}/{path.name}"
        if path.is_dir():
            findings.note(file, "", Code.UNREADABLE_FILE, f"{path.name} is a folder and is not looked into.")
        elif path.suffix.lower() in (*KINDS, *WORKBOOKS):
            yield path
        else:
            message = f"{path.name} is neither a workbook ({', '.join(('.xlsx', *WORKBOOKS))}) nor CSV."
            hint = "Save it as one of these, or take it out of the folder."
            findings.loss(file, "", Code.UNREADABLE_FILE, message, hint)


def _read_file(path: Path, file: str, event: Event | None, findings: Findings) -> Iterator[Entry]:
    tables = read_tables(path, file, ENTRIES, findings)
    if tables and not any(table.rows for table in tables):
        findings.note(file, "", Code.NO_ENTRIES, f"{path.name} lists no child.")
    for table in tables:
        entries = [entry for row in table.rows if (entry := _entry(row, event, findings))]
        for column, lacking in (("birth_date", _without_birth(entries)), ("grade", _without_grade(entries))):
            _name_lacking(table, column, lacking, findings)
        yield from entries


def _entry(row: Row, event: Event | None, findings: Findings) -> Entry | None:
    """The row as an entry; None when it lacks what every entry must have."""
    missing = [name for name in _NEEDED if not row.text(name)]
    for name in missing:
        whose = row.text("name") or (f"a child of {row.text('team')}" if row.text("team") else "")
        message = f"{name} is empty{f' for {whose}' if whose else ''}."
        findings.loss(row.file, row.where(name), Code.MISSING_VALUE, message, f"Write it in every row: {name}.")
    if missing:
        return None
    division = _division(row, event, findings)
    return Entry(
        row,
        row.text("club"),
        row.text("team"),
        division,
        _births(row, event, findings),
        _grade(row, findings),
        Contestant(
            id="",
            name=row.text("name"),
            preferred_name=row.text("preferred_name"),
            show_name=_word(row, "show_name", get_args(ShowName), "initial", findings),
            seconds=_seconds(row, division, findings),
            needs=row.text("needs"),
            seat=row.text("seat"),
            edition=row.text("edition"),
            substitute=_word(row, "role", _ROLES, "member", findings) == "substitute",
        ),
    )


def _division(row: Row, event: Event | None, findings: Findings) -> Division | None:
    if event is None:
        return None
    text = row.text("division")
    found = {key(division.name): division for division in event.divisions}.get(key(text))
    if found is None:
        hint = suggestion(text, (division.name for division in event.divisions))
        message = f'There is no division "{text}" ({row.text("name")}).'
        findings.fault(row.file, row.where("division"), Code.UNKNOWN_DIVISION, message, hint)
    return found


def _births(row: Row, event: Event | None, findings: Findings) -> tuple[Date, ...]:
    value = row.cells.get("birth_date", "")
    days = readings(value)
    past = tuple(day for day in days if event is None or day < event.date)
    if value != "" and not past:
        reason = "lies after the event" if days else "can't be read"
        findings.fault(
            row.file,
            row.where("birth_date"),
            Code.BAD_DATE,
            f"The birth date of {row.text('name')}, {as_text(value)}, {reason}.",
            "Write year-month-day, such as 2016-05-03, in a cell formatted as text or as a date.",
        )
    return past


def _grade(row: Row, findings: Findings) -> int | None:
    if "grade" not in row.cells:
        return None
    grade = as_whole(row.cells["grade"])
    if grade is None:
        message = f"The grade of {row.text('name')} is {row.text('grade')}."
        hint = "Write a whole number; 0 for the year before the first grade."
        findings.fault(row.file, row.where("grade"), Code.BAD_VALUE, message, hint)
    return grade


def _seconds(row: Row, division: Division | None, findings: Findings) -> int | None:
    if "needs_seconds" not in row.cells:
        return None
    seconds, least = as_whole(row.cells["needs_seconds"]), division.seconds if division else 1
    if seconds is None or not least <= seconds <= MOST_SECONDS:
        findings.fault(
            row.file,
            row.where("needs_seconds"),
            Code.BAD_VALUE,
            f"The seconds of {row.text('name')} are {row.text('needs_seconds')}.",
            f"Write all the seconds that this child has, a whole number from {least} to {MOST_SECONDS}; "
            "leave it empty for the division's own.",
        )
    return seconds


def _word(row: Row, column: str, words: Sequence[Word], default: Word, findings: Findings) -> Word:
    """One of the words that a column may hold; the default when it is empty."""
    text = row.text(column)
    found = {key(word): word for word in words}.get(key(text)) if text else default
    if found is None:
        message = f'{column} of {row.text("name")} is "{text}".'
        hint = f"{one_of(text, words)} Empty is {default}."
        findings.fault(row.file, row.where(column), Code.BAD_VALUE, message, hint)
        return default
    return found


def _without_birth(entries: Sequence[Entry]) -> list[Entry]:
    return [
        entry for entry in entries if entry.division and entry.division.ages and "birth_date" not in entry.row.cells
    ]


def _without_grade(entries: Sequence[Entry]) -> list[Entry]:
    return [entry for entry in entries if entry.division and entry.division.grades and "grade" not in entry.row.cells]


def _name_lacking(table: Table, column: str, lacking: Sequence[Entry], findings: Findings) -> None:
    """One fault a cell, or one for the whole table when the column is not there at all."""
    if lacking and column not in table.columns:
        where = table.sheet.where(table.header)
        message = f'No column is called "{column}", and {lacking[0].row.text("division")} needs it.'
        findings.fault(table.sheet.file, where, Code.MISSING_COLUMN, message, f'Add a column "{column}".')
        return
    for entry in lacking:
        message = f"{column} is empty for {entry.name}, and {entry.row.text('division')} needs it."
        findings.fault(entry.row.file, entry.row.where(column), Code.MISSING_VALUE, message, "Ask the club for it.")
