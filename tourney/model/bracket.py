"""A division's finals: who is seeded where, the heats, and who moves on to which, as results/finals.json holds them."""

from dataclasses import dataclass
from typing import Literal

from tourney.model.documents import Exact

Side = Literal["main", "second", "deciding", "placement"]
"""main: nobody in it has lost. second: each has lost once. deciding: for the title. placement: for a lower place."""


@dataclass(frozen=True, slots=True)
class Source:
    """Where a seat's team comes from: a seed (`seed` 1 is best), or the `place` it takes in an earlier `heat`."""

    seed: int | None = None
    heat: str = ""
    place: int = 0


@dataclass(frozen=True, slots=True)
class BracketHeat:
    """One heat of the finals. teams: one a source, None until it is known. order: its teams, best first, once heard.

    stage: 1 is heard first; heats of one stage can be heard at the same time. name: as people call it.
    moves_on: how many of `order` stay in the running. wave, room, call_set: "" until the heat is drawn.
    points: of the first of `order`, who drilled; empty where nobody did, as when the others withdrew.
    places: for each of `order` the place it takes in the finals, None for who drills on. Level teams share a place.
    needed: False of a deciding heat once the title is decided without it.
    """

    id: str
    stage: int
    name: str
    side: Side
    sources: tuple[Source, ...]
    teams: tuple[str | None, ...]
    moves_on: int
    wave: str = ""
    room: str = ""
    call_set: str = ""
    order: tuple[str, ...] = ()
    points: tuple[Exact, ...] = ()
    places: tuple[int | None, ...] = ()
    needed: bool = True

    @property
    def winner(self) -> str | None:
        """Who won it, None before it was heard."""
        return self.order[0] if self.order else None


@dataclass(frozen=True, slots=True)
class Bracket:
    """The finals of one division. seeds: team ids, best first.

    footnotes: what moved to keep clubs apart, and why; then how teams level in a heat were separated.
    """

    division: str
    kind: str
    seeds: tuple[str, ...]
    heats: tuple[BracketHeat, ...]
    footnotes: tuple[str, ...] = ()
