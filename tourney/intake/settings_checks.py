"""What no single key shows: names twice, divisions that overlap, lines too long for every room, zones unknown."""

from collections import defaultdict
from collections.abc import Iterable
from datetime import date as Date
from itertools import combinations, pairwise
from zoneinfo import ZoneInfo, available_timezones

from tourney.faults import Code
from tourney.intake.findings import Findings
from tourney.intake.nearest import key, suggestion
from tourney.intake.settings_document import Document
from tourney.intake.settings_schema import KeyPath
from tourney.intake.settings_zones import check_zones
from tourney.model.ages import age_day, asked
from tourney.model.event import Division, Event

IN_LINE = ("line", "last_out")  # finals in which all who advance stand in one line


def check_names(event: Event, document: Document, findings: Findings) -> None:
    """Names twice and names unknown: safe to say even when other keys are wrong."""

    def fault(path: KeyPath, code: Code, message: str, hint: str) -> None:
        findings.fault(document.file, document.where(path), code, message, hint)

    if not _zone_known(event.timezone):
        message = f'There is no time zone "{event.timezone}".'
        near = suggestion(event.timezone, sorted(available_timezones()))
        fault(("timezone",), Code.BAD_VALUE, message, near or "Write a name such as Europe/Dublin.")
    for table, names in (
        ("rooms", [room.name for room in event.rooms]),
        ("divisions", [division.name for division in event.divisions]),
    ):
        for index in _repeated(names):
            message = f'Two {table} are called "{names[index]}".'
            fault((table, index, "name"), Code.DUPLICATE_NAME, message, "Give each a name of its own.")
    for index in _repeated([answer.id for answer in event.answers]):
        message = f"The question {event.answers[index].id} is answered twice."
        fault(("answers", index, "id"), Code.DUPLICATE_NAME, message, "Keep one of the answers.")
    for index in _repeated([str(pause.after_wave) for pause in event.day.pauses]):
        message = f"Two pauses come after wave {event.day.pauses[index].after_wave}."
        fault(("day", "pauses", index, "after_wave"), Code.BAD_VALUE, message, "Make them one, with all the minutes.")
    for number, division in enumerate(event.divisions):
        _check_lists(number, division, document, findings)


def check_sizes(event: Event, document: Document, findings: Findings) -> None:
    """Lines too long for every room, zones, how the divisions fit together: for settings without a wrong key."""
    for number, division in enumerate(event.divisions):
        _check_lines(event, number, division, document, findings)
    check_zones(event, document, findings)
    _compare_divisions(event, document, findings)


def _check_lines(event: Event, number: int, division: Division, document: Document, findings: Findings) -> None:
    def fault(name: str, message: str, hint: str) -> None:
        findings.fault(document.file, document.where(("divisions", number, name)), Code.LINE_TOO_LONG, message, hint)

    limit = max(room.line_limit for room in event.rooms)
    in_line = division.squad * division.teams_per_heat
    if in_line > limit:
        fault(
            "teams_per_heat",
            f"{division.name}: {division.teams_per_heat} teams of {division.squad} are {in_line} in line, "
            f"and no room has a line of more than {limit}.",
            f"Set teams_per_heat to {max(1, limit // division.squad)}, or line_limit to {in_line} where it fits.",
        )
    finalists = 0 if division.advance == "all" else division.squad * division.advance
    if division.finals in IN_LINE and finalists > limit:
        fault(
            "advance",
            f"{division.name}: {division.advance} teams of {division.squad} are {finalists} in the finals line, "
            f"and no room has a line of more than {limit}.",
            f"Set advance to {limit // division.squad}, or choose other finals.",
        )


def _check_lists(number: int, division: Division, document: Document, findings: Findings) -> None:
    def fault(name: str, code: Code, message: str, hint: str, *steps: str | int) -> None:
        where = document.where(("divisions", number, name, *steps))
        findings.fault(document.file, where, code, message, hint)

    for index in _repeated(division.tie_breaks):
        message = f"{division.name}: {division.tie_breaks[index]} is among the tie-breaks twice."
        fault("tie_breaks", Code.BAD_VALUE, message, "Keep the first: the second can't separate anybody.", index)
    labels = [band.label for band in division.bands]
    for index in _repeated(labels):
        message = f'{division.name}: two bands are called "{labels[index]}".'
        fault("bands", Code.DUPLICATE_NAME, message, "Give each a name of its own.", index, "label")
    if isinstance(division.sections, dict) and not any(division.sections.values()):
        message = f"{division.name}: no section has a weight above 0."
        fault("sections", Code.BAD_VALUE, message, 'Give one a weight, or write "equal".')


def _compare_divisions(event: Event, document: Document, findings: Findings) -> None:
    """Overlaps and gaps among divisions that count by the same thing on the same day."""
    by_scheme: dict[tuple[bool, bool, Date | None], list[int]] = defaultdict(list)
    for number, division in enumerate(event.divisions):
        day = age_day(division, event.date) if division.ages else None
        by_scheme[bool(division.ages), bool(division.grades), day].append(number)
    for (ages, grades, _), numbers in by_scheme.items():
        counted = [what for what, used in (("ages", ages), ("grades", grades)) if used]
        for one, other in combinations(numbers, 2):
            first, second = event.divisions[one], event.divisions[other]
            if all(_meet(getattr(first, what), getattr(second, what)) for what in counted):
                findings.fault(
                    document.file,
                    document.where(("divisions", other, counted[0])),
                    Code.DIVISIONS_OVERLAP,
                    f"{first.name} ({asked(first)}) and {second.name} ({asked(second)}) overlap.",
                    "Let each child fit one of them: change the numbers of one.",
                )
        if len(counted) == 1:
            _note_gaps(event, numbers, counted[0], document, findings)


def _note_gaps(event: Event, numbers: list[int], what: str, document: Document, findings: Findings) -> None:
    spans = sorted((getattr(event.divisions[number], what), number) for number in numbers)
    for (low, one), (high, other) in pairwise(spans):
        first, last = low[1] + 1, high[0] - 1
        if first <= last:
            findings.note(
                document.file,
                document.where(("divisions", other, what)),
                Code.DIVISIONS_GAP,
                f"No division is for {f'{what[:-1]} {first}' if first == last else f'{what} {first} to {last}'}, "
                f"between {event.divisions[one].name} and {event.divisions[other].name}.",
            )


def _meet(one: tuple[int, int], other: tuple[int, int]) -> bool:
    return one[0] <= other[1] and other[0] <= one[1]


def _repeated(names: Iterable[str]) -> list[int]:
    """Places whose name stood before."""
    keys = [key(name) for name in names]
    return [place for place, name in enumerate(keys) if name in keys[:place]]


def _zone_known(name: str) -> bool:
    try:
        ZoneInfo(name)
    except (KeyError, ValueError, OSError):
        return False
    return True
