"""A bracket in the making: heats are put in as a whole drawing has them, and byes fall out by themselves."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from tourney.model.bracket import BracketHeat, Side, Source

Seat = Source | None  # None: nobody comes from there


@dataclass
class Building:
    """Heats so far. prefix: what their ids begin with. ends: the places that are sure, by who takes them."""

    prefix: str
    heats: list[BracketHeat] = field(default_factory=list)
    ends: dict[Source, int] = field(default_factory=dict)

    def heat(
        self, stage: int, name: str, sources: Sequence[Source], side: Side = "main", moves_on: int = 1
    ) -> tuple[Source, ...]:
        """One more heat; who leaves it, best first. name: "{stage}" in it becomes the number of the stage.

        Heats of one name are numbered; so are all whose name ends in a point. One alone of its stage is no heat of it.
        """
        key = str(len(self.heats))
        seats = tuple(sources)
        self.heats.append(BracketHeat(key, stage, name, side, seats, (None,) * len(seats), moves_on))
        return tuple(Source(heat=key, place=place) for place in range(1, len(seats) + 1))

    def pair(self, stage: int, name: str, one: Seat, other: Seat, side: Side = "main") -> tuple[Seat, Seat]:
        """(winner, loser) of two who meet. Where one is not there the other goes on without a heat."""
        if one is None or other is None:
            return one or other, None
        winner, loser = self.heat(stage, name, (one, other), side)
        return winner, loser

    def finished(self) -> tuple[BracketHeat, ...]:
        """The heats in the order of their stages, numbered and named, with the places that they decide."""
        ordered = sorted(self.heats, key=lambda heat: heat.stage)
        stages = {old: new for new, old in enumerate(sorted({heat.stage for heat in ordered}), 1)}
        named = {heat.id: heat.name.format(stage=stages[heat.stage]) for heat in ordered}
        often, number = Counter(named.values()), Counter[str | int]()
        ids, names = {}, {}
        for heat in ordered:
            stage, name = stages[heat.stage], named[heat.id]
            number.update((stage, name))
            ids[heat.id] = f"{self.prefix}-F{stage}-{number[stage]}"
            several = f"{name} {number[name]}" if often[name] > 1 else name.removesuffix(", heat")
            names[heat.id] = f"{name}{number[name]}" if name.endswith(".") else several
        places = self._places()
        return tuple(
            replace(
                heat,
                id=ids[heat.id],
                stage=stages[heat.stage],
                name=names[heat.id],
                sources=tuple(replace(seat, heat=ids.get(seat.heat, "")) for seat in heat.sources),
                places=tuple(places.get(Source(heat=heat.id, place=at)) for at in range(1, len(heat.sources) + 1)),
            )
            for heat in ordered
        )

    def _places(self) -> dict[Source, int]:
        """The place of whoever drills in no further heat: later stages before earlier ones, then the place in the heat.

        Who leaves at the same stage and place shares. A heat for the title that may have to be held twice tells the
        first two places both times.
        """
        onward = {seat for heat in self.heats for seat in heat.sources}
        side = {heat.id: heat.side for heat in self.heats}
        twice = {
            seat.heat
            for heat in self.heats
            for seat in heat.sources
            if heat.side == "deciding" and side.get(seat.heat) == "deciding"
        }
        left = [
            (-heat.stage, at, Source(heat=heat.id, place=at))
            for heat in self.heats
            for at in range(1, len(heat.sources) + 1)
            if Source(heat=heat.id, place=at) not in onward
        ]
        ranks = sorted((stage, at) for stage, at, _ in left)
        found = {seat: 1 + ranks.index((stage, at)) for stage, at, seat in left}
        found |= {Source(heat=key, place=at): at for key in twice for at in (1, 2)}
        return found | {seat: place for seat, place in self.ends.items() if seat.heat}
