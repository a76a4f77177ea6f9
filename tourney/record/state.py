"""The state of the day: a pure fold over the journal's rows. Any earlier moment is the fold of the rows until then."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import Any, TypeVar

from pydantic import ValidationError

from tourney.errors import FileTrouble
from tourney.model.decisions import NO_DECISIONS, Decisions, decided
from tourney.model.documents import load
from tourney.model.people import Roster
from tourney.model.plan import Plan
from tourney.model.ruling import Ruled
from tourney.model.sheet import FilledSheet
from tourney.model.standing import OpenMatter
from tourney.model.totals import HeatTotal
from tourney.record.row import Row
from tourney.record.rulings import awaited_columns, chosen_versions, drawn_anew, in_force, rulings_of, without_columns
from tourney.record.sealing import REMOVED, left
from tourney.record.versions import count_rulings, difference_words, settle
from tourney.scoring.words import number

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class DayState:
    """Where the day stands. plan, roster: None before the first plan; revision: 0 then.

    sheets: those that count, one a code, in the order of codes, all of heats as the plan has them. versions: all that
    ever came in, in the order in which they came. received: how many sheets (codes) and totals are in; last_sheet: when
    the last one came. rulings: all of them; decisions: what those that stand come to. totals: the last that came in,
    one a team and heat of the plan; every_total: all that came in. Neither these nor decisions hold anything about a
    heat of finals from before it was drawn once more. arrived: heat -> when the last of it came in.
    open_matters: two_versions for sheets that contradict each other, outdated_sheet for those of a line that changed,
    comment_settled for what somebody wrote beside the marks, total_changed for a total that came in differently, and
    total_changed_settled once the last of it came in twice. totals_files: SHA-256 of the tables of totals.
    """

    plan: Plan | None = None
    roster: Roster | None = None
    revision: int = 0
    sheets: tuple[FilledSheet, ...] = ()
    open_matters: tuple[OpenMatter, ...] = ()
    versions: tuple[FilledSheet, ...] = ()
    received: int = 0
    last_sheet: datetime | None = None
    rulings: tuple[Ruled, ...] = ()
    decisions: Decisions = NO_DECISIONS
    totals: tuple[HeatTotal, ...] = ()
    every_total: tuple[HeatTotal, ...] = ()
    arrived: Mapping[str, datetime] = field(default_factory=dict)
    totals_files: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class _Version:
    """One of the versions of a sheet. number: 1 for the first that came in. row: where the journal holds it."""

    number: int
    row: int
    sheet: FilledSheet


def fold(rows: Iterable[Row]) -> DayState:
    """The state after all these rows. FileTrouble when a row does not hold what its kind says."""
    planned: Row | None = None
    versions: dict[str, list[_Version]] = {}
    in_order: list[FilledSheet] = []
    ruling_rows: list[Row] = []
    arrived: dict[str, datetime] = {}
    totals: list[tuple[int, HeatTotal]] = []
    totals_files: set[str] = set()
    drawn: dict[str, int] = {}
    for row in rows:
        if row.kind == "plan":
            planned = row
            drawn |= drawn_anew(row)
        elif row.kind == "sheet":
            sheet = _held(row, "sheet", FilledSheet)
            of_code = versions.setdefault(sheet.code, [])
            of_code.append(_Version(len(of_code) + 1, row.seq, sheet))
            in_order.append(sheet)
            arrived[sheet.heat] = row.at
        elif row.kind == "totals":
            came = _held(row, "totals", tuple[HeatTotal, ...])
            totals += ((row.seq, total) for total in came)
            totals_files.add(row.body["file"]["sha256"])
            arrived |= {total.heat: row.at for total in came}
        elif row.kind == "ruling":
            ruling_rows.append(row)
    plan = _held(planned, "plan", Plan) if planned else None
    roster = _held(_with_people(planned), "roster", Roster) if planned else None
    rulings = rulings_of(ruling_rows)
    sheets, matters = _counting(versions, plan, rulings)
    standing = tuple(total for row, total in totals if drawn.get(total.heat, 0) < row)
    counting, changed = counting_totals(standing, plan)
    return DayState(
        plan,
        roster,
        plan.revision if plan else 0,
        sheets,
        (*matters, *changed),
        tuple(in_order),
        len(versions) + len(counting),
        max(arrived.values(), default=None),
        rulings,
        decided(in_force(rulings, drawn), plan) if plan else NO_DECISIONS,
        counting,
        standing,
        arrived,
        frozenset(totals_files),
    )


def counting_totals(
    totals: Iterable[HeatTotal], plan: Plan | None
) -> tuple[tuple[HeatTotal, ...], tuple[OpenMatter, ...]]:
    """The totals that count: of each team and heat that the plan has, the last that came in; and which ones differed.

    That is open until the last one has come in twice: two who key the same heat agree, or a third decides.
    """
    came: dict[tuple[str, str], list[HeatTotal]] = {}
    for total in totals:
        if plan and total.heat in plan.heat and total.team in plan.heat[total.heat].teams:
            came.setdefault((total.heat, total.team), []).append(total)
    differed = (own for _, own in sorted(came.items()) if len({one.points for one in own}) > 1)
    return tuple(own[-1] for _, own in sorted(came.items())), tuple(map(_total_changed, differed))


def _total_changed(own: Sequence[HeatTotal]) -> OpenMatter:
    last = own[-1]
    said = f"The total of {last.team} came in as {', then '.join(number(one.points) for one in own)}."
    if own.count(last) > 1:
        told = f"{said} {number(last.points)} came in twice and counts."
        return OpenMatter("total_changed_settled", last.heat, told)
    cure = (
        "The last counts for now. Look at the paper and hand its total in once more, in a new table: that settles it."
    )
    return OpenMatter("total_changed", last.heat, f"{said} {cure}")


def plans_of(rows: Iterable[Row]) -> dict[int, Plan]:
    """Revision -> the plan, as it was recorded last. FileTrouble as in `fold`."""
    return {plan.revision: plan for plan in (_held(row, "plan", Plan) for row in rows if row.kind == "plan")}


def was_replanned(rows: Iterable[Row]) -> bool:
    """Is the last recorded plan one that was changed on the day, which drawing anew would undo."""
    plans = [row for row in rows if row.kind == "plan"]
    return bool(plans) and "replan" in plans[-1].body


def _counting(
    versions: dict[str, list[_Version]], plan: Plan | None, rulings: tuple[Ruled, ...]
) -> tuple[tuple[FilledSheet, ...], tuple[OpenMatter, ...]]:
    """The sheets that count, and what is open about them."""
    chosen, awaited = chosen_versions(rulings), awaited_columns(rulings)
    sheets: list[FilledSheet] = []
    matters: list[OpenMatter] = []
    for code, of_code in sorted(versions.items()):
        fitting = [_as_counted(version, awaited) for version in of_code if _fits(version.sheet, plan)]
        matters += [_outdated(version.sheet) for version in of_code if not _fits(version.sheet, plan)]
        matters += [matter for version in of_code for matter in _comments(version.sheet)]
        if code in chosen:
            number, row = chosen[code]
            fitting = [version for version in fitting if version.number == number or version.row > row]
        if fitting:
            counts, contrary = settle([version.sheet for version in fitting])
            sheets.append(counts)
            number_of = {version.sheet: version.number for version in reversed(fitting)}
            matters += [_two_versions((number_of[counts], counts), (number_of[other], other)) for other in contrary]
    return tuple(sheets), tuple(dict.fromkeys(matters))


def _as_counted(version: _Version, awaited: dict[tuple[str, int], int]) -> _Version:
    """A version without the columns of calls that were read anew after it had come in."""
    heat = version.sheet.heat
    gone = frozenset(call for (where, call), row in awaited.items() if where == heat and version.row < row)
    return replace(version, sheet=without_columns(version.sheet, gone))


def _held(row: Row, key: str, kind: type[T]) -> T:
    document: Any = row.body.get(key)
    try:
        return load(kind, left(document) if kind is FilledSheet else document)
    except ValidationError as reason:
        raise FileTrouble(
            f"The record is damaged: row {row.seq} does not hold the {key} that it should.",
            "Leave it as it is, and put the newest copy of it in its place.",
        ) from reason


def _with_people(planned: Row) -> Row:
    """A plan's row with its contestants as the roster has them; by their ids alone once a purge took the rest away."""
    people = planned.body.get("roster")
    if not isinstance(people, dict):
        return planned
    contestants = [
        {"id": child["id"], "name": child["id"], "show_name": "number"} if REMOVED in child["about"] else child["about"]
        for child in people["contestants"]
    ]
    return replace(planned, body={**planned.body, "roster": {**people, "contestants": contestants}})


def _fits(sheet: FilledSheet, plan: Plan | None) -> bool:
    heat = plan.heat.get(sheet.heat) if plan else None
    if heat is None or sheet.revision < heat.since:
        return False
    return heat.line == sheet.contestants and sheet.judge <= len(heat.judges)


def _outdated(sheet: FilledSheet) -> OpenMatter:
    what = (
        f"Sheet {sheet.code} was filled in under plan {sheet.revision}, and its line has changed since: it counts not."
    )
    return OpenMatter("outdated_sheet", sheet.heat, what)


def _comments(sheet: FilledSheet) -> tuple[OpenMatter, ...]:
    return tuple(
        OpenMatter("comment_settled", sheet.heat, f'Beside the marks of sheet {sheet.code}, {at.where}: "{at.message}"')
        for at in sheet.comments
    )


def _two_versions(counting: tuple[int, FilledSheet], differing: tuple[int, FilledSheet]) -> OpenMatter:
    (number, counts), (other_number, other) = counting, differing
    what = (
        f"Sheet {counts.code} came in more than once, and version {other_number} differs from version {number} "
        f"({difference_words(counts, other)}). Version {number} counts until that is settled."
    )
    return OpenMatter("two_versions", counts.heat, what, count_rulings(counts.code, number, other_number))
