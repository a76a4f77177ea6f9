"""What every command after `plan` starts from: the plan, the calls, the people and what has come in."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path

from tourney.errors import FileTrouble
from tourney.model.called import called
from tourney.model.calls import CallBook
from tourney.model.decisions import NO_DECISIONS
from tourney.model.people import Roster
from tourney.model.plan import Heat, Plan
from tourney.model.spent import SpentCall, spent_calls
from tourney.record.folder import EventFiles, read_book, read_plan
from tourney.record.journal import Journal
from tourney.record.row import Entry, Row
from tourney.record.state import DayState, fold, plans_of


@dataclass(frozen=True, slots=True)
class PlannedDay:
    """A planned event folder. rows: the journal; state: its fold."""

    plan: Plan
    book: CallBook
    roster: Roster
    rows: tuple[Row, ...]
    state: DayState

    @property
    def called(self) -> CallBook:
        """The calls as they are called: without those that shortened rounds leave out."""
        return called(self.plan, self.book)

    @property
    def finals(self) -> frozenset[str]:
        """Ids of the heats of finals."""
        return frozenset(self.plan.heat) - {heat.id for heat in self.plan.rotation}

    @property
    def spent(self) -> tuple[SpentCall, ...]:
        """Who has heard what, once every heat of the plan is held; what was held once more was heard both times."""
        team_of = {child: team.id for team in self.plan.teams for child in team.members}
        place = {wave.id: number for number, wave in enumerate(self.plan.waves)}
        held = [(heat, NO_DECISIONS) for heat in self._held_before]
        held += [(heat, self.state.decisions) for heat in self.plan.heats]
        held.sort(key=lambda one: place.get(one[0].wave, 0))
        book = self.called
        return tuple(one for heat, ruled in held for one in spent_calls([heat], book, team_of, ruled))

    @property
    def _held_before(self) -> tuple[Heat, ...]:
        """Heats of finals as they stood in the plan of a sheet that is superseded, since they are held once more."""
        again = {
            (sheet.revision, sheet.heat)
            for sheet in self.state.versions
            if sheet.heat in self.finals and sheet.revision < self.plan.heat[sheet.heat].since
        }
        plans = plans_of(self.rows) if again else {}
        return tuple(
            plans[revision].heat[heat]
            for revision, heat in sorted(again)
            if revision in plans and heat in plans[revision].heat
        )

    @property
    def chain(self) -> str:
        """The hash of the last of these rows: it stands for all of them, in their order. Empty for none."""
        return self.rows[-1].hash if self.rows else ""

    def with_entry(self, entry: Entry, at: datetime) -> "PlannedDay":
        """The day as it would be if that were written down next."""
        row = Row(len(self.rows) + 1, at, entry.kind, entry.by, entry.why, entry.body, self.chain, "")
        rows = (*self.rows, row)
        return replace(self, rows=rows, state=fold(rows))


def need_folder(folder: Path) -> None:
    """FileTrouble unless there is such a folder."""
    if not folder.is_dir():
        raise FileTrouble(f"There is no folder {folder}.", "Check the name, or start a folder with: tourney new FOLDER")


def read_day(folder: Path, moment: Callable[[Plan], datetime] | None = None) -> PlannedDay:
    """The planned day of a folder, as its files and its record have it. FileTrouble when they don't agree.

    moment: of the plan, aware; the day is then what the record held at that time.
    """
    need_folder(folder)
    plan, book = read_plan(folder), read_book(folder)
    with Journal.open(EventFiles(folder).record(plan.event)) as journal:
        rows = journal.rows()
    state = fold(rows)
    if state.plan != plan or state.roster is None:
        raise FileTrouble(
            f"plan.json in {folder} is not the plan that the record holds.",
            "Run tourney plan once more: it writes the recorded plan again.",
        )
    sealed = {found.id: found.fingerprint for found in plan.call_sets}
    if sealed != {found.id: found.fingerprint() for found in book.sets}:
        raise FileTrouble(
            f"calls.json in {folder} does not belong to plan.json.",
            "Run tourney plan once more: it draws the same calls again.",
        )
    day = PlannedDay(plan, book, state.roster, rows, state)
    return _until(day, moment(plan)) if moment else day


def _until(day: PlannedDay, moment: datetime) -> PlannedDay:
    rows = tuple(row for row in day.rows if row.at <= moment)
    state = fold(rows)
    if state.plan is None or state.roster is None:
        raise FileTrouble(f"Nothing was planned yet at {moment:%H:%M} on {moment:%Y-%m-%d}.")
    if any(heat.call_set not in day.book.set for heat in state.plan.heats):
        raise FileTrouble(
            f"The calls of the plan of {moment:%H:%M} are not there any more.",
            f"Name a time after plan {day.plan.revision} was made.",
        )
    return PlannedDay(state.plan, day.book, state.roster, rows, state)
