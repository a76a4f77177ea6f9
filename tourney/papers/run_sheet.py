"""The coordinator's day as boxes to tick, in the order of the clock."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta

from tourney.papers.views import Hall, WaveRow


@dataclass(frozen=True, slots=True)
class Task:
    """One thing to see to. time: "HH:MM", or empty. sheets: score sheets to come back, for a wave."""

    time: str
    words: str
    sheets: int = 0


@dataclass(frozen=True, slots=True)
class Stage:
    """A part of the day."""

    title: str
    tasks: tuple[Task, ...]


def run_sheet(hall: Hall) -> tuple[Stage, ...]:
    """Everything from printing to putting away. Minutes before the start: common practice, no source."""
    start = hall.plan.waves[0].start

    def before(minutes: int) -> str:
        return hall.clock(start - timedelta(minutes=minutes))

    day = hall.plan.event.day
    return (
        Stage(
            "Before the day",
            (
                Task(
                    "", "Check with the safeguarding lead: clearances reach the day, two cleared adults in each room."
                ),
                Task("", "Send each club its page, each team and each official the itinerary or the calendar file."),
                Task("", "Print what the print run lists, callers’ envelopes last; seal these and lock them away."),
                Task("", "Pens, clipboards, two stopwatches a room, paper clips for the doors, a spare printer cable."),
                Task("", "Copy this folder to a stick: a second laptop can then take over."),
            ),
        ),
        Stage(
            "The morning",
            (
                Task(
                    before(90), "Rooms open: door sheets up, tables for judges, a line on the floor with its numbers."
                ),
                Task(before(60), "Registration opens: sign-in list, a leader for each club, tell of every absence."),
                Task(before(45), "Room packs to the rooms; access list to the steward, and to nobody else."),
                Task(before(30), "Officials’ briefing, practice call, stopwatches against each other."),
                Task(before(15), "Absent teams, children, officials known; who steps in is told."),
                Task(before(10), "Each caller fetches the first envelope, still sealed."),
                Task(before(5), "Teams to their doors."),
            ),
        ),
        Stage("The rounds", tuple(_rounds(hall))),
        Stage(
            "After the last wave",
            (
                Task("", "All sheets collected? The results name every sheet that is missing."),
                Task(
                    "", f"Provisional standings posted at ______. Protests for {day.protest_minutes} minutes from then."
                ),
                Task("", "Open matters settled by the chief judge; ties that matter go to a drill-off."),
                Task("", "Who reaches the finals told; panel without any tie to a finalist."),
                Task("", "Award list read through aloud once; hand-out order of certificates checked."),
                Task("", "Access list and sign-in list back, and destroyed as your rules ask. Envelopes counted."),
                Task("", "A copy of the record put aside: tourney record FOLDER --backup FILE"),
                Task(
                    "",
                    f"Children’s details removed within {day.keep_days} days, or sooner where your rules ask for it.",
                ),
            ),
        ),
    )


def _rounds(hall: Hall) -> Iterator[Task]:
    for row in hall.schedule:
        if isinstance(row, WaveRow):
            heats = [heat for heat in row.heats if heat]
            judges = sum(person.duty == "judge" for heat in heats for person in heat.officials)
            names = ", ".join(dict.fromkeys(heat.division.name for heat in heats))
            yield Task(row.start, f"{row.wave}: {len(heats)} {'heat' if len(heats) == 1 else 'heats'}, {names}", judges)
        else:
            yield Task(row.start, f"{row.label}, until {row.end}")
