"""What the chief judge sees of the day, in private: judges by name, rooms, and places that might be others."""

from collections.abc import Sequence
from dataclasses import dataclass

from tourney.model.people import Roster
from tourney.papers.views import Hall, TeamLabel
from tourney.review.additive import Effect
from tourney.review.judges import JudgeReview, Panels
from tourney.review.panels import Agreement, Pair
from tourney.scoring.adjusted import Adjusted

FIRST_PLACES = 3  # what people ask about first
AS_OTHERS, STRICTER, MILDER = "like the others", "stricter", "milder"
TOO_LITTLE = "sat beside nobody else: nothing can be said"


@dataclass(frozen=True, slots=True)
class JudgeRow:
    """One judge. said: how the marks were, beside those of the others, as far as it can be told."""

    name: str
    review: JudgeReview
    said: str


@dataclass(frozen=True, slots=True)
class PlaceRow:
    """A team whose place would be another one with every panel as strict as the others."""

    label: TeamLabel
    adjusted: Adjusted


@dataclass(frozen=True, slots=True)
class ChiefReview:
    """All of it. summary: sentences to read first. judges: by name. rooms: points of 100 beyond those elsewhere."""

    summary: tuple[str, ...]
    judges: tuple[JudgeRow, ...]
    agreements: tuple[Agreement, ...]
    pairs: tuple[tuple[str, str, Pair], ...]
    rooms: tuple[Effect, ...]
    places: tuple[PlaceRow, ...]


def chief_review(
    hall: Hall,
    roster: Roster,
    panels: Panels,
    agreements: Sequence[Agreement],
    pairs: Sequence[Pair],
    rooms: Sequence[Effect],
    adjusted: Sequence[Adjusted],
) -> ChiefReview:
    """The views of what the review room found out."""
    name = {official.id: official.name for official in roster.officials}
    name |= {official.id: official.name for official in hall.plan.official.values()}
    judges = tuple(sorted((JudgeRow(name[one.official], one, _said(one)) for one in panels.judges), key=_by_name))
    places = tuple(PlaceRow(hall.teams[one.team], one) for one in adjusted)
    return ChiefReview(
        (*_comparable(panels, name), *_alike(agreements), *_places(places)),
        judges,
        tuple(sorted(agreements, key=lambda one: hall.divisions[one.division].pattern)),
        tuple((name[pair.one], name[pair.other], pair) for pair in pairs),
        tuple(rooms),
        places,
    )


def _by_name(row: JudgeRow) -> tuple[str, str]:
    return row.name, row.review.official


def _said(one: JudgeReview) -> str:
    if one.severity is None:
        return TOO_LITTLE
    low, high = one.severity.interval
    return STRICTER if low > 0 else MILDER if high < 0 else AS_OTHERS


def _comparable(panels: Panels, name: dict[str, str]) -> tuple[str, ...]:
    """Whether severity can be told at all, and among whom."""
    if not panels.groups:
        return (
            "No two judges judged the same children, so how strict a judge is can't be told from how good the children "
            "were.",
        )
    found = []
    if not panels.side_by_side:
        found.append(
            "No heat had two judges side by side. Severity comes from children who stood before several judges, and is "
            "far less sure."
        )
    if len(panels.groups) > 1:
        said = "; ".join(", ".join(name[judge] for judge in group) for group in panels.groups)
        found.append(
            f"Judges fell into {len(panels.groups)} groups that nothing links ({said}). Within a group they can be "
            "compared, between groups nothing can be said. Mix panels more next time."
        )
    return tuple(found)


def _alike(agreements: Sequence[Agreement]) -> tuple[str, ...]:
    whole = [one for one in agreements if not one.letter]
    looks, alike = sum(one.looks for one in whole), sum(one.alike for one in whole)
    if not looks:
        return ()
    apart = looks - alike
    often = f"they differed in one of {round(looks / apart):,}" if apart else "they never differed"
    return (f"In {alike:,} of {looks:,} calls that two judges or more watched, all of them wrote the same ({often}).",)


def _places(rows: Sequence[PlaceRow]) -> tuple[str, ...]:
    """How many places might be others, and which of the first ones."""
    moved = [row for row in rows if row.adjusted.place != row.adjusted.adjusted]
    if not moved:
        return ("With every panel as strict as the others, no team would take another place.",)
    first = [row for row in moved if min(row.adjusted.place, row.adjusted.adjusted) <= FIRST_PLACES]
    named = "; ".join(
        f"{row.label.id} {row.label.name} from {row.adjusted.place} to {row.adjusted.adjusted}"
        f"{f' in pool {row.label.pool}' if row.label.pool else ''}"
        for row in first
    )
    said = (
        f"among the first {FIRST_PLACES} of a division: {named}"
        if first
        else (f"none among the first {FIRST_PLACES} of a division")
    )
    return (
        f"With every panel as strict as the others, {len(moved)} of {len(rows)} teams might take another "
        f"place{_beyond_doubt(moved)}; {said}. This is an estimate, and changes no result.",
    )


def _beyond_doubt(moved: Sequence[PlaceRow]) -> str:
    """How many of these teams would change places by more than is in doubt; nothing where that can't be told."""
    if any(row.adjusted.sure is None for row in moved):
        return ""
    sure = sum(row.adjusted.sure is True for row in moved)
    return f", {sure or 'none'} of them beyond doubt"
