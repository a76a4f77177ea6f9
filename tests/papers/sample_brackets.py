"""Brackets made by hand, before any planner: entries K01, K02, ... in seed order."""

from collections.abc import Iterable
from dataclasses import replace
from fractions import Fraction

from tourney.model.bracket import Bracket, BracketHeat, Side, Source

LAST_NAMES = {1: "Final", 2: "Semi-final", 4: "Quarter-final"}


def entries(count: int) -> tuple[str, ...]:
    return tuple(f"K{seed:02}" for seed in range(1, count + 1))


def names_of(bracket: Bracket) -> dict[str, str]:
    places = ("Gull Point", "Copper Mill", "Fernbank", "St. Quill / Marsh: Youth", "Tallow Row", "Ambersluice")
    return {team: f"{places[at % 6]} {'Juniors' if at < 6 else at}" for at, team in enumerate(bracket.seeds)}


def seat_order(count: int) -> list[int]:
    """Seeds from above to below, so that 1 and 2 can only meet in the last heat; those above the count are byes."""
    order = [1]
    while len(order) < count:
        order = [seed for old in order for seed in (old, 2 * len(order) + 1 - old)]
    return order


def heat(key: str, stage: int, name: str, sources: Iterable[Source], side: Side = "main", on: int = 1) -> BracketHeat:
    found = tuple(sources)
    return BracketHeat(key, stage, name, side, found, (None,) * len(found), on)


def knockout(count: int, *, third: bool = False) -> Bracket:
    """Byes for the best seeds; with `third`, a heat of the two who lost before the last one."""
    seats = [Source(seed=seed) if seed <= count else None for seed in seat_order(count)]
    heats: list[BracketHeat] = []
    stage = 0
    while len(seats) > 1:
        stage += 1
        left: list[Source | None] = []
        for at, (one, other) in enumerate(zip(seats[::2], seats[1::2], strict=True), 1):
            if one is None or other is None:
                left.append(one or other)
                continue
            key = f"K-F{stage}-{at}"
            name = LAST_NAMES.get(len(seats) // 2, f"Round of {len(seats)}, heat")
            heats.append(heat(key, stage, name if len(seats) == 2 else f"{name} {at}", (one, other)))
            left.append(Source(heat=key, place=1))
        seats = left
    if third:
        lost = [Source(heat=found.id, place=2) for found in heats if found.stage == stage - 1]
        heats.append(heat("K-F0-1", stage, "Third place", lost, "placement"))
    return Bracket("Junior", "knockout", entries(count), tuple(heats))


def double_knockout_of_four() -> Bracket:
    def lost(key: str) -> Source:
        return Source(heat=key, place=2)

    def won(key: str) -> Source:
        return Source(heat=key, place=1)

    heats = (
        heat("K-A1", 1, "First heat 1", (Source(seed=1), Source(seed=4))),
        heat("K-A2", 1, "First heat 2", (Source(seed=2), Source(seed=3))),
        heat("K-A3", 2, "Heat of winners", (won("K-A1"), won("K-A2"))),
        heat("K-B1", 2, "Second chance 1", (lost("K-A1"), lost("K-A2")), "second"),
        heat("K-B2", 3, "Second chance 2", (won("K-B1"), lost("K-A3")), "second"),
        heat("K-C1", 4, "Final", (won("K-A3"), won("K-B2")), "deciding"),
        heat("K-C2", 5, "Deciding heat", (won("K-C1"), lost("K-C1")), "deciding"),
    )
    return Bracket("Junior", "double_knockout", entries(4), heats)


def won_without_the_deciding_heat() -> Bracket:
    """The unbeaten team has won the final."""
    bracket = played(double_knockout_of_four(), 4)
    *heats, last = bracket.heats
    assert heats[-1].order[:1] == heats[-1].teams[:1]
    return replace(bracket, heats=(*heats, replace(last, teams=(None, None), needed=False)))


def best_two_go_on() -> Bracket:
    """Eight in heats of four, the best two of each go on."""
    first = [[1, 4, 5, 8], [2, 3, 6, 7]]
    heats = [
        heat(f"K-F1-{at}", 1, f"Heat {at}", [Source(seed=seed) for seed in seeds], on=2)
        for at, seeds in enumerate(first, 1)
    ]
    last = [Source(heat=f"K-F1-{at}", place=place) for place in (1, 2) for at in (1, 2)]
    return Bracket("Junior", "knockout", entries(8), (*heats, heat("K-F2-1", 2, "Final", last)))


def line(count: int = 5) -> Bracket:
    only = heat("K-F1-1", 1, "Final", [Source(seed=seed) for seed in range(1, count + 1)])
    return Bracket("Junior", "line", entries(count), (replace(only, places=tuple(range(1, count + 1))),))


def last_out(count: int = 5) -> Bracket:
    seats = [Source(seed=seed) for seed in range(1, count + 1)]
    heats = []
    for stage in range(1, count):
        stay = len(seats) - 1 if len(seats) > 2 else 0
        places = tuple(place if place > stay else None for place in range(1, len(seats) + 1))
        heats.append(replace(heat(f"K-F{stage}-1", stage, f"Set {stage}", seats, on=len(seats) - 1), places=places))
        seats = [Source(heat=f"K-F{stage}-1", place=place) for place in range(1, len(seats))]
    return Bracket("Junior", "last_out", entries(count), tuple(heats))


def played(bracket: Bracket, stages: int = 99, upset: int = 5) -> Bracket:
    """Heats up to a stage heard: the better seed wins, but every `upset`th heat goes the other way; by a few points."""
    done: dict[str, BracketHeat] = {}
    for number, found in enumerate(sorted(bracket.heats, key=lambda one: one.stage), 1):
        teams = tuple(
            bracket.seeds[source.seed - 1]
            if source.seed is not None
            else (done[source.heat].order[source.place - 1] if done[source.heat].order else None)
            for source in found.sources
        )
        heard = found.stage <= stages and all(teams)
        order = tuple(sorted((team for team in teams if team), reverse=number % upset == 0)) if heard else ()
        points = tuple(Fraction(300 - 7 * place - number, 1 + (number % 4 == 3)) for place in range(len(order)))
        done[found.id] = replace(found, teams=teams, order=order, points=points)
    return replace(bracket, heats=tuple(done[found.id] for found in bracket.heats))
