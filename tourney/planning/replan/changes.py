"""What went wrong."""

from dataclasses import dataclass

from tourney.model.people import Contestant, Team


@dataclass(frozen=True, slots=True)
class LateTeam:
    """A team that was entered after the draw. tied: ids of officials with a tie to one of its children."""

    team: Team
    members: tuple[Contestant, ...]
    tied: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Fewer:
    """So many calls in every heat of a round that has not begun."""

    calls: int
    round: int


@dataclass(frozen=True, slots=True)
class Changes:
    """Everything that happened, by ids; rooms by name, call sets by id. delay: minutes.

    late_apart: late teams are to have heats of their own, even where existing heats could take them in.
    """

    absent: tuple[str, ...] = ()
    contestants_out: tuple[str, ...] = ()
    late: tuple[LateTeam, ...] = ()
    late_apart: bool = False
    rooms_lost: tuple[str, ...] = ()
    officials_out: tuple[str, ...] = ()
    leaked: tuple[str, ...] = ()
    delay: int = 0
    fewer: tuple[Fewer, ...] = ()
