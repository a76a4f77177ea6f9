"""Children put together as teams, and the sizes of these."""

from collections import defaultdict
from collections.abc import Sequence

from tourney.faults import Code
from tourney.intake.entries import Entry, complete, spellings
from tourney.intake.findings import Findings
from tourney.intake.nearest import key, nearest
from tourney.model.event import Division, Event
from tourney.model.people import EnteredTeam


def enter_teams(
    entries: Sequence[Entry], event: Event, findings: Findings, *, check_sizes: bool
) -> tuple[EnteredTeam, ...]:
    """Teams in the order of divisions, then of clubs; members in the order of entry, substitutes last.

    check_sizes: False where the settings have faults, so that their sizes can't be relied on.
    """
    clubs = spellings(entries)
    grouped: dict[tuple[int, str, str], list[Entry]] = defaultdict(list)
    for entry in entries:
        if entry.division is not None:
            place = event.divisions.index(entry.division)
            grouped[place, key(entry.club), key(entry.team)].append(entry)
    teams = []
    for place, club, team in sorted(grouped):
        found, division = grouped[place, club, team], event.divisions[place]
        children = sorted((entry.contestant for entry in found), key=lambda child: child.substitute)
        teams.append(EnteredTeam(found[0].team, clubs[club], division.name, tuple(children)))
        if check_sizes:
            _check_size(found, division, findings)
    _note_alike(clubs, findings)
    _note_empty(event, {place for place, _, _ in grouped}, findings)
    return tuple(teams)


def _check_size(entries: list[Entry], division: Division, findings: Findings) -> None:
    first = entries[0]
    substitutes = sum(entry.contestant.substitute for entry in entries)
    members = len(entries) - substitutes
    name = f"{first.team} of {first.club} ({division.name})"
    place = (first.row.file, first.row.where("team"))
    if complete(findings):
        _check_short(name, members, substitutes, division, place, findings)
    if members > division.squad:
        surplus = members - division.squad
        findings.fault(
            *place,
            Code.LARGE_TEAM,
            f"{name} has {_count(members, 'member')}; at most {division.squad} stand in line.",
            f"Write substitute in the column role for {surplus}, or enter a second team.",
        )
    if substitutes > division.substitutes:
        findings.fault(
            *place,
            Code.LARGE_TEAM,
            f"{name} has {_count(substitutes, 'substitute')}; at most {division.substitutes} may be.",
            "Take some out, or let them be members if there is a place.",
        )


def _check_short(
    name: str, members: int, substitutes: int, division: Division, place: tuple[str, str], findings: Findings
) -> None:
    has = f"{name} has {_count(members, 'member')}"
    if members < division.minimum:
        cure = "Let a substitute be a member" if substitutes else "Ask the club for more children"
        findings.fault(
            *place,
            Code.SHORT_TEAM,
            f"{has}; a team needs {division.minimum}.",
            f"{cure}, join it with another team of the club, or take it out.",
        )
    elif members < division.counting:
        message = f"{has}; {division.counting} scores count, and those missing are 0."
        findings.note(*place, Code.SHORT_TEAM, message)


def _note_alike(clubs: dict[str, str], findings: Findings) -> None:
    names = sorted(clubs)
    for place, name in enumerate(names):
        near = nearest(name, names[:place], 0.9)
        if near is not None:
            message = f'"{clubs[near]}" and "{clubs[name]}" are taken for two clubs.'
            findings.note("entries", "", Code.SIMILAR_CLUBS, message, "If they are one, write it the same everywhere.")


def _note_empty(event: Event, filled: set[int], findings: Findings) -> None:
    for place, division in enumerate(event.divisions):
        if place not in filled:
            findings.note("entries", "", Code.NO_ENTRIES, f"No team is entered in {division.name}.")


def _count(number: int, what: str) -> str:
    return f"{number} {what}{'' if number == 1 else 's'}" if number else f"no {what}"
