"""Play a whole day with simulated contestants and judges, through the real files."""

import shutil
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from tourney import clock
from tourney.day.collect import Taken
from tourney.errors import FileTrouble, Refusal, Stopped
from tourney.files import trouble, write_text
from tourney.model.plan import Heat, Plan
from tourney.model.sheet import SheetEntries
from tourney.model.standing import Results

if TYPE_CHECKING:
    from tourney.day.finals import FinalsDay
    from tourney.papers.shelf import Written

HANDED_IN = (
    "event.toml", "event.xlsx", "officials.csv", "officials.xlsx", "syllabus.csv", "syllabus.xlsx", "sound_alikes.csv",
    "sound_alikes.xlsx", "difficulty.csv", "entries",
)  # fmt: skip
STEPS = 8


@dataclass(frozen=True, slots=True)
class StepTime:
    """How long one step took, in seconds."""

    step: str
    seconds: float


@dataclass(frozen=True, slots=True)
class Rehearsed:
    """A played day.

    mishaps: the honest mistakes that were made, in words. first, second: what collecting found before and after the
    judges were asked about them. finals: None where no division has any.
    """

    folder: Path
    plan: Plan
    papers: "Written"
    mishaps: tuple[str, ...]
    first: Taken
    second: Taken
    results: Results
    finals: "FinalsDay | None"
    steps: tuple[StepTime, ...]


def rehearse(source: Path, into: Path, tell: Callable[[str], None]) -> Rehearsed:
    """Check, plan, print, fill, collect and rank a copy of an event folder, and play its finals.

    source is only read. into must not exist, or be empty. tell is called with the name of each step as it begins.
    """
    from tourney.day.collect import collect
    from tourney.day.papers import papers
    from tourney.day.plan import plan
    from tourney.day.rehearse_finals import play_finals
    from tourney.day.results import results
    from tourney.day.state import read_day
    from tourney.draw import Draw
    from tourney.simulation.rehearsal import simulate

    steps: list[StepTime] = []

    @contextmanager
    def step(name: str) -> Iterator[None]:
        tell(name)
        began = clock.ticks()
        yield
        steps.append(StepTime(name, clock.ticks() - began))

    with step("Copying what was handed in"):
        _copy(source, into)
    with step("Checking and planning"):
        try:
            planned = plan(into, clock.now())
        except Stopped:  # what is to be mended is mended in the source, and then the same words are to do
            _emptied(into)
            raise
    with step("Writing the papers"):
        written = papers(into)
    # The day's own clock: sheets are in five minutes after the last heat, what was asked for five minutes later.
    end = max(wave.end for wave in planned.plan.waves)
    with step("Judges fill their score sheets"):
        left = _rounds_by_standing(into)
        day = read_day(into)
        played = simulate(replace(day.plan, heats=left), day.called, day.roster, Draw(day.plan.draw.words))
        _hand_in(into, "first", played.entries)
    with step("Collecting the score sheets"):
        first = collect(into, (), end + timedelta(minutes=5))
    with step("Asking judges back"):
        _hand_in(into, "asked", played.corrections)
        second = collect(into, (), end + timedelta(minutes=10))
    with step("Working out the results"):
        protests = timedelta(minutes=10 + planned.plan.event.day.protest_minutes)
        ranked = results(into, end + protests)
    with step("Playing the finals"):
        last = play_finals(into, end + protests)
    return Rehearsed(into, day.plan, written, played.mishaps, first, second, ranked.results, last, tuple(steps))


def _rounds_by_standing(into: Path) -> tuple[Heat, ...]:
    """Play divisions that are drawn round by round, all but their last rounds, and give the heats that are left."""
    from tourney.day.collect import collect
    from tourney.day.papers import papers
    from tourney.day.plan import plan
    from tourney.day.state import read_day
    from tourney.draw import Draw
    from tourney.simulation.rehearsal import simulate

    day, over = read_day(into), set[str]()
    while day.plan.reserved:
        waiting = {slot.division for slot in day.plan.reserved}
        heats = tuple(heat for heat in day.plan.heats if heat.division in waiting and heat.id not in over)
        over |= {heat.id for heat in heats}
        played = simulate(replace(day.plan, heats=heats), day.called, day.roster, Draw(day.plan.draw.words))
        _hand_in(into, f"rounds until {heats[-1].id}", (*played.entries, *played.corrections))
        end = max(day.plan.wave[heat.wave].end for heat in heats)
        collect(into, (), end + timedelta(minutes=5))
        plan(into, end + timedelta(minutes=5))
        papers(into)
        day = read_day(into)
    return tuple(heat for heat in day.plan.heats if heat.id not in over)


def _copy(source: Path, into: Path) -> None:
    """Copy what was handed in, and nothing else: a rehearsal never sees the calls of the real day."""
    if not source.is_dir():
        raise FileTrouble(f"There is no folder {source}.", "Check the name of the event folder.")
    if into.exists() and (not into.is_dir() or any(into.iterdir())):
        raise Refusal(f"{into} is there already and not empty.", cures=("Name a folder that is not there yet.",))
    if into.resolve().is_relative_to(source.resolve()):
        raise Refusal(f"{into} lies inside {source}.", cures=("Name a folder beside the event folder, not in it.",))
    try:
        into.mkdir(parents=True, exist_ok=True)
        for name in HANDED_IN:
            if (source / name).is_dir():
                shutil.copytree(source / name, into / name)
            elif (source / name).exists():
                shutil.copyfile(source / name, into / name)
    except OSError as reason:
        raise trouble(into, reason, "write") from reason
    # A secret of its own, and always the same one: the rehearsal can be played again and shows no real call.
    write_text(into / "draw_secret.txt", "rehearsal\n")


def _emptied(folder: Path) -> None:
    """Take the copies away again; the folder was empty before."""
    try:
        for path in folder.iterdir():
            shutil.rmtree(path) if path.is_dir() else path.unlink()
    except OSError as reason:
        raise trouble(folder, reason, "write") from reason


def _hand_in(folder: Path, when: str, entries: Iterable[SheetEntries]) -> None:
    """Fill copies of the real workbooks and drop them into returned/."""
    from tourney.papers.fill import fill_workbook

    by_code = {sheet.code: sheet for sheet in entries}
    for workbook in sorted((folder / "papers" / "judges").glob("*.xlsx")) if by_code else ():
        fill_workbook(workbook, folder / "returned" / f"{workbook.stem} {when}.xlsx", by_code)
