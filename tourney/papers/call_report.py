"""The call sets for a coordinator who may be a parent: how balanced they are, and never what is called."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from tourney.canon.counting import guessing_chances, simulated_chances
from tourney.canon.syllabus import Syllabus
from tourney.draw import Draw
from tourney.model.calls import CallBook, CallSet, Use
from tourney.model.plan import Plan
from tourney.papers.paging import in_pages
from tourney.papers.stamp import short_mark
from tourney.papers.views import DivisionLabel, Hall

USES: dict[Use, str] = {
    "rotation": "round",
    "final": "finals",
    "drill_off": "drill-off",
    "reserve": "in reserve",
    "practice": "practice",
}
TELLING = 6  # a set of fewer calls: its sections and difficulty would tell which they are
TRIALS = 500  # simulated sets; a figure of 50 % is then within 5 of the true one, 19 times of 20
CALLS_A_ROW = 24
HEAD_MM, SET_MM, GUESSES_MM = 46.0, 5.2, 36.0  # a division's heading, column heads and note; a set; a row of guesses


@dataclass(frozen=True, slots=True)
class SetBalance:
    """One call set. counts: calls a section. Difficulties in bits. None: it would tell too much.

    thirds: means of its first, middle and last calls. halves: mean of the first half less that of the second.
    bands: calls in the easiest, the middle and the hardest third of all that the division hears.
    """

    id: str
    use: str
    mark: str
    counts: tuple[int, ...] | None
    calls: int
    reserves: int
    difficulty: float | None
    halves: float | None
    thirds: tuple[float, ...] | None
    bands: tuple[int, ...] | None


@dataclass(frozen=True, slots=True)
class Guess:
    """How often the section of one call could be guessed, in percent: by counting, and knowing that none repeats."""

    no: int
    counting: float
    apart: float


@dataclass(frozen=True, slots=True)
class DivisionCalls:
    """All of a division's sets. blind: percent that a guess without counting would hit. guesses: row by row."""

    label: DivisionLabel
    sections: tuple[str, ...]
    sets: tuple[SetBalance, ...]
    spread: float | None
    blind: float
    guesses: tuple[tuple[Guess, ...], ...]


Block = SetBalance | tuple[Guess, ...]


@dataclass(frozen=True, slots=True)
class ReportSheet:
    """One sheet of paper of the report: a part of a division."""

    division: DivisionCalls
    sets: tuple[SetBalance, ...]
    guesses: tuple[tuple[Guess, ...], ...]


def report_sheets(hall: Hall, book: CallBook, syllabus: Syllabus, room: float) -> tuple[ReportSheet, ...]:
    """The report, shared out over sheets of so many mm; each begins with its division."""
    return tuple(
        ReportSheet(
            found,
            tuple(block for block in blocks if isinstance(block, SetBalance)),
            tuple(block for block in blocks if not isinstance(block, SetBalance)),
        )
        for found in call_report(hall, book, syllabus)
        for blocks in in_pages(_blocks(found), _block_mm, room - HEAD_MM)
    )


def _blocks(found: DivisionCalls) -> tuple[Block, ...]:
    return (*found.sets, *found.guesses)


def _block_mm(block: Block) -> float:
    return SET_MM if isinstance(block, SetBalance) else GUESSES_MM


def call_report(hall: Hall, book: CallBook, syllabus: Syllabus) -> tuple[DivisionCalls, ...]:
    """One part for each division that has call sets."""
    return tuple(
        _division(label, hall.plan, sets, syllabus)
        for label in hall.divisions.values()
        if (sets := [found for found in book.sets if found.division == label.name])
    )


def _division(label: DivisionLabel, plan: Plan, sets: Sequence[CallSet], syllabus: Syllabus) -> DivisionCalls:
    keys = [key for key in syllabus.sections if any(call.section == key for found in sets for call in found.calls)]
    heard = [found for found in sets if found.use == "rotation"] or sets
    edges = _edges(sorted(call.difficulty for found in heard for call in found.calls))
    sums = [sum(_bits(found)) for found in heard]
    mean = sum(sums) / len(sums)
    easiest_to_count = max(dict.fromkeys(_counts(found, keys) for found in heard), key=_mean_chance)
    guesses = _guesses(easiest_to_count, label.name, plan)
    return DivisionCalls(
        label,
        tuple(syllabus.section_name(key) for key in keys),
        tuple(_balance(found, keys, edges) for found in sets),
        100 * (max(sums) - min(sums)) / mean if mean else None,
        100 / sum(calls > 0 for calls in easiest_to_count),
        tuple(guesses[start : start + CALLS_A_ROW] for start in range(0, len(guesses), CALLS_A_ROW)),
    )


def _balance(found: CallSet, keys: Sequence[str], edges: Sequence[float]) -> SetBalance:
    bits = _bits(found)
    use = f"{USES[found.use]} {found.round}" if found.use == "rotation" else USES[found.use]
    told = len(bits) >= TELLING
    return SetBalance(
        found.id,
        use,
        short_mark(found.fingerprint()),
        _counts(found, keys) if told else None,
        len(bits),
        len(found.reserves),
        sum(bits) if told else None,
        _mean(bits[: len(bits) // 2]) - _mean(bits[len(bits) // 2 :]) if told else None,
        tuple(map(_mean, _thirds(bits))) if told else None,
        tuple(sum(low <= bit < high for bit in bits) for low, high in pairwise(edges)) if told else None,
    )


def _counts(found: CallSet, keys: Sequence[str]) -> tuple[int, ...]:
    sections = [call.section for call in found.calls]
    return tuple(map(sections.count, keys))


def _bits(found: CallSet) -> list[float]:
    return [call.difficulty for call in found.calls]


def _edges(ranked: Sequence[float]) -> tuple[float, float, float, float]:
    """Where the easiest, the middle and the hardest third of all calls begin and end."""
    third = len(ranked) // 3
    return -1.0, ranked[third], ranked[len(ranked) - third - 1], float("inf")


def _thirds(bits: list[float]) -> Iterator[list[float]]:
    edges = [round(len(bits) * n / 3) for n in range(4)]
    return (bits[start:end] for start, end in pairwise(edges))


def _mean(values: Sequence[float]) -> float:
    return sum(values) / len(values)


def _mean_chance(counts: Sequence[int]) -> Fraction:
    return sum(guessing_chances(counts), Fraction(0)) / sum(counts)


def _guesses(counts: Sequence[int], division: str, plan: Plan) -> tuple[Guess, ...]:
    """Exact by counting; simulated with orders in which no section comes twice running."""
    stream = Draw(plan.draw.words).stream("counting leak", division)
    apart = simulated_chances(counts, stream, TRIALS, twice_running=False)
    return tuple(
        Guess(no, 100 * float(exact), 100 * simulated)
        for no, (exact, simulated) in enumerate(zip(guessing_chances(counts), apart, strict=True), 1)
    )
