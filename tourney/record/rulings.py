"""The rulings in the journal, and what they mean for sheets that had come in before."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace

from pydantic import ValidationError

from tourney.errors import FileTrouble
from tourney.model.documents import dump, load
from tourney.model.ruling import CountVersion, NoShow, Reopen, Ruled, Ruling, RulingBody, Void, heats_of
from tourney.model.sheet import FilledSheet
from tourney.record.row import Entry, Row


def ruling_entry(ruling: Ruling, by: str, why: str) -> Entry:
    """The row for a ruling."""
    return Entry("ruling", dump(RulingBody(ruling)), by, why)


def rulings_of(rows: Iterable[Row]) -> tuple[Ruled, ...]:
    """Every ruling in its order; those that a later one took back no longer stand. FileTrouble for a damaged row."""
    found = [Ruled(row.seq, row.at, row.by, row.why, _ruling(row)) for row in rows if row.kind == "ruling"]
    back = {ruled.ruling.number for ruled in found if isinstance(ruled.ruling, Reopen)}
    return tuple(replace(ruled, stands=False) if ruled.number in back else ruled for ruled in found)


def _ruling(row: Row) -> Ruling:
    try:
        return load(RulingBody, row.body).ruling
    except ValidationError as reason:
        raise FileTrouble(
            f"The record is damaged: row {row.seq} does not hold the ruling that it should.",
            "Leave it as it is, and put the newest copy of it in its place.",
        ) from reason


def drawn_anew(row: Row) -> dict[str, int]:
    """Heat -> this row, of heats of finals and drill-offs that a plan draws for the first time, or once more.

    A plan that was changed on the day moves heats and draws none: what was ruled about them stands.
    """
    plan = row.body.get("plan", {})
    if "replan" in row.body or not (plan.get("finals") or plan.get("drill_offs")):
        return {}
    return {heat["id"]: row.seq for heat in plan["heats"] if heat.get("since", 1) == plan["revision"]}


def in_force(rulings: Iterable[Ruled], drawn: Mapping[str, int]) -> Iterator[Ruling]:
    """What still counts: nothing that was taken back, and nothing about a heat that was drawn once more later.

    drawn: see drawn_anew, of all rows.
    """
    for ruled in rulings:
        ruling, heats = ruled.ruling, heats_of(ruled.ruling)
        still = tuple(heat for heat in heats if drawn.get(heat, 0) < ruled.number)
        if not ruled.stands or (heats and not still):
            continue
        yield replace(ruling, heats=still) if isinstance(ruling, NoShow | Void) else ruling


def chosen_versions(rulings: Iterable[Ruled]) -> dict[str, tuple[int, int]]:
    """Code -> (number of the version that was ruled to count, row of that ruling)."""
    return {
        ruled.ruling.code: (ruled.ruling.version, ruled.number)
        for ruled in rulings
        if ruled.stands and isinstance(ruled.ruling, CountVersion)
    }


def awaited_columns(rulings: Iterable[Ruled]) -> dict[tuple[str, int], int]:
    """(heat, call) -> row of the ruling by which a reserve call was read: older sheets hold marks of another call."""
    last: dict[tuple[str, int], tuple[Void, int]] = {}
    for ruled in rulings:
        if ruled.stands and isinstance(ruled.ruling, Void):
            last |= {(heat, ruled.ruling.call): (ruled.ruling, ruled.number) for heat in ruled.ruling.heats}
    return {at: row for at, (void, row) in last.items() if void.reserve is not None and not void.rejudged}


def without_columns(sheet: FilledSheet, calls: frozenset[int]) -> FilledSheet:
    """A sheet as if nothing had been written under these calls."""
    if not calls:
        return sheet
    return replace(
        sheet,
        marks=tuple(mark for mark in sheet.marks if mark.call not in calls),
        judged=tuple(call for call in sheet.judged if call not in calls),
        open_cells=tuple(cell for cell in sheet.open_cells if cell[1] not in calls),
    )
