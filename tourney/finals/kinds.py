"""Every kind of finals: from a number of entries to the heats that they are made of, seats by seed.

Byes, seeding and the numbers of heats are those of standard draws: n - 1 heats of a knockout, 2n - 2 or 2n - 1 where
two defeats put a team out (Rosen, Discrete Mathematics and Its Applications, 8th ed., ch. 6).
"""

from collections.abc import Callable, Sequence

from tourney.finals.apart import drawing, keep_apart
from tourney.finals.building import Building, Seat
from tourney.finals.deal import groups, seed_order
from tourney.model.bracket import Side, Source

Kind = Callable[[Building, int, int], None]  # (heats to be, entries, teams in a heat)
ENDS = {2: "Final", 4: "Semi-final", 8: "Quarter-final"}


def seats(entries: int) -> list[Seat]:
    """The seeds in their order, None where a seed is not there and its opponent has a bye."""
    places = 1 << (entries - 1).bit_length()
    return [Source(seed=seed) if seed <= entries else None for seed in seed_order(places)]


def stage_name(left: int) -> str:
    """What a stage is called while so many places are left."""
    return ENDS.get(left, f"Last {left}, heat")


def line(building: Building, entries: int, _size: int) -> None:
    """All in one line, once."""
    building.heat(1, "Final", [Source(seed=seed) for seed in range(1, entries + 1)])


def last_out(building: Building, entries: int, _size: int) -> None:
    """All in one line, again and again; the lowest leaves each time."""
    row: Sequence[Source] = [Source(seed=seed) for seed in range(1, entries + 1)]
    while len(row) > 1:
        name = "Final" if len(row) == 2 else f"Heat of {len(row)}"
        row = building.heat(entries + 1 - len(row), name, row, moves_on=len(row) - 1)[:-1]


def knockout(building: Building, entries: int, size: int) -> None:
    """One defeat puts a team out; where more than two stand in a heat, its better half goes on, rounded up."""
    if size > 2:
        _in_groups(building, entries, size)
    else:
        _winners(building, seats(entries))


def placement(building: Building, entries: int, _size: int) -> None:
    """A knockout in which losers play on, so that every place is decided."""
    _all_places(building, seats(entries), 1, 1)


def double_knockout(building: Building, entries: int, _size: int) -> None:
    """Two defeats put a team out. Who has lost once goes on in the second half; its winner meets the unbeaten team.

    Losers come into the second half turned about, so that nobody soon meets again who has met. Should the unbeaten
    team lose the last heat, a deciding one follows.
    """
    champion, losers = _winners(building, seats(entries), "Unbeaten {stage}.")
    once, stage = losers[0], 2
    for number, lost in enumerate(losers[1:], 1):
        once, _ = _stage(building, stage, "Second chance {stage}.", once, "second")
        turned = lost[::-1] if number % 2 else [*lost[len(lost) // 2 :], *lost[: len(lost) // 2]]
        row = [seat for pair in zip(once, turned, strict=True) for seat in pair]
        once, _ = _stage(building, stage + 1, "Second chance {stage}.", row, "second")
        stage += 2
    if champion is not None and once[0] is not None:
        winner, loser = building.heat(stage, "Final", (champion, once[0]), "deciding")
        building.heat(stage + 1, "Deciding heat", (winner, loser), "deciding")


KINDS: dict[str, Kind] = {
    "line": line,
    "knockout": knockout,
    "double_knockout": double_knockout,
    "placement": placement,
    "last_out": last_out,
}


def _in_groups(building: Building, entries: int, size: int) -> None:
    row: list[Source] = [Source(seed=seed) for seed in range(1, entries + 1)]
    stage = 1
    while len(row) > size:
        heats = groups(len(row), size)
        left = [
            building.heat(
                stage, "Stage {stage}, heat", [row[seed - 1] for seed in seeds], moves_on=(len(seeds) + 1) // 2
            )
            for seeds in heats
        ]
        on = [leaving[: (len(leaving) + 1) // 2] for leaving in left]
        row = [leaving[place] for place in range(size) for leaving in on if place < len(leaving)]
        if len(row) > size:  # who has just met meets again as late as can be
            row = [row[seed - 1] for seed in keep_apart(drawing(len(row), size), [source.heat for source in row])]
        stage += 1
    building.heat(stage, "Final", row)


def _stage(
    building: Building, stage: int, name: str, row: Sequence[Seat], side: Side = "main"
) -> tuple[list[Seat], list[Seat]]:
    """(winners, losers) of neighbours in the row, heat by heat."""
    met = [building.pair(stage, name, one, other, side) for one, other in zip(row[::2], row[1::2], strict=True)]
    return [winner for winner, _ in met], [loser for _, loser in met]


def _winners(building: Building, row: list[Seat], name: str = "") -> tuple[Seat, list[list[Seat]]]:
    """Heats until one is left: who that is, and the losers of each stage."""
    losers: list[list[Seat]] = []
    while len(row) > 1:
        row, lost = _stage(building, len(losers) + 1, name or stage_name(len(row)), row)
        losers.append(lost)
    return row[0], losers


def _all_places(building: Building, row: list[Seat], best: int, stage: int) -> None:
    """Heats for the places from `best` on, as many as there are seats."""
    if len(row) == 1:
        if row[0] is not None:
            building.ends[row[0]] = best
        return
    name = f"For places {best} to {best + len(row) - 1}" if len(row) > 2 else f"For place {best}"
    winners, losers = _stage(
        building, stage, stage_name(len(row)) if best == 1 else name, row, "main" if best == 1 else "placement"
    )
    _all_places(building, winners, best, stage + 1)
    _all_places(building, losers, best + len(winners), stage + 1)
