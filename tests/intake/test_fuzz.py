"""Real score sheets, filled in and then damaged by chance: whatever is still taken is what openpyxl finds there.

tests/benchmarks/fuzz.py does the same many more times.
"""

import io
import random
import re
from collections import Counter
from collections.abc import Callable
from typing import Any, Literal
from warnings import catch_warnings
from xml.etree.ElementTree import ParseError
from zipfile import BadZipFile

from openpyxl import load_workbook

from tests.intake.zipped import PAGE, packed
from tourney.intake.marks import is_tick, letters_of, plain
from tourney.intake.score_sheets import read_score_sheets
from tourney.model.sheet import FilledSheet
from tourney.model.sheet_layout import JUDGED_TAG, call_tag, line_tag

Filled = Any  # of conftest.py
Outcome = Literal["refused", "taken", "taken, not for openpyxl"]
TRIALS = 300
BYTES = [b"", b"<", b">", b"0", b"c", b"r", b"t", b" ", b"L", b"=", b'"', b"/", b"&", b";", b"\xff", b"\0"]
OTHER_WAYS = [b"L", b"W", b"&#76;", b"<![CDATA[L]]>", b"L<!-- hm -->", b"l ", b"Q", b"N", b"\xd0\x9d", b"<b/>L"]
KINDS = [b"inlineStr", b"str", b"s", b"n", b"b", b"e", b"d", b"x", b""]


def some_bytes(content: bytes, chance: random.Random) -> bytes:
    changed = bytearray(content)
    for _ in range(chance.randint(1, 3)):
        at = chance.randrange(len(changed))
        changed[at : at + chance.randint(0, 2)] = chance.choice(BYTES)
    return bytes(changed)


def replaced(pattern: bytes, new: Callable[[bytes], bytes], page: bytes, chance: random.Random) -> bytes:
    """The page with one of the places that fit the pattern exchanged."""
    found = chance.choice(list(re.finditer(pattern, page, re.DOTALL)) or [None])
    return page if found is None else page[: found.start()] + new(found[0]) + page[found.end() :]


CELL = rb"<c [^>]*?(?:/>|>.*?</c>)"
DATA_END = b"</sheetData>"
TEXT_CELL = b' t="inlineStr"><is><t>L</t></is></c>'
PREFIXED = b'<worksheet xmlns:x="http://schemas.openxmlformats.org/spreadsheetml/2006/main" '
PLACES = rb' r="[A-Z]+[0-9]+"'


def other_structure(page: bytes, chance: random.Random) -> bytes:
    """One thing of the sheet's XML put in another way: some of these mean the same, others do not."""
    cells = re.findall(CELL, page, re.DOTALL) or [b""]
    ways: list[Callable[[], bytes]] = [
        lambda: replaced(CELL, lambda old: old * 2, page, chance),
        lambda: replaced(CELL, lambda _: b"", page, chance),
        lambda: replaced(CELL, lambda _: chance.choice(cells), page, chance),
        lambda: replaced(rb"<row [^>]*>.*?</row>", lambda old: old * 2, page, chance),
        lambda: replaced(rb"<row [^>]*>.*?</row>", lambda _: b"", page, chance),
        lambda: replaced(PLACES, lambda _: b"", page, chance),
        lambda: replaced(PLACES, lambda _: chance.choice(re.findall(PLACES, page)), page, chance),
        lambda: replaced(rb' t="[a-zA-Z]+"', lambda _: b' t="%s"' % chance.choice(KINDS), page, chance),
        lambda: replaced(rb' s="[0-9]+"', lambda _: b' s="%d"' % chance.randint(0, 99_999), page, chance),
        lambda: replaced(rb"(?<=>)[^<>]+(?=</t>)", lambda _: chance.choice(OTHER_WAYS), page, chance),
        lambda: replaced(rb"<is>.*?</is>", lambda old: b"<v>%s</v>" % chance.choice(OTHER_WAYS) + old, page, chance),
        lambda: replaced(rb"</t></is>", lambda _: b"</t><t>%s</t></is>" % chance.choice(OTHER_WAYS), page, chance),
        lambda: replaced(rb"<is>", lambda _: b"<is><r><t>W</t></r>", page, chance),
        lambda: replaced(rb"</is>", lambda _: b'<rPh sb="0" eb="1"><t>W</t></rPh></is>', page, chance),
        lambda: replaced(rb"<c [^>/]*>", lambda old: old + b"<f>A1</f>", page, chance),
        lambda: replaced(rb"<c ([^>]*)/>", lambda old: old[:-2] + TEXT_CELL, page, chance),
        lambda: replaced(rb"<c ([^>]*)/>", lambda old: old[:-2] + b"><v>1</v></c>", page, chance),
        lambda: page.replace(b"<c ", b"<x:c ").replace(b"</c>", b"</x:c>").replace(b"<worksheet ", PREFIXED),
        lambda: page.replace(DATA_END, DATA_END + b"<sheetData><row>%s</row></sheetData>" % chance.choice(cells)),
        lambda: replaced(CELL, lambda old: b"<!--" + old + b"-->", page, chance),
        lambda: page.replace(DATA_END, b'</sheetData><mergeCells><mergeCell ref="D8:E9"/></mergeCells>'),
    ]  # fmt: skip
    return chance.choice(ways)()


def damaged(filled: Filled, chance: random.Random) -> bytes:
    """The workbook with something changed: bytes of the file, bytes of a part, or the structure of the sheet."""
    kind = chance.random()
    if kind < 0.15:
        return some_bytes(filled.content, chance)
    parts = filled.parts
    if kind < 0.5:
        name = chance.choice([PAGE, PAGE, *sorted(parts)])
        return packed({**parts, name: some_bytes(parts[name], chance)})
    page = parts[PAGE]
    for _ in range(chance.randint(1, 2)):
        page = other_structure(page, chance)
    return packed({**parts, PAGE: page})


def trial(filled: Filled, chance: random.Random) -> Outcome:
    """Damage the sheet and read it. AssertionError when a mark was taken that openpyxl does not find."""
    content = damaged(filled, chance)
    outcome: Outcome = "refused"
    for reading in read_score_sheets("damaged.xlsx", content, filled.plan, {}):
        if reading.sheet_read:
            outcome = compared(content, reading.sheet, reading.sheet_read)
    return outcome


def compared(content: bytes, title: str, sheet: FilledSheet) -> Outcome:
    """Every box and every tick, at the places where openpyxl finds the hidden tags."""
    try:
        with catch_warnings(action="ignore"):
            page = load_workbook(io.BytesIO(content))[title]
        table = [[cell.value for cell in row] for row in page.iter_rows()]
        columns = {plain(tag): at for at, tag in enumerate(table[0])}
    except (ParseError, BadZipFile, EOFError, OSError, TypeError, ValueError, KeyError, IndexError, AttributeError):
        return "taken, not for openpyxl"  # it does not read the workbook at all
    rows = {plain(row[0]): row for row in table}
    marks = {(mark.line, mark.call): mark.letters for mark in sheet.marks}
    calls = [call for call in range(1, 100) if call_tag(call) in columns]
    for line, child in enumerate(sheet.contestants, 1):
        for call in calls:
            if (line, call) not in sheet.open_cells:
                value = rows[line_tag(line, child)][columns[call_tag(call)]]
                assert letters_of("" if value is None else value) == marks.get((line, call), ()), (line, call, value)
    for call in calls:
        value = rows[JUDGED_TAG][columns[call_tag(call)]]
        assert bool(is_tick("" if value is None else value)) >= (call in sheet.judged), (call, value)
    return "taken"


def test_nothing_is_taken_that_does_not_stand_there(filled: Filled) -> None:
    chance = random.Random(20261125)
    counts = Counter(trial(filled, chance) for _ in range(TRIALS))
    assert counts["taken"] > TRIALS / 5
    assert counts["refused"] > TRIALS / 5
