"""Officials: who can serve, with which ties to clubs and children."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date as Date
from pathlib import Path
from typing import get_args

from tourney.faults import Code, Question
from tourney.intake.answers import Answers, question_id
from tourney.intake.cells import as_clock, as_list, as_yes_no
from tourney.intake.dates import long_date, readings
from tourney.intake.entries import Entry, complete, spellings
from tourney.intake.findings import Findings
from tourney.intake.nearest import key, nearest, one_of, word_key
from tourney.intake.settings import WORKBOOK
from tourney.intake.sheets import Sheet
from tourney.intake.tables import KINDS, Row, Table, of_other_kind, read_tables, tables_in
from tourney.model.people import Duty, EnteredOfficial, Official
from tourney.model.settings_layout import OFFICIALS_SHEET
from tourney.model.table_columns import OFFICIALS

STEM = "officials"
Child = tuple[str, str]  # club and name


@dataclass(frozen=True)
class _Known:
    """Who is entered. clubs: by key. children: by name's key. event_date: None when the settings don't say.

    all_read: whether a club or child that is not among them is surely not entered.
    """

    clubs: dict[str, str]
    children: dict[str, list[Child]]
    all_read: bool
    event_date: Date | None


def read_officials(
    folder: Path,
    sheets: Sequence[Sheet],
    entries: Sequence[Entry],
    event_date: Date | None,
    answers: Answers,
    findings: Findings,
) -> tuple[EnteredOfficial, ...]:
    """All officials in the order of their table. sheets: of event.xlsx. entries: the clubs and children there are."""
    clubs = spellings(entries)
    children: dict[str, list[Child]] = defaultdict(list)
    for entry in entries:
        children[key(entry.name)].append((clubs[key(entry.club)], entry.name))
    known = _Known(clubs, children, complete(findings), event_date)
    rows = [row for table in _tables(folder, sheets, findings) for row in table.rows]
    found = [official for row in rows if (official := _official(row, known, answers, findings))]
    _name_repeated(rows, findings)
    return tuple(found)


def _tables(folder: Path, sheets: Sequence[Sheet], findings: Findings) -> tuple[Table, ...]:
    files = [STEM + kind for kind in KINDS if (folder / (STEM + kind)).is_file()]
    inside = [sheet for sheet in sheets if word_key(sheet.name) == OFFICIALS_SHEET]
    tables = tables_in(inside, OFFICIALS, findings) if inside else ()
    sources = [*files, *([f"{WORKBOOK}, sheet {OFFICIALS_SHEET}"] if any(table.rows for table in tables) else [])]
    if len(sources) > 1:
        message = f"Officials are listed in {' and in '.join(sources)}."
        findings.fault(files[0], "", Code.TWO_SETTINGS, message, "Keep one list and take the others out.")
    if not sources:
        message = f"There is no list of officials: neither {STEM}.csv nor {STEM}.xlsx nor a sheet {OFFICIALS_SHEET}."
        other = of_other_kind(folder, STEM)
        hint = f"Save {other} as {STEM}.xlsx." if other else "List who can serve, one a row."
        findings.fault(f"{STEM}.csv", "", Code.MISSING_FILE, message, hint)
    if files:
        tables = read_tables(folder / files[0], files[0], OFFICIALS, findings)
        if tables and not any(table.rows for table in tables):
            message = f"{files[0]} lists nobody."
            findings.fault(files[0], "", Code.NO_ENTRIES, message, "List who can serve, one a row.")
    return tables


def _official(row: Row, known: _Known, answers: Answers, findings: Findings) -> EnteredOfficial | None:
    name = row.text("name")
    if not name:
        findings.fault(row.file, row.where(), Code.MISSING_VALUE, "name is empty.", "Write first name and surname.")
        return None
    clubs = _clubs(row, known, findings)
    people = _people(row, known, findings)
    _note_surname(row, known, clubs, people, findings)
    start, end = _hours(row, findings)
    official = Official(
        id="",
        name=name,
        roles=_roles(row, findings),
        clubs=clubs,
        start=start,
        end=end,
        cleared=_cleared(row, known, answers, findings),
        step_free_only=_yes(row, "rooms_step_free", findings),
        large_print=_yes(row, "large_print", findings),
    )
    return EnteredOfficial(official, people)


def _roles(row: Row, findings: Findings) -> tuple[Duty, ...]:
    duties: dict[str, Duty] = {duty: duty for duty in get_args(Duty)}
    found = []
    for word in as_list(row.text("roles")):
        duty = duties.get(key(word))
        if duty is None:
            message = f'"{word}" is not a duty ({row.text("name")}).'
            hint = f"{one_of(word, duties)} Put ; between two; empty is any."
            findings.fault(row.file, row.where("roles"), Code.BAD_VALUE, message, hint)
        else:
            found.append(duty)
    return tuple(dict.fromkeys(found))


def _clubs(row: Row, known: _Known, findings: Findings) -> tuple[str, ...]:
    found = []
    for text in as_list(row.text("clubs")):
        club = known.clubs.get(key(text))
        if club is not None:
            found.append(club)
        elif known.all_read:
            message = f'No club "{text}" has entered a team ({row.text("name")}).'
            near = nearest(text, known.clubs.values())
            hint = f'The nearest is "{near}".' if near else "Leave it out if that club enters no team."
            findings.fault(row.file, row.where("clubs"), Code.UNKNOWN_CLUB, message, hint)
    return tuple(dict.fromkeys(found))


def _people(row: Row, known: _Known, findings: Findings) -> tuple[Child, ...]:
    found: list[Child] = []
    for text in as_list(row.text("people")):
        children = known.children.get(key(text), [])
        if not children and known.all_read:
            message = f'No child called "{text}" is entered ({row.text("name")}).'
            near = nearest(text, (child[0][1] for child in known.children.values()))
            hint = f'The nearest is "{near}".' if near else "Leave it out if that child is not entered."
            findings.fault(row.file, row.where("people"), Code.UNKNOWN_PERSON, message, hint)
        elif len(children) > 1:
            message = f"{len(children)} children are called {text}; {row.text('name')} is kept from all of them."
            findings.note(row.file, row.where("people"), Code.NAMESAKES, message)
        found += children
    return tuple(dict.fromkeys(found))


def _note_surname(
    row: Row, known: _Known, clubs: tuple[str, ...], people: tuple[Child, ...], findings: Findings
) -> None:
    """Ask, never decide: a surname in common may be chance."""
    surname = _surname(row.text("name"))
    undeclared = [
        f"{name} of {club}"
        for children in known.children.values()
        for club, name in children
        if surname and _surname(name) == surname and club not in clubs and (club, name) not in people
    ]
    if undeclared:
        message = f"{row.text('name')} has a surname in common with {', '.join(undeclared)}, and no tie is declared."
        hint = "If they are family, write the child's name in the column people."
        findings.note(row.file, row.where(), Code.SHARED_SURNAME, message, hint)


def _surname(name: str) -> str:
    words = key(name).split()
    return words[-1] if len(words) > 1 else ""


def _cleared(row: Row, known: _Known, answers: Answers, findings: Findings) -> bool:
    """Whether the clearance holds on the day. Without a date it does not."""
    name, where = row.text("name"), row.where("cleared_until")
    if "cleared_until" not in row.cells:
        message = f"{name} has no date of clearance and is given no duty with children."
        hint = "Local rules decide who needs one: write the last day on which it holds."
        findings.note(row.file, where, Code.NOT_CLEARED, message, hint)
        return False
    days = readings(row.cells["cleared_until"])
    if not days:
        message = f"The clearance of {name}, {row.text('cleared_until')}, can't be read."
        findings.fault(row.file, where, Code.BAD_DATE, message, "Write year-month-day, such as 2027-12-31.")
        return False
    if known.event_date is None:
        return False
    if len({day >= known.event_date for day in days}) > 1:
        offers = [day.isoformat() for day in days]
        message = f"The clearance of {name} can hold until {' or '.join(map(long_date, days))}."
        hint = f"Write it as year-month-day, or answer {' or '.join(offers)}."
        asked = question_id(Code.AMBIGUOUS_DATE, "officials", name)
        answer = answers.ask(Question(asked, row.file, where, Code.AMBIGUOUS_DATE, message, hint), offers)
        if answer is None:
            return False
        days = (Date.fromisoformat(answer),)
    if days[0] < known.event_date:
        message = f"The clearance of {name} ends on {long_date(days[0])}, before the event: no duty with children."
        findings.note(row.file, where, Code.NOT_CLEARED, message, "Write the new date once it is renewed.")
        return False
    return True


def _hours(row: Row, findings: Findings) -> tuple[str, str]:
    """From and to as "HH:MM"; empty for the whole day."""
    found = {}
    for column in ("from", "to"):
        value = row.cells.get(column, "")
        clock = as_clock(value) if value != "" else ""
        if clock is None:
            message = f'"{row.text(column)}" is not a time ({row.text("name")}).'
            findings.fault(row.file, row.where(column), Code.BAD_VALUE, message, "Write hours and minutes: 13:30.")
        found[column] = clock or ""
    if found["from"] and found["to"] and found["from"] >= found["to"]:
        message = f"{row.text('name')} is there from {found['from']} to {found['to']}."
        findings.fault(row.file, row.where("to"), Code.BAD_VALUE, message, "Let the second time be the later one.")
    return found["from"], found["to"]


def _yes(row: Row, column: str, findings: Findings) -> bool:
    if column not in row.cells:
        return False
    answer = as_yes_no(row.cells[column])
    if answer is None:
        message = f'{column} of {row.text("name")} is "{row.text(column)}".'
        findings.fault(row.file, row.where(column), Code.BAD_VALUE, message, "Write yes or no.")
    return answer is True


def _name_repeated(rows: Sequence[Row], findings: Findings) -> None:
    seen: dict[str, Row] = {}
    for row in rows:
        first = seen.setdefault(key(row.text("name")), row)
        if first is not row and row.text("name"):
            message = f"{row.text('name')} is listed twice: here and in {first.where()}."
            hint = "Keep one row; tell two people of one name apart by an initial."
            findings.fault(row.file, row.where(), Code.DUPLICATE_NAME, message, hint)
