"""A team that was entered after the draw: as one more team in existing heats, or in heats of its own."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import timedelta

from tourney.errors import Refusal
from tourney.model.people import Roster
from tourney.model.plan import Heat
from tourney.planning.lines import standing
from tourney.planning.replan.changes import LateTeam
from tourney.planning.replan.draft import NO_SET, Draft
from tourney.planning.replan.rooms import relocated
from tourney.planning.replan.staff import holders
from tourney.planning.ties import plain, tied

LOOKED = 20_000  # heats that the search for the best day of a late team looks at
CLUB, AGAIN, SEAT, GROWN, LATE = 100_000, 1000, 100, 10, 1  # prices: own club met, met again, a seat, a third team more


@dataclass(frozen=True, slots=True)
class Ways:
    """Both ways for a late team. joined: None where a line or the clock leaves no heat that takes it.

    apart: why not, where it can't have heats of its own.
    """

    joined: Draft | None
    apart: Draft | Refusal

    def chosen(self, apart: bool) -> Draft:
        """The way that is taken: in existing heats where that can be, unless it is to be apart. Refusal where none."""
        if self.joined and not apart:
            return self.joined
        if isinstance(self.apart, Refusal):
            raise self.apart
        return self.apart


def enrolled(draft: Draft, late: LateTeam) -> Draft:
    """The day with one more team, which has no heat yet."""
    roster = draft.roster
    officials = tuple(
        replace(person, people=tuple(sorted({*person.people, *late.team.members})))
        if person.id in late.tied
        else person
        for person in roster.officials
    )
    order = {division.name: number for number, division in enumerate(draft.event.divisions)}
    teams = sorted((*roster.teams, late.team), key=lambda team: order[team.division])  # stable: last of its division
    return replace(draft, roster=Roster(tuple(teams), (*roster.contestants, *late.members), officials))


def both_ways(draft: Draft, late: LateTeam) -> Ways:
    """The day with a late team, both ways. Refusal when no round of its division is still to come."""
    draft = enrolled(draft, late)
    rounds = rounds_to_come(draft, late)
    later = any(heat.division == late.team.division and not heat.teams for heat in draft.open_heats)  # drawn later
    if not rounds and not later:
        where = f"pool {late.team.pool} of {late.team.division}" if late.team.pool else late.team.division
        raise Refusal(f"{late.team.name} comes too late: every round of {where} has begun.")
    try:
        apart: Draft | Refusal = _apart(draft, late, rounds)
    except Refusal as reason:
        apart = reason
    return Ways(_joined(draft, late, rounds), apart)


def rounds_to_come(draft: Draft, late: LateTeam) -> list[int]:
    """Rounds of the team's division, or of its pool, of which a heat is still to be held."""
    return sorted({heat.round for heat in draft.open_heats if _may_meet(draft, late, heat)})


def _may_meet(draft: Draft, late: LateTeam, heat: Heat) -> bool:
    """Whether this is a heat of the team's division and pool."""
    there = [draft.roster.team[team].pool for team in heat.teams]
    return heat.division == late.team.division and late.team.pool in there


def _line(draft: Draft, late: LateTeam) -> tuple[str, ...]:
    return standing(late.team, draft.event.division(late.team.division).squad)


def _joined(draft: Draft, late: LateTeam, rounds: Sequence[int]) -> Draft | None:
    """One heat of each round takes the team in: the cheapest such day, by branch and bound over the rounds."""
    choices = [sorted(_open_to(draft, late, number), key=lambda pair: (pair[0], pair[1].id)) for number in rounds]
    best: tuple[int, list[Heat]] | None = None
    looked = 0

    def search(at: int, price: int, chosen: list[Heat]) -> None:
        nonlocal best, looked
        if best and price >= best[0]:
            return
        if at == len(choices):
            best = price, chosen
            return
        met = {team for heat in chosen for team in heat.teams}
        for own, heat in choices[at]:
            looked += 1
            if looked > LOOKED and best:
                return
            if all(_apart_enough(draft, heat, other) for other in chosen):
                search(at + 1, price + own + AGAIN * len(met.intersection(heat.teams)), [*chosen, heat])

    search(0, 0, [])
    if best is None:
        return None
    line = _line(draft, late)
    return draft.with_heats(
        replace(heat, teams=(*heat.teams, late.team.id), line=(*heat.line, *line)) for heat in best[1]
    )


def _open_to(draft: Draft, late: LateTeam, number: int) -> Iterator[tuple[int, Heat]]:
    """Heats of a round that can take the team in without a change of room or time, each with its price."""
    usual = draft.event.division(late.team.division).teams_per_heat
    for heat in draft.open_heats:
        if heat.round != number or not _may_meet(draft, late, heat):
            continue
        larger = replace(heat, teams=(*heat.teams, late.team.id))
        long_enough = len(heat.line) + len(_line(draft, late)) <= draft.line_limit.get(heat.room, 0)
        if long_enough and draft.minutes(larger) <= draft.wave[heat.wave].minutes:
            club = sum(plain(draft.roster.team[team].club) == plain(late.team.club) for team in heat.teams)
            people = [draft.roster.official[person] for person in holders(heat).values()]
            seats = sum(tied(person, [late.team]) for person in people)
            grown = max(0, len(larger.teams) - usual)
            yield CLUB * club + SEAT * seats + GROWN * grown + LATE * draft.place[heat.wave], heat


def _apart_enough(draft: Draft, one: Heat, other: Heat) -> bool:
    first, second = sorted((draft.wave[one.wave], draft.wave[other.wave]), key=lambda wave: wave.start)
    return first.id != second.id and second.start - first.end >= timedelta(minutes=draft.event.day.rest)


def _apart(draft: Draft, late: LateTeam, rounds: Sequence[int]) -> Draft:
    """The team in heats of its own: beside its rounds where a room is free, else in extra waves."""
    prefix = draft.prefix[late.team.division]
    for number in rounds:
        taken = [heat for heat in draft.heats if (heat.division, heat.round) == (late.team.division, number)]
        last = max(int(heat.id.rsplit("-", 1)[1]) for heat in taken)
        alone = Heat(
            f"{prefix}-R{number}-{last + 1}", late.team.division, number, "", "", NO_SET, (late.team.id,),
            (), "", None, _line(draft, late), draft.revision,
        )  # fmt: skip
        draft = relocated(draft, [alone])
    return draft
