"""For the call writer: how each item went, and how hard it proved; as a workbook, and as a table for the next event."""

import csv
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from io import StringIO
from pathlib import Path

from tourney.canon.syllabus import Syllabus
from tourney.model.plan import Plan
from tourney.model.standing import Results
from tourney.papers.binder import Binder, state_words
from tourney.papers.cells import Content
from tourney.papers.table_sheet import BODY, Field, number
from tourney.papers.workbook import Workbook
from tourney.review.calibration import Calibrated, Calibration
from tourney.review.intervals import Z95
from tourney.review.items import ItemReview

_COUNT, _PERCENT, _BITS, _COEFFICIENT = (
    number(),
    number(pattern="0 %"),
    number(pattern="0.00"),
    number(pattern="0.00"),
)
_FIELDS = (
    Field("Item", 20, replace(BODY, bold=True)),
    Field("Name", 40),
    Field("Section", 56),
    Field("Heard", 16, _COUNT),
    Field("Found", 16, _COUNT),
    Field("Part found", 18, _PERCENT),
    Field("From", 14, _PERCENT),
    Field("To", 14, _PERCENT),
    Field("Late", 14, _COUNT),
    Field("Wrong place", 16, _COUNT),
    Field("Answers right", 20, _COUNT),
    Field("Tells sure from unsure", 24, _COEFFICIENT),
    Field("Bits before", 18, _BITS),
    Field("Bits after", 18, _BITS),
    Field("Give or take", 18, _BITS),
    Field("It was", 45),
)
_READ_ME = (
    (
        "For whom",
        "For whoever writes or draws the calls. It names what was called: keep it until nobody drills on it any more.",
    ),
    ("Part found", "Of all who heard it: in time and in the right place. From and to: Wilson's interval, 95 %."),
    (
        "Tells sure from unsure",
        "How finding it goes with finding everything else: near 0 it tells nothing, below 0 look at the call itself. "
        "Empty where too few heard it.",
    ),
    (
        "Bits",
        "Difficulty on the scale of the syllabus: before the day, and after it, drawn to what was expected by as much "
        "as little was heard. Item model of Rasch, with every child's own level taken off.",
    ),
    (
        "For the next event",
        "Put difficulty.csv into the next event's folder: its call sets are then made equal by what was seen.",
    ),
)


def write_items_workbook(
    path: Path, items: Sequence[ItemReview], calibration: Calibration, syllabus: Syllabus, plan: Plan, results: Results
) -> None:
    """Write it. FileTrouble when the file is open elsewhere or the folder is read-only."""
    workbook = Workbook(f"{plan.event.name}: items", plan.event.date)
    binder = Binder(workbook, plan, state_words(results))
    found = (
        "What was found",
        f"A bit of difficulty was worth {calibration.logits_a_bit:.2f} logits; items differ from what was expected by "
        f"{calibration.bits_sd:.2f} bits, children from each other by {calibration.ability_sd:.2f} logits (each a "
        "standard deviation).",
    )
    binder.read_me("for the call writer", (*_READ_ME, found))
    fitted = {one.item: one for one in calibration.items}
    binder.table("Items", "Items that were heard", _FIELDS, _rows(items, fitted, syllabus), fixed=2)
    workbook.save(path)


def difficulty_csv(calibration: Calibration) -> str:
    """Every item with its difficulty in bits, what is left in doubt, and by how many it was heard (RFC 4180).

    The scale of a syllabus begins at 0 bits; an item that proved easier stands there as 0.
    """
    lines = StringIO(newline="")
    write = csv.writer(lines)
    write.writerow(("item", "difficulty", "se", "heard"))
    for one in calibration.items:
        write.writerow((one.item, f"{max(0.0, one.difficulty):.4f}", f"{one.se:.4f}", one.heard))
    return lines.getvalue()


def _rows(
    items: Sequence[ItemReview], fitted: Mapping[str, Calibrated], syllabus: Syllabus
) -> Iterator[tuple[Content, ...]]:
    for one in items:
        hard = fitted.get(one.item)
        name = syllabus.item(one.item).name if one.item in syllabus.rank else one.item
        share = one.found.enough
        low, high = one.found.interval
        yield (
            one.item,
            name,
            syllabus.section_name(one.section),
            one.found.calls,
            one.found.hits,
            one.found.share if share else None,
            low if share else None,
            high if share else None,
            one.late,
            one.wrong_place,
            f"{one.answers.hits} of {one.answers.calls}" if one.answers.calls else "",
            one.telling,
            *((hard.prior, hard.difficulty, Z95 * hard.se, _it_was(hard)) if hard else (None, None, None, "")),
        )


def _it_was(one: Calibrated) -> str:
    """In words, where the doubt leaves room for them."""
    off = one.difficulty - one.prior
    return "about as expected" if abs(off) < Z95 * one.se else f"{'harder' if off > 0 else 'easier'} than expected"
