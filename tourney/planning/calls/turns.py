"""How evenly those in line are asked for the spoken answer."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence

from tourney.model.plan import FairnessLine, Heat

IN_A_HEAT, OVER_THE_DAY = "turns_to_speak_in_a_heat", "turns_to_speak_over_the_day"


def turn_lines(
    heats: Sequence[Heat], speakers: Mapping[str, Sequence[int]], at_once: bool = False
) -> Iterator[FairnessLine]:
    """Most turns less fewest, in one heat and over these heats, by division. speakers: line numbers, by heat.

    at_once: all of them were shared out together. Then no sharing out has a smaller difference over the day: passing
    turns on until nobody has two more than someone they could pass one to leaves the most as low and the fewest as high
    as can be (Frank and Murota, Decreasing minimization on M-convex sets, Mathematical Programming 195 (2022); from
    memory).
    """
    for division in dict.fromkeys(heat.division for heat in heats):
        mine = [heat for heat in heats if heat.division == division and heat.line and heat.id in speakers]
        total: Counter[str] = Counter()
        most, where, least = 0, "", 0
        for heat in mine:
            asked = Counter(speakers[heat.id])
            turns = [asked[number] for number in range(1, len(heat.line) + 1)]
            total.update(dict(zip(heat.line, turns, strict=True)))
            least = max(least, int(sum(turns) % len(turns) > 0))
            if max(turns) - min(turns) > most:
                most, where = max(turns) - min(turns), heat.id
        if mine:
            spread = max(total.values()) - min(total.values())
            yield FairnessLine(IN_A_HEAT, division, most, 1, least, most <= 1, where)
            yield FairnessLine(OVER_THE_DAY, division, spread, None, spread if at_once else None, True)
