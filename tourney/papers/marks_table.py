"""Every mark that counts, as the judges wrote it: one row a sheet and contestant whom its judge marks."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from tourney.model.plan import Plan
from tourney.model.sheet import LETTERS, FilledSheet
from tourney.model.sheet_layout import judge_letter
from tourney.papers.cells import Content
from tourney.papers.table_sheet import BODY, Field, number
from tourney.papers.views import Hall

CLEAN, NOT_JUDGED, UNREAD = "·", "–", "?"
OPEN = (NOT_JUDGED, UNREAD)  # neither clean nor a fault
EXPLAINED = (
    "A box as the judge left it: letters are faults, "
    f"{CLEAN} clean, {NOT_JUDGED} not judged, {UNREAD} could not be read."
)
NAMED = 10  # columns up to the team
_CALL = replace(BODY, across="center", wrap=False, indent=0, shrink=True)


def marks_fields(sheets: Sequence[FilledSheet], plan: Plan) -> tuple[Field, ...]:
    """The columns: as many calls as the longest of these sheets has."""
    return (
        Field("Division", 18),
        Field("Round", 12, number()),
        Field("Heat", 18),
        Field("Room", 28),
        Field("Judge", 11, _CALL),
        Field("Initials", 13, _CALL),
        Field("Sheet", 25),
        Field("Line", 9, number(bold=True)),
        Field("Contestant", 34),
        Field("Team", 34),
        *(Field(letter, 7, number()) for letter in LETTERS),
        Field("Open", 12, number()),
        *(Field(str(call), 6, _CALL) for call in range(1, _most_calls(sheets, plan) + 1)),
    )


def marks_rows(sheets: Sequence[FilledSheet], hall: Hall) -> Iterator[tuple[Content, ...]]:
    """The rows, heats in the plan's order; contestants by the names that may be shown."""
    plan = hall.plan
    order = {heat.id: place for place, heat in enumerate(plan.heats)}
    team_of = {child: team.name for team in hall.roster.teams for child in team.members}
    columns = range(1, _most_calls(sheets, plan) + 1)
    for sheet in sorted(sheets, key=lambda sheet: (order[sheet.heat], sheet.judge)):
        heat = plan.heat[sheet.heat]
        division = plan.event.division(heat.division)
        written = {(mark.line, mark.call): "".join(mark.letters) for mark in sheet.marks}
        for line, child in enumerate(sheet.contestants, 1):
            if not division.watches(sheet.judge, line):
                continue
            shown = [_box(sheet, written, line, call) if call <= division.calls else "" for call in columns]
            counted = Counter(letter for box in shown if box[-1:] not in OPEN for letter in box)
            yield (
                heat.division,
                hall.finals.get(heat.id, heat.round),
                heat.id,
                heat.room,
                judge_letter(sheet.judge),
                sheet.initials,
                sheet.code,
                line,
                hall.names.get(child, child),
                team_of.get(child, ""),
                *(counted[letter] for letter in LETTERS),
                sum(box[-1:] in OPEN for box in shown if box),
                *shown,
            )


def _most_calls(sheets: Sequence[FilledSheet], plan: Plan) -> int:
    return max((plan.event.division(plan.heat[sheet.heat].division).calls for sheet in sheets), default=0)


def _box(sheet: FilledSheet, written: Mapping[tuple[int, int], str], line: int, call: int) -> str:
    if (line, call) in sheet.open_cells:
        return UNREAD
    letters = written.get((line, call), "")
    if call not in sheet.judged:
        return f"{letters}{NOT_JUDGED}"
    return letters or CLEAN
