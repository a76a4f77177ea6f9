"""Who answers aloud: turns shared out evenly, in an order that nobody can foresee."""

from collections import Counter, deque
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from random import Random

from tourney.draw import Draw
from tourney.model.calls import CallSet, Speakers
from tourney.model.plan import Heat
from tourney.planning.calls.sequence import mean

SHUFFLES = 8  # orders drawn for a heat, of which the fairest is kept


@dataclass
class _Turns:
    """One heat's turns. each: what every contestant has; extra: who has one more."""

    heat: Heat
    each: int
    over: int
    extra: set[str] = field(default_factory=set)


def draw_speakers(
    heats: Sequence[Heat], sets: Sequence[CallSet], draw: Draw, had: Mapping[str, int] | None = None
) -> tuple[Speakers, ...]:
    """For each heat the line number asked at each call. had: turns that contestants have in other heats of the day.

    Turns of a heat's contestants differ by at most one, and over the day by as little as can be; where that leaves a
    choice, the teams of a heat are asked equally often. Each order is drawn anew, so knowing who was asked tells
    nothing about who is next.
    """
    of = {call_set.id: call_set for call_set in sets}
    stream = draw.stream("calls", "turns")
    day = [_Turns(heat, *divmod(len(of[heat.call_set].calls), len(heat.line) or 1)) for heat in heats]
    total = Counter({child: (had or {}).get(child, 0) for heat in heats for child in heat.line})
    for turns in day:
        _share_out(turns, total, stream)
    _level(day, total)
    return tuple(
        Speakers(turns.heat.id, _order(turns, of[turns.heat.call_set], draw.stream("calls", "speakers", turns.heat.id)))
        for turns in day
    )


def _share_out(turns: _Turns, total: Counter[str], random: Random) -> None:
    """The turns beyond equal ones go to those with fewest so far, then to the team with fewest in this heat."""
    line = list(turns.heat.line)
    random.shuffle(line)
    total.update(dict.fromkeys(line, turns.each))
    for _ in range(turns.over if line else 0):
        teams = Counter(_team(child) for child in [*line * turns.each, *sorted(turns.extra)])
        child = min((c for c in line if c not in turns.extra), key=lambda c: (total[c], teams[_team(c)]))
        turns.extra.add(child)
        total[child] += 1


def _team(child: str) -> str:
    """A contestant's id begins with that of the team."""
    return child.rsplit("-", 1)[0]


def _level(day: Sequence[_Turns], total: Counter[str]) -> None:
    """Pass extra turns on, heat by heat, from contestants with many to some with two fewer, until nobody can.

    Augmenting paths: when none is left, the totals are as even as any sharing out could make them.
    """
    while any(
        _pass_on(day, child, total)
        for child in sorted(total, key=lambda c: (-total[c], c))
        if total[child] >= min(total.values()) + 2
    ):
        pass


def _pass_on(day: Sequence[_Turns], start: str, total: Counter[str]) -> bool:
    reached: dict[str, tuple[str, _Turns]] = {}
    queue = deque([start])
    while queue:
        giver = queue.popleft()
        if total[giver] <= total[start] - 2:
            total[start], total[giver] = total[start] - 1, total[giver] + 1
            while giver != start:
                before, turns = reached[giver]
                turns.extra = (turns.extra - {before}) | {giver}
                giver = before
            return True
        for turns in day:
            if giver in turns.extra:
                for taker in turns.heat.line:
                    if taker not in turns.extra and taker not in reached and taker != start:
                        reached[taker] = giver, turns
                        queue.append(taker)
    return False


def _order(turns: _Turns, call_set: CallSet, random: Random) -> tuple[int, ...]:
    """Of a few random orders the one whose contestants get the most alike questions and none three running."""
    bits = [call.difficulty for call in call_set.calls]
    asked = [n for n, child in enumerate(turns.heat.line, 1) for _ in range(turns.each + (child in turns.extra))]
    orders = [tuple(random.sample(asked, len(asked))) for _ in range(SHUFFLES)]
    return min(orders, key=lambda order: (_thrice(order), _unevenness(order, bits)))


def _thrice(order: Sequence[int]) -> int:
    return sum(a == b == c for a, b, c in zip(order, order[1:], order[2:], strict=False))


def _unevenness(order: Sequence[int], bits: Sequence[float]) -> float:
    """Spread of the mean difficulty of what each is asked."""
    spoken: dict[int, list[float]] = {}
    for line, difficulty in zip(order, bits, strict=False):
        spoken.setdefault(line, []).append(difficulty)
    means = [mean(row) for row in spoken.values()]
    return max(means, default=0.0) - min(means, default=0.0)
