"""Practice for coaches: sets to call from, cards, a quiz and a plan of ten minutes a day."""

import shutil
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from tourney.errors import FaultsFound, Refusal
from tourney.model.event import Event
from tourney.model.plan import Plan
from tourney.model.spent import LedgerLine, ledger, unheard
from tourney.model.tally import Noted
from tourney.review.practice_group import Group, everybody, of_child, of_club, of_team
from tourney.review.practice_need import Needs

if TYPE_CHECKING:
    from tourney.canon.syllabus import Syllabus
    from tourney.day.state import PlannedDay
    from tourney.model.heard import Heard

State = Literal["unplanned", "sealed", "over"]


@dataclass(frozen=True, slots=True)
class Wish:
    """What a coach asks for. At most one of club, team and child; none: every division as a whole.

    calls, seconds: of a set, None for the division's own. number: another one draws other sets. tallies: saved files.
    """

    club: str = ""
    team: str = ""
    child: str = ""
    calls: int | None = None
    seconds: int | None = None
    weeks: int = 2
    number: int = 1
    tallies: tuple[Path, ...] = ()


@dataclass(frozen=True, slots=True)
class Made:
    """What was written for one group. files: relative to the event folder. needs: what it rests on.

    sections: names of the sections in the order of their need.
    """

    group: Group
    files: tuple[str, ...]
    needs: Needs
    sections: tuple[str, ...]


@dataclass(frozen=True)
class Practised:
    """state: whether the day is unplanned, its calls still sealed, or over.

    noted: calls of tallies; mine: those that are of these groups. kept: files that somebody had changed; the new ones
    lie beside them. spent, unheard: who has heard what, and ids of sets that nobody has heard; once the day is over.
    """

    state: State
    made: tuple[Made, ...]
    noted: int
    mine: int
    kept: tuple[str, ...]
    spent: tuple[LedgerLine, ...] = ()
    unheard: tuple[str, ...] = ()


@dataclass(frozen=True)
class Ground:
    """What practice is made from. heard: the calls of the day, none before it is over, with its finals.

    syllabus: once the day is over, as hard as it proved.
    """

    made_from: Plan | Event
    syllabus: "Syllabus"
    state: State
    day: "PlannedDay | None" = None
    heard: tuple["Heard", ...] = ()
    noted: tuple[Noted, ...] = field(default=())

    @property
    def event(self) -> Event:
        """The settings."""
        return self.made_from if isinstance(self.made_from, Event) else self.made_from.event


def practice(folder: Path, wish: Wish, now: datetime) -> Practised:
    """Write results/practice/, a folder a group, from a draw that has nothing to do with the day's sealed calls.

    Results weigh in once the day is over, with its finals; until then no set has the items of a sealed one. FaultsFound
    for settings or tallies with faults; Refusal for a group that is not in the plan.
    """
    from tourney.day.practice_draw import Drawing, needs_of
    from tourney.papers.file_names import file_names
    from tourney.papers.practice_pack import FILES, write_practice
    from tourney.papers.shelf import shelve
    from tourney.record.folder import EventFiles

    ground = _ground(folder, wish, now)
    groups = _groups(ground, wish)
    target = EventFiles(folder).results / "practice"
    fresh = target / ".fresh"
    shutil.rmtree(fresh, ignore_errors=True)
    names = file_names(group.title for group in groups)
    made = []
    try:
        for group in groups:
            drawing = Drawing(ground, group, wish, needs_of(ground, group))
            folder_of = fresh / names[group.title]
            write_practice(folder_of, ground.made_from, ground.syllabus, drawing.page, drawing.book, drawing.questions)
            files = tuple(f"results/practice/{names[group.title]}/{file}" for file in FILES)
            sections = tuple(ground.syllabus.section_name(row.section) for row in drawing.needs.sections)
            made.append(Made(group, files, drawing.needs, sections))
        written = shelve(fresh, target, whole=False)
    finally:
        shutil.rmtree(fresh, ignore_errors=True)
    members = {child for group in groups for child in group.members}
    mine = sum(not note.who or not members or note.who in members for note in ground.noted)
    kept = tuple(f"results/{file}" for file in written.kept)
    return Practised(ground.state, tuple(made), len(ground.noted), mine, kept, *_ledger(ground))


def _ledger(ground: Ground) -> tuple[tuple[LedgerLine, ...], tuple[str, ...]]:
    """Who has heard what. Only once the day is over: the sets of items are the day's calls."""
    if ground.day is None or ground.state != "over":
        return (), ()
    spent = ground.day.spent
    return ledger(spent), unheard(ground.day.book, spent)


def _ground(folder: Path, wish: Wish, now: datetime) -> Ground:
    from tourney.day.heard import all_is_called, heard_on
    from tourney.day.results import standings
    from tourney.day.state import read_day
    from tourney.intake.folder import read_folder
    from tourney.record.folder import EventFiles

    found = read_folder(folder)
    noted = _noted(wish.tallies, found.syllabus)
    if not EventFiles(folder).plan.exists():
        if found.event is None:
            raise FaultsFound(found.faults, found.questions)
        return Ground(found.event, found.syllabus, "unplanned", noted=noted)
    day = read_day(folder)
    if not all_is_called(day, standings(day, now), now):
        return Ground(day.plan, found.syllabus, "sealed", day, noted=noted)
    on_the_day = heard_on(day)
    heard = (*on_the_day.rounds, *on_the_day.finals)
    return Ground(day.plan, _as_it_proved(found.syllabus, heard), "over", day, heard, noted)


def _as_it_proved(syllabus: "Syllabus", heard: tuple["Heard", ...]) -> "Syllabus":
    """The list with the difficulties that the day showed."""
    from tourney.review.calibration import calibrate

    calibrated = calibrate(heard, {item.id: item.difficulty for item in syllabus.items})
    return syllabus.measured({one.item: one.difficulty for one in calibrated.items})


def _noted(tallies: Iterable[Path], syllabus: "Syllabus") -> tuple[Noted, ...]:
    """All notes of these files; the same note in two of them counts once, as it was saved last."""
    from tourney.files import read_bytes
    from tourney.intake.findings import Findings
    from tourney.intake.tally import MOST_BYTES, read_tally

    findings = Findings()
    notes = [
        note for path in tallies for note in read_tally(path.name, read_bytes(path, MOST_BYTES), syllabus, findings)
    ]
    if findings.faults:
        raise FaultsFound(tuple(findings.faults))
    return tuple({(note.session, note.set, note.call, note.line): note for note in notes}.values())


def _groups(ground: Ground, wish: Wish) -> tuple[Group, ...]:
    asked = [name for name in (wish.club, wish.team, wish.child) if name]
    if len(asked) > 1:
        raise Refusal("Practice is for a club, a team or a child: name one of them.")
    if not asked:
        return everybody(ground.event)
    if ground.day is None:
        raise Refusal(
            "Clubs, teams and children are known once the day is planned.",
            cures=("Leave the name out: practice is then made for each division.", "Run tourney plan first."),
        )
    if wish.club:
        return of_club(ground.day.plan, wish.club)
    if wish.team:
        return of_team(ground.day.plan, wish.team)
    return of_child(ground.day.plan, ground.day.roster, wish.child)
