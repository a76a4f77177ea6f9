"""How few runs of five sections have to come again, whoever orders the sets: by counting how many runs there are.

A run with few calls of scarce sections is made of the plentiful ones alone, and of such runs there are few. So for the
scarcest sections, one after another: their calls pay for runs, those that need fewest of them first.
"""

from collections.abc import Sequence

from tourney.planning.calls.pool import Counts
from tourney.planning.calls.sequence import RUN


def fewest_again(rows: Sequence[Counts], apart: bool) -> int:
    """Runs, in all sets together, that some set has called before. rows: calls a section of each set.

    apart: no section is called twice running.
    """
    lengths = [sum(row) for row in rows]
    total = sum(max(0, calls - RUN + 1) for calls in lengths)
    # A call stands in five runs at most, in a short set in fewer.
    places = [
        sum(row[section] * max(0, min(RUN, calls - RUN + 1)) for row, calls in zip(rows, lengths, strict=True))
        for section in range(len(rows[0]) if rows else 0)
    ]
    paid = sorted(number for number in places if number)
    least = 0
    for scarce in range(len(paid) + 1):
        budget, different = sum(paid[:scarce]), 0
        for calls, there in enumerate(_runs(scarce, len(paid) - scarce, apart)):
            some = min(there, total - different, budget // calls if calls else there)
            different += some
            budget -= calls * some
        least = max(least, total - different)
    return least


def _runs(scarce: int, others: int, apart: bool) -> list[int]:
    """How many runs there are with no, one, two ... calls of so many scarce sections."""
    ends = {(0, False): others, (1, True): scarce}  # calls of scarce sections, whether the last is one: runs so far
    for _ in range(RUN - 1):
        longer: dict[tuple[int, bool], int] = {}
        for (calls, last), number in ends.items():
            for more, kinds in ((True, scarce - (apart and last)), (False, others - (apart and not last))):
                key = calls + more, more
                longer[key] = longer.get(key, 0) + number * max(0, kinds)
        ends = longer
    return [ends.get((calls, True), 0) + ends.get((calls, False), 0) for calls in range(RUN + 1)]
