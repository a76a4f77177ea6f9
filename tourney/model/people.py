"""Who takes part. Birth dates never get this far: intake turns them into a division and drops them."""

from dataclasses import dataclass
from functools import cached_property
from typing import Literal

ShowName = Literal["full", "initial", "number"]
Duty = Literal["judge", "caller", "timekeeper"]


@dataclass(frozen=True, slots=True)
class Contestant:
    """One child of a team.

    seconds: the time limit registered for this child, None for the division's own. needs: shown to the steward alone.
    """

    id: str
    name: str
    preferred_name: str = ""
    show_name: ShowName = "initial"
    seconds: int | None = None
    needs: str = ""
    seat: str = ""
    edition: str = ""
    substitute: bool = False


@dataclass(frozen=True, slots=True)
class Team:
    """A club's team in one division. members: contestant ids, substitutes last. pool: "" where there are none."""

    id: str
    name: str
    club: str
    division: str
    members: tuple[str, ...]
    pool: str = ""


@dataclass(frozen=True, slots=True)
class Official:
    """One volunteer.

    roles: empty means any duty. clubs, people: declared ties, to clubs and to contestants (their ids).
    start, end: "HH:MM" between which the person is there; empty for the whole day.
    cleared: may be in a room with children on the day. step_free_only: can only serve in rooms without steps.
    large_print: judges from a paper sheet in large print.
    """

    id: str
    name: str
    roles: tuple[Duty, ...] = ()
    clubs: tuple[str, ...] = ()
    people: tuple[str, ...] = ()
    start: str = ""
    end: str = ""
    cleared: bool = True
    step_free_only: bool = False
    large_print: bool = False


@dataclass(frozen=True)
class Roster:
    """Everyone, with the ids that all papers use."""

    teams: tuple[Team, ...]
    contestants: tuple[Contestant, ...]
    officials: tuple[Official, ...]

    @cached_property
    def contestant(self) -> dict[str, Contestant]:
        """Contestants by id."""
        return {child.id: child for child in self.contestants}

    @cached_property
    def team(self) -> dict[str, Team]:
        """Teams by id."""
        return {team.id: team for team in self.teams}

    @cached_property
    def official(self) -> dict[str, Official]:
        """Officials by id."""
        return {official.id: official for official in self.officials}


@dataclass(frozen=True, slots=True)
class EnteredTeam:
    """A team as a club entered it, checked, before ids are given. Contestants' ids are empty."""

    name: str
    club: str
    division: str
    members: tuple[Contestant, ...]


@dataclass(frozen=True, slots=True)
class EnteredOfficial:
    """An official as handed in. people: (club, contestant's name) pairs; the Official's id and people are empty."""

    official: Official
    people: tuple[tuple[str, str], ...] = ()
