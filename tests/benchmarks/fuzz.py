"""Score sheets damaged by chance, many thousand times: no mark is ever taken that openpyxl does not find in the file.

python -m tests.benchmarks.fuzz [TRIALS [FROM]], in the checkout, writes fuzz.md beside this file; with FROM it goes on
after that many trials and adds to what stands there. Any trial can be repeated by its number: the chance of each is
seeded with it.
"""

import random
import re
import sys
from collections import Counter
from datetime import UTC, datetime
from pathlib import Path
from tempfile import TemporaryDirectory
from time import perf_counter

from tests.benchmarks.whole_process import HERE, machine
from tests.intake.conftest import Filled, filled_sheet
from tests.intake.test_fuzz import trial

TRIALS = 20_000
TABLE = HERE / "fuzz.md"
ROWS = {
    "refused": "refused, or its sheet left open, with the reason",
    "taken": "taken: every mark and tick as openpyxl finds it",
    "taken, not for openpyxl": "taken, though openpyxl can't open the file",
    "wrong": "a mark that does not stand there, a traceback, a hang",
}


def outcome(filled: Filled, number: int) -> tuple[str, float]:
    """What became of one trial, and how many seconds it took."""
    began = perf_counter()
    try:
        found: str = trial(filled, random.Random(number))
    except Exception as mistake:  # noqa: BLE001 -- every mistake of ours is counted and named, whatever it is
        print(f"trial {number}: {type(mistake).__name__}: {mistake}", file=sys.stderr)
        found = "wrong"
    return found, perf_counter() - began


def main(trials: int, first: int) -> int:
    """Run the trials, write the table of all so far, say whether nothing went wrong."""
    counts, slowest = earlier(first)
    with TemporaryDirectory() as folder:
        filled = filled_sheet(Path(folder))
    for number in range(first, first + trials):
        found, seconds = outcome(filled, number)
        counts[ROWS[found]] += 1
        slowest = max(slowest, seconds)
    lines = [
        "# Damaged score sheets",
        "",
        f"{machine()}; {datetime.now(UTC):%Y-%m-%d}. Written by `python -m tests.benchmarks.fuzz`: "
        f"a filled score sheet, its bytes or its XML changed by chance {counts.total():,} times. "
        f"The slowest trial took {slowest:.2f} s, openpyxl included.",
        "",
        "| what became of the file | files |",
        "|---|---:|",
        *(f"| {what} | {counts[what]:,} |" for what in ROWS.values()),
    ]
    TABLE.write_text("\n".join(lines) + "\n", encoding="utf-8")
    print("\n".join(lines))
    return 1 if counts[ROWS["wrong"]] else 0


def earlier(trials: int) -> tuple[Counter[str], float]:
    """What the table says of so many trials: files by outcome, and the slowest. SystemExit when it is of others."""
    if not trials:
        return Counter(), 0.0
    text = TABLE.read_text(encoding="utf-8")
    counts = Counter(
        {what: int(files.replace(",", "")) for what, files in re.findall(r"\| (.+) \| ([0-9,]+) \|", text)}
    )
    slowest = re.search(r"took ([0-9.]+) s", text)
    if counts.total() != trials or slowest is None:
        raise SystemExit(f"{TABLE.name} holds {counts.total()} trials, not {trials}")
    return counts, float(slowest[1])


if __name__ == "__main__":
    given = [int(number) for number in sys.argv[1:]]
    sys.exit(main(*(given + [TRIALS, 0][len(given) :])))
