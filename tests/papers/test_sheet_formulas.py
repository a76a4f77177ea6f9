"""The formulas of a score sheet say the same as intake, which reads the sheet when it comes back.

A spreadsheet program works them out. Left aside is what formulas can't tell: full-width letters, invisible signs,
tabs and line breaks, which intake forgives and the sheet marks.
"""

from collections.abc import Callable, Iterator
from itertools import product
from pathlib import Path
from typing import Any

from openpyxl import load_workbook

from tourney.intake.marks import is_tick, letters_of
from tourney.model.sheet import TICKS, SheetEntries
from tourney.model.sheet_layout import sheet_code
from tourney.papers.fill import fill_workbook
from tourney.papers.score_sheets import write_score_sheets

CALLS = 30
TYPED = (
    *map("".join, product("LwN,?", repeat=2)), *"LlWwSsHhNnxX*?~1-.", " ", "  l  ", "W,L", "w / l", "S;H", "h+s", "l.w",
    "LWSH", "hswl", "LWSHN", "N,", "- L", ",", "late", "ß", "Ł", "Q", "=L", "#N/A", "TRUE", "L*", "l l", "L" * 30,
    "L" + " , " * 9 + "W", "<L>", "&", '"', "🐚",
)  # fmt: skip
TICKED = (*TICKS, "X", " x ", "Yes", "TRUE", "", "xx", "no", "0", "x ✓", "  ", "✓ ✔", "-", "*", "?", "x*", "true ", "L")


def expected(typed: str, ticked: str) -> str:
    """What the check row should say of a call with one mark."""
    if letters_of(typed) is None:
        return "FIX"
    if is_tick(ticked) is not False:
        return "ok" if is_tick(ticked) else "FIX"
    return "tick?" if letters_of(typed) else ""


def in_parts(things: list[tuple[str, str]]) -> Iterator[list[tuple[str, str]]]:
    for start in range(0, len(things), CALLS):
        yield things[start : start + CALLS]


def test_the_check_row_says_what_intake_will_say(new_day: Any, tmp_path: Path, office: Callable[..., Path]) -> None:
    day = new_day(names=("Junior",), teams=8, rooms=1, rounds=1, calls=CALLS, judges=1, squad=2)
    cases = [
        *((typed, "x") for typed in TYPED),
        *((typed, "") for typed in ("L", "?", "n")),
        *(("", t) for t in TICKED),
    ]
    assert CALLS < len(cases) <= CALLS * len(day.plan.heats)
    codes = [sheet_code(heat.id, 1) for heat in day.plan.heats]
    parts = dict(zip(codes, in_parts(cases), strict=False))
    (path,) = write_score_sheets(tmp_path, day.plan, day.book, day.roster)
    entries = {
        code: SheetEntries(
            code,
            {(1 + call % 4, call): typed for call, (typed, _) in enumerate(part, 1)},
            {call: ticked for call, (_, ticked) in enumerate(part, 1)},
            "AB",
        )
        for code, part in parts.items()
    }
    fill_workbook(path, path, entries)
    read = load_workbook(office(path, "xlsx"), data_only=True).worksheets
    said, wanted = [], []
    for sheet, part in zip(read, parts.values(), strict=False):
        check = next(row for row in sheet.iter_rows() if row[1].value == "Check, on screen")
        said += [(*case, check[2 + call].value or "") for call, case in enumerate(part, 1)]
        wanted += [(*case, expected(*case)) for case in part]
    assert said == wanted
