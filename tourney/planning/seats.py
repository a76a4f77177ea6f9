"""The seats of a wave and who may take them."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from tourney.model.event import Division
from tourney.model.people import Duty, Official, Team
from tourney.planning.ties import tied


@dataclass(frozen=True, slots=True)
class Bench:
    """Seats of one duty in one heat. start, end: of the heat's wave, in the hall's time.

    teams: none while they are still to be drawn. taken: ids of officials who serve elsewhere in that wave.
    """

    heat: str
    wave: str
    duty: Duty
    seats: int
    teams: tuple[Team, ...]
    step_free: bool
    start: datetime
    end: datetime
    taken: frozenset[str] = frozenset()

    def suits(self, official: Official) -> bool:
        """May this official sit here: cleared, there, able to, no tie, and the room within reach."""
        return self.suits_but_for_ties(official) and not tied(official, self.teams)

    def suits_but_for_ties(self, official: Official) -> bool:
        """The same, if ties did not matter."""
        return (
            official.cleared
            and official.id not in self.taken
            and (not official.roles or self.duty in official.roles)
            and (self.step_free or not official.step_free_only)
            and (not official.start or _clock(official.start) <= f"{self.start:%H:%M}")
            and (
                not official.end
                or (self.start.date() == self.end.date() and f"{self.end:%H:%M}" <= _clock(official.end))
            )
        )


def _clock(text: str) -> str:
    """A clock time as two and two digits, so that texts compare as times do."""
    return text.rjust(5, "0")


def duties(division: Division) -> Mapping[Duty, int]:
    """How many seats of each duty a heat of this division has."""
    alone: dict[Duty, int] = {"judge": division.judges, "caller": 1}
    return alone if division.timekeeper == "caller" else {**alone, "timekeeper": 1}


def needed(benches: Sequence[Bench]) -> int:
    """Seats of these benches together."""
    return sum(bench.seats for bench in benches)
