"""The chief judge's workbook: severity with its doubt, who wrote what alone, agreement, rooms, and places."""

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from tourney.model.plan import Plan
from tourney.model.sheet import LETTERS
from tourney.model.standing import Results
from tourney.papers.binder import Binder, state_words
from tourney.papers.cells import Content
from tourney.papers.judges_views import ChiefReview
from tourney.papers.table_sheet import BODY, Field, number
from tourney.papers.workbook import Workbook
from tourney.review.judges import FAULTS

_COUNT, _POINTS, _COEFFICIENT = number(), number(pattern="[>=0.05]+0.0;[<=-0.05]-0.0;0.0"), number(pattern="0.000")
_PERCENT = number(pattern="0.0 %")
_NAME = replace(BODY, bold=True)
_SEVERITY_FIELDS = (
    Field("Judge", 50, _NAME),
    Field("Heats", 15, _COUNT),
    Field("Calls judged", 20, _COUNT),
    Field("Taken off more than others, of 100", 34, _POINTS),
    Field("From", 16, _POINTS),
    Field("To", 16, _POINTS),
    Field("So far as can be told", 60),
    Field("Group", 15, _COUNT),
)
_LETTER_FIELDS = (
    Field("Judge", 45, _NAME),
    *(
        Field(f"{letter} {what}", 16, _COUNT)
        for letter in FAULTS
        for what in ("written", "alone wrote", "alone did not")
    ),
)
_AGREE_FIELDS = (
    Field("Division", 40, _NAME),
    Field("Of", 45),
    Field("Calls watched", 22, _COUNT),
    Field("Marked by any", 22, _COUNT),
    Field("All alike", 20, _COUNT),
    Field("Part alike", 20, _PERCENT),
    Field("Fleiss' kappa", 22, _COEFFICIENT),
    Field("Krippendorff's alpha", 28, _COEFFICIENT),
)
_PAIR_FIELDS = (
    Field("Judge", 50, _NAME),
    Field("Beside", 50, _NAME),
    Field("Calls watched", 22, _COUNT),
    Field("Alike", 20, _COUNT),
    Field("Part alike", 20, _PERCENT),
    Field("Cohen's kappa", 22, _COEFFICIENT),
)
_ROOM_FIELDS = (
    Field("Room", 50, _NAME),
    Field("Heats of children", 24, _COUNT),
    Field("Points of 100 more than elsewhere", 40, _POINTS),
    Field("From", 16, _POINTS),
    Field("To", 16, _POINTS),
)
_PLACE_FIELDS = (
    Field("Division", 35, _NAME),
    Field("Team", 55),
    Field("Place", 15, _COUNT),
    Field("Place with allowances", 26, _COUNT),
    Field("Points allowed", 22, _POINTS),
    Field("Give or take", 20, _POINTS),
    Field("Another place", 22),
)


def write_judges_workbook(path: Path, review: ChiefReview, plan: Plan, results: Results) -> None:
    """Write it. FileTrouble when the file is open elsewhere or the folder is read-only."""
    workbook = Workbook(f"{plan.event.name}: for the chief judge", plan.event.date)
    binder = Binder(workbook, plan, state_words(results))
    binder.read_me("for the chief judge, in private", (*_summary(review), *_READ_ME))
    binder.table("Severity", "How strict judges were", _SEVERITY_FIELDS, _severity(review), fixed=1)
    binder.table("Letters", "Where a judge stood alone", _LETTER_FIELDS, _letters(review), fixed=1)
    binder.table("Agreement", "How far panels agreed", _AGREE_FIELDS, _agreement(review))
    binder.table("Pairs", "Judges side by side", _PAIR_FIELDS, _pairs(review))
    binder.table("Rooms", "Rooms", _ROOM_FIELDS, _rooms(review))
    binder.table("Places", "Places with every panel as strict as the others", _PLACE_FIELDS, _places(review))
    workbook.save(path)


_READ_ME = (
    (
        "For whom",
        "For the chief judge alone. Speak with a judge in private and kindly: who sits at the end of a line sees other "
        "things, and a day is short.",
    ),
    (
        "Severity",
        "Points of each 100 that a judge took off beyond what the others took off the same children. It is drawn to 0 "
        "by as much as the marks ask for; from and to hold the truth about nineteen times of twenty.",
    ),
    (
        "Letters",
        "How often a judge wrote a letter, wrote it when nobody else of the panel did, and did not when all others "
        "did. Panels of two do not tell who was right.",
    ),
    (
        "Agreement",
        "Kappa and alpha are 1 when all agree and 0 when chance alone would do as well. Of a letter that is hardly "
        "ever written they say little: look at the counts.",
    ),
    (
        "Rooms",
        "What the same children made elsewhere is taken off; empty where no child was in another room. It shows where "
        "to look, not why.",
    ),
    (
        "Places",
        "Beyond doubt: two teams would change places by more points than is in doubt for both. Nothing of this changes "
        "a result. An allowance counts only if the rules announced one before the day.",
    ),
)


def _summary(review: ChiefReview) -> tuple[tuple[str, str], ...]:
    return tuple(("In short" if at == 0 else "", words) for at, words in enumerate(review.summary))


def _severity(review: ChiefReview) -> Iterator[tuple[Content, ...]]:
    for row in review.judges:
        effect = row.review.severity
        figures = (effect.value, *effect.interval) if effect else (None, None, None)
        group = effect.group + 1 if effect else None
        yield row.name, row.review.heats, row.review.looks, *figures, row.said, group


def _letters(review: ChiefReview) -> Iterator[tuple[Content, ...]]:
    for row in review.judges:
        counts = [row.review.letters[letter] for letter in FAULTS]
        yield row.name, *(figure for one in counts for figure in (one.wrote, one.wrote_alone, one.left_out_alone))


def _agreement(review: ChiefReview) -> Iterator[tuple[Content, ...]]:
    for one in review.agreements:
        of = next((f"{key}, {words}" for key, words in LETTERS.items() if key == one.letter), "all marks")
        yield one.division, of, one.looks, one.marked, one.alike, one.alike / one.looks, one.kappa, one.alpha


def _pairs(review: ChiefReview) -> Iterator[tuple[Content, ...]]:
    for first, second, pair in review.pairs:
        yield first, second, pair.looks, pair.alike, pair.alike / pair.looks, pair.kappa


def _rooms(review: ChiefReview) -> Iterator[tuple[Content, ...]]:
    for effect in review.rooms:
        figures = (effect.value, *effect.interval) if effect.rows else (None, None, None)
        yield effect.level, effect.rows, *figures


def _places(review: ChiefReview) -> Iterator[tuple[Content, ...]]:
    for row in review.places:
        one = row.adjusted
        another = ("beyond doubt" if one.sure else "might be") if one.place != one.adjusted else ""
        team = f"{row.label.id} {row.label.name}"
        division = f"{one.division}, pool {row.label.pool}" if row.label.pool else one.division
        yield division, team, one.place, one.adjusted, one.points, one.doubt, another
