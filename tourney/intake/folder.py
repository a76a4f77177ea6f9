"""Everything that people handed in, read in one pass."""

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TypeVar

from tourney.canon.syllabus import Syllabus
from tourney.errors import FileTrouble
from tourney.faults import Fault, Question
from tourney.intake.answers import Answers
from tourney.intake.difficulty import measured
from tourney.intake.doubles import find_doubles, single
from tourney.intake.eligibility import check_divisions
from tourney.intake.entries import complete, read_entries
from tourney.intake.findings import Findings
from tourney.intake.officials import read_officials
from tourney.intake.settings import Settings, read_settings
from tourney.intake.sound_alikes import read_sound_alikes
from tourney.intake.syllabus import check_weights, read_syllabus
from tourney.intake.teams import enter_teams
from tourney.model.event import Event
from tourney.model.people import EnteredOfficial, EnteredTeam

Found = TypeVar("Found", Fault, Question)


@dataclass(frozen=True)
class HandedIn:
    """All of an event folder that people wrote, without birth dates.

    event: None when the settings have a wrong key. teams, officials, syllabus: to be relied on only without faults.
    faults, questions, notes: by file, then by place. put_off: what could not be looked at yet, a sentence each.
    """

    event: Event | None
    teams: tuple[EnteredTeam, ...]
    officials: tuple[EnteredOfficial, ...]
    syllabus: Syllabus
    faults: tuple[Fault, ...]
    questions: tuple[Question, ...]
    notes: tuple[Fault, ...]
    put_off: tuple[str, ...] = ()


def read_list(folder: Path, event: Event | None, findings: Findings) -> Syllabus:
    """What may be called, with what was measured of it and what sounds alike."""
    syllabus = measured(folder, read_syllabus(folder, event, findings), findings)
    return replace(syllabus, sound_alikes=read_sound_alikes(folder, syllabus, findings))


def read_folder(folder: Path, late: Path | None = None) -> HandedIn:
    """Settings, entries, officials and syllabus. FileTrouble only when the folder itself is missing or is a file.

    late: one more file of entries, which came in after the others.
    """
    if not folder.is_dir():
        what = "is a file, not a folder" if folder.exists() else "does not exist"
        raise FileTrouble(f"{folder} {what}.", "Name the event's folder, or start one with `tourney new`.")
    findings = Findings()
    settings = read_settings(folder, findings)
    event = settings.sketch
    answers = Answers(event.answers if event else (), settings.document, findings)
    syllabus = read_list(folder, event, findings)
    entries = single(read_entries(folder, event, findings, late), findings)
    find_doubles(entries, answers, findings)
    teams: tuple[EnteredTeam, ...] = ()
    if event is not None and settings.document is not None:
        check_weights(event, settings.document, syllabus, findings)
        check_divisions(entries, event, answers, findings)
        teams = enter_teams(entries, event, findings, check_sizes=settings.event is not None)
    date = event.date if event else None
    officials = read_officials(folder, settings.sheets, entries, date, answers, findings)
    if complete(findings):
        answers.name_unused()
    return HandedIn(
        settings.event,
        teams,
        officials,
        syllabus,
        _in_order(findings.faults),
        _in_order(findings.questions),
        _in_order(findings.notes),
        tuple(_put_off(settings, findings)),
    )


def _put_off(settings: Settings, findings: Findings) -> Iterator[str]:
    """What waits for faults to be mended, so that nobody is surprised by more of them afterwards."""
    if settings.sketch is None:
        yield "Entries are compared with the divisions once the settings are in order."
    elif settings.event is None:
        yield "Sizes of teams and lines are looked at once the settings are in order."
    if not complete(findings):
        yield "Small teams and the ties of officials are looked at once every row of the entries can be read."


def _in_order(found: Iterable[Found]) -> tuple[Found, ...]:
    """By file and place, line 9 before line 10; the same thing said twice is said once."""
    return tuple(sorted(dict.fromkeys(found), key=lambda one: (one.file, _natural(one.where), one.code, one.message)))


def _natural(where: str) -> list[tuple[int, str]]:
    return [(int(part), "") if part.isdecimal() else (0, part) for part in re.split(r"(\d+)", where)]
