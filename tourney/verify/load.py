"""How the work is shared out among the officials: heats of each, and waves one after the other."""

from collections import Counter
from collections.abc import Iterator, Sequence
from math import ceil

from tourney.model.plan import Plan
from tourney.verify.line import Line, figure
from tourney.verify.plan import officials_of


def load_lines(plan: Plan) -> Iterator[Line]:
    """The busiest official, and the one who serves most waves in a row; a pause of the settings ends a row."""
    work = Counter(dict.fromkeys((official.id for official in plan.officials), 0))
    work.update(person for heat in plan.heats for person in officials_of(heat))
    if not work.total():
        return
    busiest = max(work, key=lambda person: (work[person], person))
    yield figure("heats_of_one_official", "all", work[busiest], ceil(work.total() / len(work)), busiest)
    stretches = list(_stretches(plan))
    row = {person: max(_longest(person, stretch) for stretch in stretches) for person in work}
    tired = max(row, key=lambda person: (row[person], person))
    least = max(least_in_a_row([len(serving) for serving in stretch], len(work)) for stretch in stretches)
    yield figure("waves_in_a_row_of_one_official", "all", row[tired], least, tired)


def _stretches(plan: Plan) -> Iterator[list[set[str]]]:
    """Who serves in each wave, from one pause to the next."""
    pauses = {pause.after_wave for pause in plan.event.day.pauses}
    serving: dict[str, set[str]] = {wave.id: set() for wave in sorted(plan.waves, key=lambda wave: wave.start)}
    for heat in plan.heats:
        serving[heat.wave].update(officials_of(heat))
    stretch: list[set[str]] = []
    for number, people in enumerate(serving.values(), 1):
        stretch.append(people)
        if number in pauses or number == len(serving):
            yield stretch
            stretch = []


def _longest(person: str, stretch: Sequence[set[str]]) -> int:
    longest = row = 0
    for serving in stretch:
        row = row + 1 if person in serving else 0
        longest = max(longest, row)
    return longest


def least_in_a_row(seats: Sequence[int], people: int) -> int:
    """Fewest waves in a row: of one wave more nobody serves in all, so that all seats of those need people enough."""
    for row in range(len(seats)):
        longer = (sum(seats[at : at + row + 1]) for at in range(len(seats) - row))
        if all(needed <= row * people for needed in longer):
            return row
    return len(seats)
