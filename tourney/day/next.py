"""The one next thing to do, from the state of the folder and the clock."""

import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from tourney.day.next_finals import finals_steps, halted_heats, heats_of_others, needless_heats
from tourney.day.step import SHOWN, Step, rest, typed
from tourney.model.decisions import minutes_behind
from tourney.scoring.words import counted

if TYPE_CHECKING:
    from tourney.day.state import PlannedDay
    from tourney.model.standing import Results

SETTINGS = ("event.toml", "event.xlsx")
SEEN_IN = "coordinator/run_sheet.html"  # a paper that says of which plan it is
TO_BE_DRAWN = "round_not_drawn"


def next_step(folder: Path, now: datetime) -> Step:
    """The first thing that is not done yet, in the order of a day. now: aware.

    FileTrouble where there is no folder, or its files don't agree with its record.
    """
    from tourney.day.purge import RECEIPT
    from tourney.day.state import need_folder
    from tourney.record.folder import EventFiles

    need_folder(folder)
    if (folder / RECEIPT).exists():
        return Step("purged", "Children’s details are removed. Nothing is left to do.")
    if not EventFiles(folder).plan.exists():
        return _before_the_plan(folder)
    from tourney.day.reseeding import rounds_alone, unlike_finals
    from tourney.day.results import standings
    from tourney.day.state import read_day

    day = read_day(folder)
    results = standings(day, now)
    step = next(_steps(folder, day, results, now))
    unlike = unlike_finals(day, rounds_alone(day, now)) if day.plan.finals else ()
    return replace(step, more=(*step.more, *halted_heats(day), *unlike))


def _before_the_plan(folder: Path) -> Step:
    if not any((folder / name).exists() for name in SETTINGS):
        return Step("no_settings", "There are no settings in this folder yet. Start one.", "new")
    from tourney.intake.folder import read_folder

    found = read_folder(folder)
    faults, questions = len(found.faults), len(found.questions)
    if faults or questions or found.event is None:
        what = f"{counted(faults, 'place')} to mend, {counted(questions, 'question')} to answer. See them all."
        return Step("faults", what, "check")
    if not found.event.draw_words:
        return Step(
            "no_draw_words", "Choose the draw words, read them aloud, and write them into the settings.", "check"
        )
    return Step("not_planned", "Everything handed in is sound. Draw the day.", "plan")


def _steps(folder: Path, day: "PlannedDay", results: "Results", now: datetime) -> Iterator[Step]:
    """Everything still to be done, in order; the first is the next."""
    plan = day.plan
    # A rehearsal's sheets may have come in later than it is now.
    here = max([now, *day.state.arrived.values()]).astimezone(ZoneInfo(plan.event.timezone))
    behind = minutes_behind(plan, day.state.decisions.started)
    due = plan.event.date + timedelta(days=plan.event.day.keep_days)
    if here.date() >= due and here.date() > plan.event.date:
        more = ("Copy first what your local rules ask you to keep.",)
        yield Step("purge_due", f"The days to keep children’s details are over since {due}.", "purge", "--yes", more)
    stale = _stale_papers(folder, day)
    if stale is not None:
        yield Step("papers", stale, "papers", behind=behind)
    if here.date() < plan.event.date and not day.state.received:
        what = f"All is ready. The first wave starts on {plan.event.date} at {plan.waves[0].start:%H:%M}."
        yield Step("ready", what, "verify", more=("Print by the list coordinator/print_run.html.",))
    new = _not_collected(folder, day)
    if new:
        yield Step(
            "collect",
            f"{counted(new, 'file')} in returned/ came after the last sheet was taken.",
            "collect",
            behind=behind,
        )
    yield from heats_of_others(day, behind)
    yield from _sheets(day, results, here, behind)
    yield from _settling(folder, day, results, behind)
    yield from finals_steps(folder, day, results, here, behind)
    yield from _afterwards(folder, day)


def _stale_papers(folder: Path, day: "PlannedDay") -> str | None:
    """What is wrong with the papers, None when they are those of the plan."""
    from tourney.record.folder import EventFiles

    path = EventFiles(folder).papers / SEEN_IN
    if not path.exists():
        return "The day is drawn. Write its papers."
    said = re.search(r"<span>plan (\d+)</span>", path.read_text(encoding="utf-8", errors="replace"))
    made = int(said[1]) if said else 0
    needed = max((heat.since for heat in day.plan.rotation), default=1) if day.state.received else day.plan.revision
    return (
        f"The papers are of plan {made}, and the plan is {day.plan.revision} now. Write them anew."
        if made < needed
        else None
    )


def _not_collected(folder: Path, day: "PlannedDay") -> int:
    """Files that were dropped after the last sheet was taken. Their times are those of this computer."""
    from tourney.day.collect import dropped
    from tourney.record.folder import EventFiles

    last = day.state.last_sheet
    where = EventFiles(folder).returned
    files = dropped(where) if where.is_dir() else []
    return sum(last is None or path.stat().st_mtime > last.timestamp() for path in files)


def _sheets(day: "PlannedDay", results: "Results", here: datetime, behind: int | None) -> Iterator[Step]:
    """Waves to wait for, and sheets that should be in."""
    plan, late = day.plan, timedelta(minutes=behind or 0)
    ended = {wave.id for wave in plan.waves if wave.end + late <= here}
    missing = [matter for matter in results.open_matters if matter.kind == "missing_sheet"]
    overdue = [matter for matter in missing if plan.heat[matter.heat].wave in ended]
    waiting = _waiting(day)
    coming = next((wave for wave in plan.waves if wave.id in waiting and wave.start + late > here), None)
    if overdue:
        first = (results.fetch_first.what,) if results.fetch_first else ()
        more = (*(matter.what for matter in overdue[:SHOWN]), *rest(len(overdue)), *first)
        yield Step(
            "sheets_missing",
            f"{counted(len(overdue), 'sheet')} of waves that are over are still out.",
            "collect",
            "",
            more,
            behind,
        )
    if any(matter.kind == TO_BE_DRAWN for matter in results.open_matters) and not missing:
        yield Step("next_round", "A round is in. Draw the next one.", "plan", behind=behind)
    if coming is not None:
        at = coming.start + late
        begun = [wave for wave in plan.waves if wave.id in waiting and wave.start + late <= here]
        unsaid = begun[-1:] if begun and begun[-1].id not in day.state.decisions.started else []
        yield Step(
            "wave", f"Wave {coming.id} starts at {at.astimezone(here.tzinfo):%H:%M}.", "rule",
            f"started --wave {coming.id} --at HH:MM --by NAME --why REASON",
            (
                *(f"Wave {one.id} should be on. If it began late, say when, with --wave {one.id}." for one in unsaid),
                "When it starts at another time than planned, say so.",
            ),
            behind,
        )  # fmt: skip
    running = next((wave for wave in plan.waves if wave.id in waiting and wave.id not in ended), None)
    if running is not None:
        ends = (running.end + late).astimezone(here.tzinfo)
        yield Step(
            "wave_running",
            f"Wave {running.id} is on until {ends:%H:%M}. Then take its sheets.",
            "collect",
            behind=behind,
        )


def _waiting(day: "PlannedDay") -> set[str]:
    """Waves with heats of which nothing is in, and that are still needed."""
    from tourney.day.finals import heats_in

    done = heats_in(day) | needless_heats(day)
    return {heat.wave for heat in day.plan.heats if heat.id not in done}


def _settling(folder: Path, day: "PlannedDay", results: "Results", behind: int | None) -> Iterator[Step]:
    """Open matters of the rounds, then the time for protests."""
    from tourney.day.results import protests_end
    from tourney.scoring.open_matters import keeps_provisional

    open_ = [matter for matter in results.open_matters if keeps_provisional(matter)]
    if open_:
        more = (*(f"{matter.heat}: {matter.what}" for matter in open_[:SHOWN]), *rest(len(open_)))
        ruling, *others = next((matter.rulings for matter in open_ if matter.rulings), ("",))
        words = f"{ruling} --by NAME --why REASON" if ruling else ""
        lines = (typed("rule", folder, f"{other} --by NAME --why REASON") for other in others)
        more += tuple(f"Or, if the chief judge says so: {line}" for line in lines)
        yield Step(
            "open_matters",
            f"{counted(len(open_), 'matter')} to settle.",
            "rule" if ruling else "results",
            words,
            more,
            behind,
        )
    end = protests_end(day, results)
    if end is not None and results.state != "final":
        yield Step("protests", f"Every sheet is in. Protests are heard until {end:%H:%M}.", "results", behind=behind)


def _afterwards(folder: Path, day: "PlannedDay") -> Iterator[Step]:
    """Once all is decided."""
    from tourney.record.folder import EventFiles

    results = EventFiles(folder).results
    if not (results / "review").exists():
        more = ("Print certificates.html and awards.html in results/ first.",)
        yield Step("review", "Hand out the certificates. Then make the review for coaches.", "review", "", more)
    due = day.plan.event.date + timedelta(days=day.plan.event.day.keep_days)
    yield Step(
        "backup",
        f"Copy the record to a safe place. Children’s details are to be removed from {due} on.",
        "record",
        "--backup FILE",
    )
