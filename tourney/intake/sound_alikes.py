"""Names that sound alike in a noisy hall, from a table of the coordinator's own or the built-in one."""

from pathlib import Path

from tourney.canon.syllabus import Syllabus
from tourney.faults import Code
from tourney.intake.cells import as_list
from tourney.intake.findings import Findings
from tourney.intake.nearest import key, suggestion
from tourney.intake.tables import KINDS, Row, read_tables
from tourney.model.table_columns import SOUND_ALIKES

STEM = "sound_alikes"


def read_sound_alikes(folder: Path, syllabus: Syllabus, findings: Findings) -> tuple[tuple[str, ...], ...]:
    """Groups of item ids from the folder's table, which holds instead of the built-in one."""
    files = [STEM + kind for kind in KINDS if (folder / (STEM + kind)).is_file()]
    if not files:
        return syllabus.sound_alikes
    if len(files) > 1:
        message = f"Names that sound alike are listed in {' and in '.join(files)}."
        findings.fault(files[0], "", Code.TWO_SETTINGS, message, "Keep one list and take the other out.")
    known = {
        key(name): item.id
        for item in reversed(syllabus.items)
        for name in (*syllabus.also(item.id), item.name, item.id)
    }
    tables = read_tables(folder / files[0], files[0], SOUND_ALIKES, findings)
    return tuple(_group(row, syllabus, known, findings) for table in tables for row in table.rows)


def _group(row: Row, syllabus: Syllabus, known: dict[str, str], findings: Findings) -> tuple[str, ...]:
    names = as_list(row.text("names"))
    for name in names:
        if key(name) not in known:
            message = f'Nothing in the syllabus is called "{name}".'
            hint = suggestion(name, [item.name for item in syllabus.items])
            findings.fault(row.file, row.where("names"), Code.UNKNOWN_ITEM, message, hint)
    if len(names) == 1:
        message = f"{names[0]} stands alone."
        findings.fault(row.file, row.where("names"), Code.BAD_VALUE, message, "Write what it sounds like behind a ;.")
    return tuple(dict.fromkeys(known[key(name)] for name in names if key(name) in known))
