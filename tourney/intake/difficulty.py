"""How hard items turned out to be on an earlier day, in place of what is only expected of them."""

from math import isfinite
from pathlib import Path

from tourney.canon.syllabus import Syllabus
from tourney.faults import Code
from tourney.intake.findings import Findings
from tourney.intake.nearest import key, suggestion
from tourney.intake.tables import Row, read_tables
from tourney.model.table_columns import DIFFICULTY

FILE = "difficulty.csv"
FAR = 100.0  # bits that no difficulty comes near


def measured(folder: Path, syllabus: Syllabus, findings: Findings) -> Syllabus:
    """The syllabus with the difficulties of the folder's table, in bits; items that it leaves out keep their own.

    One below 0 counts as 0, and is said so: no item can be found more easily than one that lies open.
    """
    if not (folder / FILE).is_file():
        return syllabus
    known, found = {key(item.id): item.id for item in syllabus.items}, dict[str, float]()
    for row in (row for table in read_tables(folder / FILE, FILE, DIFFICULTY, findings) for row in table.rows):
        item, bits = _item(row, known, findings), _bits(row, findings)
        if item in found:
            message = f"The item {row.text('item')} is there twice."
            findings.fault(FILE, row.where("item"), Code.DUPLICATE_NAME, message, "Keep the row that holds.")
        elif item and bits is not None:
            found[item] = bits
    below = [item for item, bits in found.items() if bits < 0]
    if found:
        others = len(known) - len(found)
        message = f"Difficulties of {len(found)} items are those of {FILE}, for the other {others} as expected."
        hint = f"Take {FILE} out to go without."
        if below:
            hint = f"Counted as 0, as they are below it: {', '.join(below)}."
        findings.note(FILE, "", Code.MEASURED_DIFFICULTY, message, hint)
    return syllabus.measured(found)


def _item(row: Row, known: dict[str, str], findings: Findings) -> str | None:
    text = row.text("item")
    if not text:
        findings.fault(
            FILE, row.where("item"), Code.MISSING_VALUE, "item is empty.", "Write the item's id in every row."
        )
    elif key(text) not in known:
        message = f'The syllabus has no item "{text}".'
        findings.fault(FILE, row.where("item"), Code.UNKNOWN_ITEM, message, suggestion(text, known.values()))
    return known.get(key(text))


def _bits(row: Row, findings: Findings) -> float | None:
    text = row.text("difficulty")
    try:
        bits = float(text.replace(",", "."))
    except ValueError:
        bits = FAR
    if isfinite(bits) and abs(bits) < FAR:
        return bits
    message = f"The difficulty of {row.text('item')} is {text or 'empty'}."
    findings.fault(FILE, row.where("difficulty"), Code.BAD_VALUE, message, "Write a number of bits, such as 2.35.")
    return None
