"""Whom practice is made for: a division, a club's children of one division, a team, or one child."""

from dataclasses import dataclass

from tourney.errors import Refusal
from tourney.model.event import Event
from tourney.model.names import shown_names
from tourney.model.people import Roster
from tourney.model.plan import Plan

PLAIN_LINES = 12  # line numbers on the page of a group whose members are not named


@dataclass(frozen=True, slots=True)
class Group:
    """title: as it may be shown to its own coach. members: contestants' ids in line order; none for everybody."""

    title: str
    division: str
    members: tuple[str, ...] = ()

    @property
    def lines(self) -> tuple[str, ...]:
        """What stands beside each line number: an id, or nothing."""
        return self.members or ("",) * PLAIN_LINES


def everybody(event: Event) -> tuple[Group, ...]:
    """Every division as a whole."""
    return tuple(Group(division.name, division.name) for division in event.divisions)


def of_club(plan: Plan, club: str) -> tuple[Group, ...]:
    """A club's children, division by division. Refusal when no team is of that club."""
    name = _known(club, {team.club: team.club for team in plan.teams}, "club")
    return tuple(
        Group(f"{name}, {division.name}", division.name, members)
        for division in plan.event.divisions
        if (
            members := tuple(
                child
                for team in plan.teams
                if (team.club, team.division) == (name, division.name)
                for child in team.members
            )
        )
    )


def of_team(plan: Plan, team: str) -> tuple[Group, ...]:
    """One team, by its id or its name. Refusal when there is none."""
    names = {one.name: one.id for one in plan.teams} | {one.id: one.id for one in plan.teams}
    found = plan.team[_known(team, names, "team")]
    return (Group(f"{found.name} ({found.id})", found.division, found.members),)


def of_child(plan: Plan, roster: Roster, child: str) -> tuple[Group, ...]:
    """One child, by its number. Refusal when there is none."""
    key = _known(child, {one.id: one.id for one in roster.contestants}, "child")
    team = next(team for team in plan.teams if key in team.members)
    peers = [one for one in plan.teams if one.division == team.division]
    shown = shown_names(roster.contestant[member] for one in peers for member in one.members)[key]
    return (Group(shown if shown == key else f"{shown} ({key})", team.division, (key,)),)


def _known(wanted: str, names: dict[str, str], what: str) -> str:
    found = {name.casefold(): key for name, key in names.items()}.get(wanted.strip().casefold())
    if found is None:
        listed = list(dict.fromkeys(names))
        some = ", ".join(listed[:12]) + (" …" if len(listed) > 12 else "")
        raise Refusal(f'There is no {what} "{wanted}".', cures=(f"The plan has: {some}.",))
    return found
