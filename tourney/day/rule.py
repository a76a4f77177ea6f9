"""Put one ruling into the record."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from tourney.errors import Refusal
from tourney.model.documents import dump
from tourney.model.ruling import (
    CountVersion,
    Letters,
    LostSheet,
    Ruled,
    Ruling,
    RulingBody,
    SettleCall,
    Started,
    Void,
    heats_of,
)
from tourney.model.standing import Results
from tourney.scoring.changes import Change, changes_between

if TYPE_CHECKING:
    from tourney.scoring.docket import Docket

# What closes an open matter, or changes no marks, does not wait for the window for protests.
ALWAYS = (CountVersion, LostSheet, SettleCall, Started)


@dataclass(frozen=True, slots=True)
class Given:
    """A ruling and what it changed. preview: nothing was recorded, and the row's number is the one it would have.

    waiting: codes of sheets that hold marks of a call that was read anew. behind: minutes, None before the first start.
    unsettled: sentences about heats of finals that were drawn or decided before, and are so no longer. of_finals: it is
    about heats of finals, or changes them.
    """

    ruled: Ruled
    changes: tuple[Change, ...]
    results: Results
    team_names: dict[str, str]
    waiting: tuple[str, ...]
    behind: int | None
    preview: bool = False
    unsettled: tuple[str, ...] = ()
    of_finals: bool = False

    def document(self) -> dict[str, Any]:
        """What `rule --json` prints."""
        return {
            "format": "tourney-ruling/1",
            "row": self.ruled.number,
            "at": self.ruled.at.isoformat(),
            "by": self.ruled.by,
            "why": self.ruled.why,
            **dump(RulingBody(self.ruled.ruling)),
            "state": self.results.state,
            "changes": [dump(change) for change in self.changes],
            "waiting": list(self.waiting),
            "minutes_behind": self.behind,
            "preview": self.preview,
            "unsettled": list(self.unsettled),
        }


def rule(
    folder: Path,
    ask: "Callable[[Docket], Ruling]",
    by: str,
    why: str,
    now: datetime,
    *,
    override: bool = False,
    preview: bool = False,
) -> Given:
    """Record the ruling that `ask` makes of the docket, with who decided it and why; or only say what it would change.

    Refusal when it does not fit the day, when `by` or `why` is empty, and after the time for protests unless override.
    """
    from tourney.day.finals import stand
    from tourney.day.results import protests_end, standings, team_names
    from tourney.day.state import read_day
    from tourney.finals.progress import changes as bracket_changes
    from tourney.model.decisions import minutes_behind
    from tourney.record.folder import EventFiles
    from tourney.record.journal import Journal
    from tourney.record.rulings import ruling_entry
    from tourney.scoring.docket import Docket

    if not by.strip() or not why.strip():
        raise Refusal("A ruling needs who decided it and why.", cures=('Add --by "NAME" and --why "REASON".',))
    day = read_day(folder)
    state = day.state
    ruling = ask(Docket(day.plan, day.called, day.roster, state.sheets, state.versions, state.rulings, state.decisions))
    before = standings(day, now)
    bracket = stand(day)
    about = set(heats_of(ruling))
    end = protests_end(day, before, about_finals=not day.finals.isdisjoint(about))
    late = end is not None and now >= end and not isinstance(ruling, ALWAYS)
    if end is not None and late and not override:
        raise Refusal(
            f"The time for protests ended at {end:%H:%M}.",
            cures=("If the chief judge rules all the same, add --override: the record will say so.",),
        )
    said = f"{why.strip()} (after the time for protests)" if late else why.strip()
    entry = ruling_entry(ruling, by.strip(), said)
    if preview:
        day = day.with_entry(entry, now)
    else:
        with Journal.open(EventFiles(folder).record(day.plan.event)) as journal:
            journal.append_all([entry], at=now)
        day = read_day(folder)
    after = standings(day, now)
    anew = ruling.heats if isinstance(ruling, Void) and ruling.reserve and not ruling.rejudged else ()
    unsettled = bracket_changes(bracket, stand(day), team_names(day.plan))
    return Given(
        day.state.rulings[-1],
        changes_between(before, after),
        after,
        team_names(day.plan),
        tuple(sheet.code for sheet in state.sheets if sheet.heat in anew),
        minutes_behind(day.plan, day.state.decisions.started),
        preview,
        unsettled,
        bool(unsettled) or (bool(about) and about <= day.finals),
    )


def letters(text: str) -> Letters:
    """What "--to" says: letters as on a sheet, or "clean". Refusal for anything else."""
    from tourney.intake.marks import letters_of

    found = () if text.strip().casefold() == "clean" else letters_of(text)
    if found is None or (not found and text.strip().casefold() != "clean"):
        raise Refusal(f'"{text}" is no mark.', cures=("Write L, W, S, H or N, several together as in SH, or clean.",))
    return found
