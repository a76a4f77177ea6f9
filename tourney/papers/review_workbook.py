"""The coach's review as a workbook: to sort, to filter, and to keep for next time."""

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from openpyxl.formatting.rule import DataBar, FormatObject, Rule
from openpyxl.utils import get_column_letter

from tourney.model.plan import Plan
from tourney.model.standing import Results
from tourney.papers.binder import Binder, state_words
from tourney.papers.cells import Content, Formula
from tourney.papers.review_views import ChildView, ClubReview, DivisionView
from tourney.papers.sheet_style import MIDDLE, Look
from tourney.papers.table_sheet import BODY, FIRST_ROW, Field, Shown, number
from tourney.papers.workbook import Sheet, Workbook
from tourney.review.contestants import Day, Medians
from tourney.review.parts import Part

_COUNT, _PERCENT = number(), number(pattern="0 %")
_NAME = replace(BODY, bold=True)
_STEP_FIELDS = (
    Field("Child", 45, _NAME),
    Field("Team", 45),
    Field("Went well", 55),
    Field("And this", 55),
    Field("Next", 75),
)
_MISSED_FIELDS = (
    Field("Child", 45, _NAME),
    Field("Team", 45),
    Field("Round", 15, _COUNT),
    Field("Section", 60),
    Field("What was called", 55),
    Field("What happened", 50),
)
_CHILD_COLUMNS = 13  # before the rounds


def write_review_workbook(path: Path, review: ClubReview, plan: Plan, results: Results) -> None:
    """One club's workbook. FileTrouble when the file is open elsewhere or the folder is read-only."""
    workbook = Workbook(f"{plan.event.name}: review, {review.club}", plan.event.date)
    binder = Binder(workbook, plan, state_words(results))
    binder.read_me(f"coach's review, {review.club}", _read_me(plan, named=review.named))
    for view in review.divisions:
        sheet = binder.table(view.label.name, f"{view.label.name}: children", _fields(view), _rows(view), fixed=2)
        _bars(sheet, view)
    children = [child for view in review.divisions for team in view.teams for child in team.children]
    binder.table("Next steps", "Two things that went well, and the next one", _STEP_FIELDS, map(_steps, children))
    if review.named:
        missed = (row for child in children for row in _missed(child))
        binder.table("To look up again", "Calls to look up again", _MISSED_FIELDS, missed)
    workbook.save(path)


def _read_me(plan: Plan, *, named: bool) -> tuple[tuple[str, str], ...]:
    later = "" if named else " What was called is named once results are final and finals are decided."
    return (
        (
            "For whom",
            "For the leaders of this club alone. It names this club's children by the names that their families "
            "allow, and no other club's child: of all others there is no more than the middle child of the division.",
        ),
        (
            "How to use it",
            "Tell each child what went well before what comes next. Compare a child with its own last time, not with "
            "another child. Few calls say little: under six calls only counts are shown.",
        ),
        (
            "Found",
            "Calls of the rounds found in time and in the right place, as most of the panel marked. Finals are counted "
            "in no figure here.",
        ),
        (
            "From, to",
            "Where the true part lies nineteen times of twenty (Wilson's interval): wide, because a day is short.",
        ),
        ("L, W, S, H", "Late, wrong place, spoken answer wrong, handling. Clean calls have none of them."),
        ("Sections", f"Found, of how many called.{later}"),
        ("Middle child", "Half of the division's children did as well or better. Left out where too few took part."),
        (
            "Children's details",
            f"Remove this file {plan.event.day.keep_days} days after the event, or as your local safeguarding and data "
            "protection rules ask; they go first.",
        ),
    )


def _fields(view: DivisionView) -> tuple[Field, ...]:
    return (
        Field("Child", 34, _NAME),
        Field("Team", 28),
        Field("Called", 13, _COUNT),
        Field("Found", 13, _COUNT),
        Field("Part found", 14, _PERCENT),
        Field("From", 12, _PERCENT),
        Field("To", 12, _PERCENT),
        Field("Clean", 13, _COUNT),
        *(Field(letter, 8, _COUNT) for letter in ("L", "W", "S", "H")),
        Field("Answers right", 17, _COUNT),
        *(Field(f"Points, round {number_}", 15, _PERCENT) for number_ in view.rounds),
        *(Field(name, 17, _COUNT) for _, name in view.sections),
    )


def _rows(view: DivisionView) -> Iterator[tuple[Content | Shown, ...]]:
    row = FIRST_ROW
    for team in view.teams:
        for child in team.children:
            yield _row(view, child.shown_as, team.label.name, child.review.day, row)
            row += 1
        yield _row(view, "All of the team", team.label.name, team.review.day, row)
        row += 1
    if view.medians:
        yield _middle(view, view.medians)


def _row(view: DivisionView, name: str, team: str, day: Day, row: int) -> tuple[Content | Shown, ...]:
    low, high = day.found.interval
    percent = day.found.enough
    made = {one.round: float(one.points) for one in day.rounds}
    return (
        name,
        team,
        day.found.calls,
        day.found.hits,
        Formula(f"=D{row}/C{row}", day.found.share or 0.0) if percent else None,
        round(low, 4) if percent else None,
        round(high, 4) if percent else None,
        day.clean.hits,
        day.faults["L"],
        day.faults["W"],
        day.faults["S"],
        day.faults["H"],
        _of(day.answers),
        *(made.get(number_) for number_ in view.rounds),
        *(_of(day.sections[key]) if key in day.sections else None for key, _ in view.sections),
    )


def _of(part: Part) -> Shown | None:
    """The hits as a number that shows of how many: it sorts, and is no percentage."""
    return Shown(part.hits, replace(_COUNT, number=f'0" of {part.calls}"')) if part.calls else None


def _middle(view: DivisionView, middle: Medians) -> tuple[Content | Shown, ...]:
    def shown(value: float | None) -> Shown:
        return Shown(value, soft)

    soft: Look = replace(_PERCENT, ink="595959")
    return (
        Shown("Middle child", replace(BODY, ink="595959")),
        "",
        None,
        None,
        shown(middle.found),
        *[None] * (_CHILD_COLUMNS - 5),
        *(shown(middle.rounds.get(number_)) for number_ in view.rounds),
        *(shown(middle.sections.get(key)) for key, _ in view.sections),
    )


def _bars(sheet: Sheet, view: DivisionView) -> None:
    """Grey bars behind the parts, from none to all."""
    last = FIRST_ROW + sum(1 + len(team.children) for team in view.teams) - 1
    for column in (5, *range(_CHILD_COLUMNS + 1, _CHILD_COLUMNS + 1 + len(view.rounds))):
        letter = get_column_letter(column)
        bar = DataBar(cfvo=[FormatObject("num", 0), FormatObject("num", 1)], color=f"FF{MIDDLE}")
        rule = Rule("dataBar", dataBar=bar)
        sheet.frame.conditional_formatting.add(f"{letter}{FIRST_ROW}:{letter}{last}", rule)


def _steps(child: ChildView) -> tuple[Content, ...]:
    first, second = (*child.strengths, "", "")[:2]
    return child.shown_as, child.team.name, first, second, child.target


def _missed(child: ChildView) -> Iterator[tuple[Content, ...]]:
    for one in child.missed:
        yield child.shown_as, child.team.name, one.round or "after them", one.section, one.item, one.what
