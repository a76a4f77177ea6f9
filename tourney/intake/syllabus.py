"""The syllabus: what may be called, from a table of the coordinator's own or the built-in 66 books."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from tourney.canon.difficulty import search_indexes
from tourney.canon.syllabus import Item, Syllabus, built_in
from tourney.faults import Code
from tourney.intake.cells import as_list, as_whole
from tourney.intake.findings import Findings
from tourney.intake.nearest import key, one_of, suggestion, word_key
from tourney.intake.settings_document import Document
from tourney.intake.tables import KINDS, Row, read_tables
from tourney.model.event import Event
from tourney.model.table_columns import SYLLABUS

STEM = "syllabus"
_COLUMN = {column.name: column for column in SYLLABUS}
WORDS_NEEDED = {"story": ("say",), "finish": ("say", "ending")}
_NEEDED = tuple(column.name for column in SYLLABUS if column.needed)


@dataclass(frozen=True, slots=True)
class _Line:
    """One row as read: its position, its item without difficulty, and the difficulty that it gives."""

    position: int
    item: Item
    difficulty: float | None


def read_syllabus(folder: Path, event: Event | None, findings: Findings) -> Syllabus:
    """The folder's syllabus in the order of its positions; the built-in one when there is none."""
    files = [STEM + kind for kind in KINDS if (folder / (STEM + kind)).is_file()]
    if len(files) > 1:
        message = f"The syllabus is listed in {' and in '.join(files)}."
        findings.fault(files[0], "", Code.TWO_SETTINGS, message, "Keep one list and take the other out.")
    if not files:
        return built_in()
    tables = read_tables(folder / files[0], files[0], SYLLABUS, findings)
    rows = [row for table in tables for row in table.rows]
    if tables and not rows:
        findings.fault(files[0], "", Code.NO_ENTRIES, f"{files[0]} lists nothing to call.", "List it, one a row.")
    lines = [line for row in rows if (line := _line(row, event, findings))]
    for column in ("id", "name", "position", "say"):
        _name_repeated(rows, column, findings)
    _one_name_one_item(lines, rows, findings)
    _sections_alike(rows, findings)
    return _ordered(sorted(lines, key=lambda line: line.position))


def check_weights(event: Event, document: Document, syllabus: Syllabus, findings: Findings) -> None:
    """A fault for each weight of a section that the syllabus does not have."""
    for number, division in enumerate(event.divisions):
        weights = division.sections if isinstance(division.sections, dict) else {}
        for section in weights:
            if section not in syllabus.sections:
                findings.fault(
                    document.file,
                    document.where(("divisions", number, "sections", section)),
                    Code.UNKNOWN_SECTION,
                    f'{division.name}: the syllabus has no section "{section}".',
                    f"Its sections are: {', '.join(syllabus.sections)}.",
                )


def _line(row: Row, event: Event | None, findings: Findings) -> _Line | None:
    missing = [name for name in _NEEDED if not row.text(name)]
    for name in missing:
        hint = f"Write it in every row: {_COLUMN[name].meaning}."
        findings.fault(row.file, row.where(name), Code.MISSING_VALUE, f"{name} is empty.", hint)
    if missing:
        return None
    position = as_whole(row.cells["position"])
    if position is None:
        message = f"The position of {row.text('name')} is {row.text('position')}."
        findings.fault(row.file, row.where("position"), Code.BAD_VALUE, message, "Write a whole number: 1, 2, 3.")
        return None
    item = Item(
        id=row.text("id"),
        name=row.text("name"),
        section=row.text("section"),
        difficulty=0.0,
        other_names=as_list(row.text("other_names")),
        kind=_kind(row, findings),
        divisions=_divisions(row, event, findings),
        say=row.text("say"),
        ending=row.text("ending"),
    )
    _check_words(row, item, findings)
    return _Line(position, item, _difficulty(row, findings))


def _check_words(row: Row, item: Item, findings: Findings) -> None:
    """Whether a kind has the words that it needs, and whether what is called gives its own answer away."""
    for column in WORDS_NEEDED.get(item.kind, ()):
        if not row.text(column):
            message = f"{item.name} is of the kind {item.kind} and {column} is empty."
            findings.fault(
                row.file, row.where(column), Code.MISSING_VALUE, message, f"Write {_COLUMN[column].meaning}."
            )
    said = f" {word_key(item.say)} "
    for name in (item.name, *item.other_names):
        told = word_key("".join(letter for letter in name if not letter.isdecimal() and letter not in ":.,"))
        if told and told in said:
            message = f"What is called for {item.name} says where it is."
            hint = "Leave it if that is wanted. Otherwise call it by other words."
            findings.note(row.file, row.where("say"), Code.TELLING_CALL, message, hint)
            return


def _kind(row: Row, findings: Findings) -> str:
    words = _COLUMN["kind"].words
    text = row.text("kind")
    found = key(text) if text else words[0]
    if found not in words:
        hint = one_of(text, words)
        message = f"The kind of {row.text('name')} is {text}."
        findings.fault(row.file, row.where("kind"), Code.BAD_VALUE, message, hint)
    return found


def _difficulty(row: Row, findings: Findings) -> float | None:
    text = row.text("difficulty").replace(",", ".")
    if not text:
        return None
    try:
        bits = float(text)
    except ValueError:
        bits = -1.0
    if not 0 <= bits < 100:
        message = f"The difficulty of {row.text('name')} is {row.text('difficulty')}."
        hint = "Write a number from 0 to 100, or leave it empty: it is then computed from the place in the list."
        findings.fault(row.file, row.where("difficulty"), Code.BAD_VALUE, message, hint)
    return bits


def _divisions(row: Row, event: Event | None, findings: Findings) -> tuple[str, ...]:
    names = as_list(row.text("divisions"))
    if event is None:
        return names
    known = {key(division.name): division.name for division in event.divisions}
    for name in names:
        if key(name) not in known:
            message = f'There is no division "{name}" ({row.text("name")}).'
            hint = suggestion(name, known.values())
            findings.fault(row.file, row.where("divisions"), Code.UNKNOWN_DIVISION, message, hint)
    return tuple(known[key(name)] for name in names if key(name) in known)


def _name_repeated(rows: Sequence[Row], column: str, findings: Findings) -> None:
    seen: set[str] = set()
    for row in rows:
        text = row.text(column)
        if text and key(text) in seen:
            message = f"The {column} {text} is there twice."
            findings.fault(row.file, row.where(column), Code.DUPLICATE_NAME, message, "Give each row its own.")
        seen.add(key(text))


def _one_name_one_item(lines: Sequence[_Line], rows: Sequence[Row], findings: Findings) -> None:
    """A fault for a further name that another item has too: it could not be told which is meant."""
    owners: dict[str, set[str]] = {}
    for line in lines:
        for name in (line.item.name, *line.item.other_names):
            owners.setdefault(key(name), set()).add(line.item.id)
    for row in rows:
        for name in as_list(row.text("other_names")):
            if len(owners.get(key(name), ())) > 1:
                message = f"{name} is a name of two items."
                hint = "Leave it with the one that is meant. If both rows are one thing, keep one row."
                findings.fault(row.file, row.where("other_names"), Code.DUPLICATE_NAME, message, hint)


def _sections_alike(rows: Sequence[Row], findings: Findings) -> None:
    """A fault where a section is written in two ways: it would be counted as two."""
    first: dict[str, Row] = {}
    for row in rows:
        before = first.setdefault(word_key(row.text("section")), row)
        if row.text("section") != before.text("section"):
            message = f"Section {row.text('section')} is written {before.text('section')} at {before.where('section')}."
            findings.fault(row.file, row.where("section"), Code.BAD_VALUE, message, "Write it the same in every row.")


def _ordered(lines: Sequence[_Line]) -> Syllabus:
    """Items with the search index of equal sizes where no difficulty is given; sections are called as written."""
    bits = search_indexes([1] * len(lines))
    items = tuple(
        replace(line.item, difficulty=index if line.difficulty is None else line.difficulty)
        for line, index in zip(lines, bits, strict=True)
    )
    return Syllabus(items, tuple((item.section, item.section) for item in items))
