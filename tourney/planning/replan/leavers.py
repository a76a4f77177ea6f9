"""Teams that are absent and contestants who left: heats go on with the others."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from itertools import combinations

from tourney.model.people import Official
from tourney.model.plan import Heat
from tourney.planning.replan.draft import Draft
from tourney.planning.ties import plain, tied


def without_leavers(draft: Draft, teams: Sequence[str], contestants: Sequence[str]) -> Draft:
    """The day without these teams and contestants.

    Marks are against the clock, so a heat runs with who is left; one with nobody left is taken off, and so is a team. A
    substitute takes the line number of a contestant of the team who left.
    """
    left = {*draft.gone, *contestants}
    emptied = [team.id for team in draft.roster.teams if left.issuperset(team.members)]
    draft = replace(draft, gone=tuple(dict.fromkeys((*draft.gone, *teams, *contestants, *emptied))))
    gone = {
        *draft.gone,
        *(child for team in draft.gone if team in draft.roster.team for child in _members(draft, team)),
    }
    changed = [_without(draft, heat, gone) for heat in draft.open_heats if heat.teams]
    empty = [heat.id for heat in changed if not heat.teams]
    return draft.with_heats(heat for heat in changed if heat.teams).without(empty)


def _members(draft: Draft, team: str) -> tuple[str, ...]:
    return draft.roster.team[team].members


def _without(draft: Draft, heat: Heat, gone: set[str]) -> Heat:
    if gone.isdisjoint((*heat.teams, *heat.line)):
        return heat
    line: list[str] = []
    for child in heat.line:
        team = child.rsplit("-", 1)[0]
        if child not in gone:
            line.append(child)
        elif team not in gone:
            line += _substitute(draft, team, {*heat.line, *line, *gone})
    standing = {child.rsplit("-", 1)[0] for child in line}
    return replace(heat, line=tuple(line), teams=tuple(team for team in heat.teams if team in standing))


def _substitute(draft: Draft, team: str, taken: Iterable[str]) -> list[str]:
    """Who steps in: the team's first substitute who does not stand there yet; nobody where there is none."""
    return [child for child in _members(draft, team) if child not in taken][:1]


def evened_out(draft: Draft, before: Draft) -> Draft:
    """No heat two or more teams short while another of its round and wave is full: one team each changes the room.

    Only for heats of three teams and more; those of two go on with one. Same wave, so same time and same calls.
    before: the day before the teams left.
    """
    for group in _groups(draft, before):
        while swap := _best_swap(draft, group, before):
            draft = draft.with_heats(swap)
            group = [draft_heat for draft_heat in draft.open_heats if draft_heat.id in {heat.id for heat in group}]
    return draft


def short_by(heat: Heat, before: Draft) -> int:
    """Seats of a heat that its teams left empty."""
    return len(next(old.teams for old in before.heats if old.id == heat.id)) - len(heat.teams)


def _groups(draft: Draft, before: Draft) -> Iterator[list[Heat]]:
    """Heats that share a call set, of one pool, where some are two or more teams short."""
    alike: dict[tuple[str, str], list[Heat]] = {}
    for heat in draft.open_heats:
        pool = draft.roster.team[heat.teams[0]].pool if heat.teams else ""
        alike.setdefault((heat.call_set, pool), []).append(heat)
    for heats in alike.values():
        if any(short_by(heat, before) > 1 for heat in heats):
            yield heats


def _best_swap(draft: Draft, group: Sequence[Heat], before: Draft) -> tuple[Heat, Heat] | None:
    """The team whose change of room costs least, as both heats after it; None when nothing is to be gained."""
    short = [heat for heat in group if short_by(heat, before) > 1]
    full = [heat for heat in group if short_by(heat, before) == 0]
    choices = [
        (_price(draft, team, heat), heat.id, team, heat, donor)
        for heat in short
        for donor in full
        for team in donor.teams
        if len(heat.line) + len(_standing(donor, team)) <= draft.line_limit.get(heat.room, 0)
    ]
    if not choices:
        return None
    _, _, team, heat, donor = min(choices, key=lambda choice: choice[:3])
    moved = _standing(donor, team)
    left = tuple(child for child in donor.line if child not in moved)
    return (
        replace(donor, teams=tuple(key for key in donor.teams if key != team), line=left),
        replace(heat, teams=(*heat.teams, team), line=(*heat.line, *moved)),
    )


def _standing(heat: Heat, team: str) -> tuple[str, ...]:
    return tuple(child for child in heat.line if child.rsplit("-", 1)[0] == team)


def _price(draft: Draft, team: str, heat: Heat) -> tuple[int, int, int]:
    """Own club met, seats that would need somebody else, pairs that meet again."""
    mine = draft.roster.team[team]
    club = sum(plain(draft.roster.team[other].club) == plain(mine.club) for other in heat.teams)
    panel: list[Official] = [draft.roster.official[person] for _, person in heat.seats]
    ties = sum(tied(person, [mine]) for person in panel)
    met = {frozenset(pair) for other in draft.heats_of(team) for pair in combinations(other.teams, 2)}
    return club, ties, sum(frozenset((team, other)) in met for other in heat.teams)
