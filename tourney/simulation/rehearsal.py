"""A whole day of simulated sheets: what judges hand in, and what they hand in after being asked."""

from dataclasses import dataclass

from tourney.draw import Draw
from tourney.model.calls import CallBook
from tourney.model.people import Roster
from tourney.model.plan import Heat, Plan
from tourney.model.sheet import SheetEntries
from tourney.model.sheet_layout import sheet_code
from tourney.simulation.contestants import ability, find
from tourney.simulation.judges import Finds, seen, severity, sheet
from tourney.simulation.mishaps import happen

ABSENT_ONE_IN = 40


@dataclass(frozen=True, slots=True)
class Rehearsal:
    """What comes in on a played day.

    entries: sheets as first handed in, in the order of the plan's heats. corrections: sheets as they should be, from
    judges who were asked. mishaps: the mistakes, and who was absent, in plain words.
    """

    entries: tuple[SheetEntries, ...]
    corrections: tuple[SheetEntries, ...]
    mishaps: tuple[str, ...]


def simulate(plan: Plan, book: CallBook, roster: Roster, draw: Draw) -> Rehearsal:
    """Play every heat of the plan. The same draw plays the same day; a heat does not depend on any other.

    Two judges whose rule can't settle a difference compare their sheets before they hand them in.
    """
    team_of = {member: team for team in plan.teams for member in team.members}
    able = {child.id: ability(child, team_of[child.id], draw) for child in roster.contestants if child.id in team_of}
    absent = _absent(plan, draw)
    names: dict[str, str] = {}
    sheets: list[SheetEntries] = []
    for heat in plan.heats:
        finds = _finds(heat, book, able, absent, draw)
        division = plan.event.division(heat.division)
        zones = len(division.zones or ((),))
        agree = len(heat.judges) == 2 * zones and division.panel in ("median", "majority")
        calls = tuple(call.no for call in book.set[heat.call_set].calls)
        for number, judge in enumerate(heat.judges, start=1):
            eyes = heat.judges[(number - 1) % zones] if agree else judge
            watched = {at: found for at, found in finds.items() if division.watches(number, at[0])}
            chance = draw.stream("rehearsal", "eyes", heat.id, eyes)
            code, name = sheet_code(heat.id, number), plan.official[judge].name
            sheets.append(sheet(code, seen(watched, severity(eyes, draw), chance), calls, name))
            names[code] = name
    wrong = happen(sheets, draw.stream("rehearsal", "mishaps"))
    entries, asked = [], []
    for one in sheets:
        mishap = wrong.get(one.code)
        first = mishap.handed_in if mishap else one
        if first:
            entries.append(first)
        if mishap and mishap.ask:
            asked.append(one)
    told = [f"{names[code]} {mishap.told}." for code, mishap in sorted(wrong.items())]
    away = [f"{child} of {team_of[child].name} was absent from heat {heat}." for child, heat in sorted(absent.items())]
    return Rehearsal(tuple(entries), tuple(asked), (*told, *away))


def _finds(heat: Heat, book: CallBook, able: dict[str, float], absent: dict[str, str], draw: Draw) -> Finds:
    """(line, call) -> what truly happens; None for who is absent from this heat."""
    chance = draw.stream("rehearsal", "heat", heat.id)
    calls = book.set[heat.call_set].calls
    speakers = book.speakers_of.get(heat.id, ())
    asked = {call.no: line for call, line in zip(calls, speakers, strict=False)}
    return {
        (line, call.no): find(able[child], call.difficulty, asked.get(call.no) == line, chance)
        if absent.get(child) != heat.id
        else None
        for call in calls
        for line, child in enumerate(heat.line, start=1)
    }


def _absent(plan: Plan, draw: Draw) -> dict[str, str]:
    """Contestant -> the one heat that they miss."""
    heats: dict[str, list[str]] = {}
    for heat in plan.heats:
        for child in heat.line:
            heats.setdefault(child, []).append(heat.id)
    chance = draw.stream("rehearsal", "absent")
    missing = chance.sample(sorted(heats), -(-len(heats) // ABSENT_ONE_IN))
    return {child: chance.choice(heats[child]) for child in missing}
