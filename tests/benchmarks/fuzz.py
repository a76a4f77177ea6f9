"""Score sheets damaged by chance, many thousand times: no mark is ever taken that openpyxl does not find in the file.

python -m tests.benchmarks.fuzz [TRIALS], in the checkout, writes fuzz.md beside this file. Any trial can be repeated by
its number: the chance of each is seeded with it.
"""

import random
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


def outcome(filled: Filled, number: int) -> tuple[str, float]:
    """What became of one trial, and how many seconds it took."""
    began = perf_counter()
    try:
        found: str = trial(filled, random.Random(number))
    except Exception as mistake:  # noqa: BLE001 -- every mistake of ours is counted and named, whatever it is
        print(f"trial {number}: {type(mistake).__name__}: {mistake}", file=sys.stderr)
        found = "wrong"
    return found, perf_counter() - began


def main(trials: int) -> int:
    """Run all trials, write the table, say whether nothing went wrong."""
    with TemporaryDirectory() as folder:
        filled = filled_sheet(Path(folder))
    outcomes = [outcome(filled, number) for number in range(trials)]
    counts = Counter(found for found, _ in outcomes)
    rows = {
        "refused, or its sheet left open, with the reason": counts["refused"],
        "taken: every mark and tick as openpyxl finds it": counts["taken"],
        "taken, though openpyxl can't open the file": counts["taken, not for openpyxl"],
        "a mark that does not stand there, a traceback, a hang": counts["wrong"],
    }
    lines = [
        "# Damaged score sheets",
        "",
        f"{machine()}; {datetime.now(UTC):%Y-%m-%d}. Written by `python -m tests.benchmarks.fuzz`: "
        f"a filled score sheet, its bytes or its XML changed by chance {trials} times. "
        f"The slowest trial took {max(seconds for _, seconds in outcomes):.2f} s, openpyxl included.",
        "",
        "| what became of the file | files |",
        "|---|---:|",
        *(f"| {what} | {count} |" for what, count in rows.items()),
    ]
    (HERE / "fuzz.md").write_text("\n".join(lines) + "\n", encoding="utf-8")
    print("\n".join(lines))
    return 1 if counts["wrong"] else 0


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else TRIALS))
