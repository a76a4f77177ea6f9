"""After the day: what coaches, the chief judge and the call writer learn from it."""

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Literal

from tourney.day.step import typed
from tourney.errors import Refusal


@dataclass(frozen=True, slots=True)
class DayReviewed:
    """What was written, relative to the event folder. clubs: how many. summary: the chief judge's sentences.

    named: whether what was called is named. kept: files that somebody had changed; the new ones lie beside them.
    """

    state: Literal["provisional", "final"]
    named: bool
    clubs: int
    children: int
    summary: tuple[str, ...]
    files: tuple[str, ...]
    kept: tuple[str, ...]


def review(folder: Path, now: datetime) -> DayReviewed:
    """Write results/review/, a folder a reader. Calls are named once nothing is still to be called, and not before.

    Children, judges and rooms are reviewed by the rounds, items by finals as well.

    Refusal when no sheet that can be reviewed is in.
    """
    from tourney.day.heard import all_is_called, heard_on
    from tourney.day.results import standings
    from tourney.day.state import read_day
    from tourney.intake.folder import read_folder
    from tourney.papers.judges_views import chief_review
    from tourney.papers.review_pack import CallsReview, write_reviews
    from tourney.papers.review_views import club_reviews
    from tourney.papers.spent_page import spent_view
    from tourney.papers.views import Hall
    from tourney.record.folder import EventFiles
    from tourney.review.calibration import calibrate
    from tourney.review.items import item_reviews
    from tourney.review.judges import allowances, judge_reviews
    from tourney.review.panels import agreements, pairs
    from tourney.review.rooms import room_effects
    from tourney.scoring.adjusted import adjusted_places
    from tourney.scoring.division_day import division_day
    from tourney.scoring.drilled import drill_off_scores, readings_of

    day = read_day(folder)
    plan, state, decisions, results = day.plan, day.state, day.state.decisions, standings(day, now)
    found, named = heard_on(day), all_is_called(day, results, now)
    scores, heard = found.scores, found.rounds
    if not any(one.word is not None for one in heard):
        raise Refusal(
            "No score sheet is in yet, so there is nothing to review.",
            cures=(f"Collect the sheets first: {typed('collect', folder)}",),
        )
    syllabus, hall = read_folder(folder).syllabus, Hall(plan, day.roster)
    panels = judge_reviews(heard, plan.event)
    drilled = readings_of(plan, drill_off_scores(plan, day.called, state.sheets, decisions, state.totals), decisions)
    days = [
        division_day(plan, division, scores, decisions.disqualified, decisions.withdrawn, drilled)
        for division in plan.event.divisions
    ]
    parts = [part for whole in days for part in whole.pools or (whole,)]
    adjusted = adjusted_places(parts, allowances((score.heat for score in scores), panels, plan.event), plan.draw.words)
    clubs = club_reviews(hall, heard, results, syllabus, found.finals if named else None)
    chief = chief_review(
        hall, day.roster, panels, agreements(heard), pairs(heard), room_effects(heard, plan.event), adjusted
    )
    calls = None
    if named:
        everything = (*heard, *found.finals)
        prior = {item.id: item.difficulty for item in syllabus.items}
        calls = CallsReview(item_reviews(everything), calibrate(everything, prior), spent_view(day.book, day.spent))
    target = EventFiles(folder).results / "review"
    written = write_reviews(target, clubs, chief, calls, syllabus, plan, results)
    files, kept = (tuple(f"results/{name}" for name in names) for names in (written.files, written.kept))
    children = len({one.contestant for one in heard})
    return DayReviewed(results.state, named, len(clubs), children, chief.summary, files, kept)
