"""The state of the day: a pure fold over the journal's rows. Any earlier moment is the fold of the rows until then."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any, TypeVar

from pydantic import ValidationError

from tourney.errors import FileTrouble
from tourney.model.documents import load
from tourney.model.people import Roster
from tourney.model.plan import Plan
from tourney.model.sheet import FilledSheet
from tourney.model.standing import OpenMatter
from tourney.record.row import Row
from tourney.record.versions import differences, settle

T = TypeVar("T")

_SHOWN = 4  # differences that one sentence names


@dataclass(frozen=True, slots=True)
class DayState:
    """Where the day stands. plan, roster: None before the first plan; revision: 0 then.

    sheets: those that count, one a code, in the order of codes, all of heats as the plan has them. versions: all that
    ever came in, in the order in which they came. received: how many sheets (codes) are in.
    open_matters: two_versions for sheets that contradict each other, outdated_sheet for those of a line that changed.
    """

    plan: Plan | None = None
    roster: Roster | None = None
    revision: int = 0
    sheets: tuple[FilledSheet, ...] = ()
    open_matters: tuple[OpenMatter, ...] = ()
    versions: tuple[FilledSheet, ...] = ()
    received: int = 0


def fold(rows: Iterable[Row]) -> DayState:
    """The state after all these rows. FileTrouble when a row does not hold what its kind says."""
    planned: Row | None = None
    versions: dict[str, list[FilledSheet]] = {}
    in_order: list[FilledSheet] = []
    for row in rows:
        if row.kind == "plan":
            planned = row
        elif row.kind == "sheet":
            sheet = _held(row, "sheet", FilledSheet)
            versions.setdefault(sheet.code, []).append(sheet)
            in_order.append(sheet)
    plan = _held(planned, "plan", Plan) if planned else None
    roster = _held(planned, "roster", Roster) if planned else None
    sheets: list[FilledSheet] = []
    matters: list[OpenMatter] = []
    for _, of_code in sorted(versions.items()):
        fitting = [sheet for sheet in of_code if _fits(sheet, plan)]
        matters += [_outdated(sheet) for sheet in of_code if sheet not in fitting]
        if fitting:
            counts, contrary = settle(fitting)
            sheets.append(counts)
            matters += [_two_versions(counts, other) for other in contrary]
    return DayState(
        plan,
        roster,
        plan.revision if plan else 0,
        tuple(sheets),
        tuple(dict.fromkeys(matters)),
        tuple(in_order),
        len(versions),
    )


def _held(row: Row, key: str, kind: type[T]) -> T:
    document: Any = row.body.get(key)
    try:
        return load(kind, document)
    except ValidationError as reason:
        raise FileTrouble(
            f"The record is damaged: row {row.seq} does not hold the {key} that it should.",
            "Leave it as it is, and put the newest copy of it in its place.",
        ) from reason


def _fits(sheet: FilledSheet, plan: Plan | None) -> bool:
    heat = plan.heat.get(sheet.heat) if plan else None
    return heat is not None and heat.line == sheet.contestants and sheet.judge <= len(heat.judges)


def _outdated(sheet: FilledSheet) -> OpenMatter:
    what = (
        f"Sheet {sheet.code} was filled in under plan {sheet.revision}, and its line has changed since: it counts not."
    )
    return OpenMatter("outdated_sheet", sheet.heat, what)


def _two_versions(counts: FilledSheet, other: FilledSheet) -> OpenMatter:
    found = differences(counts, other)
    more = f"; and {len(found) - _SHOWN} more" if len(found) > _SHOWN else ""
    where = "; ".join(found[:_SHOWN]) + more if found else _beside_marks(counts, other)
    what = f"Sheet {counts.code} came in twice, and the two differ ({where}). The first counts until that is settled."
    return OpenMatter("two_versions", counts.heat, what)


def _beside_marks(counts: FilledSheet, other: FilledSheet) -> str:
    if counts.initials != other.initials:
        return f'initials: first "{counts.initials}", then "{other.initials}"'
    return "the ticks"
