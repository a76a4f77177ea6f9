"""Which heats of a round stand in which of its waves: nobody without rest, early and late shared out, waiting even."""

from collections.abc import Mapping, Sequence
from itertools import combinations, pairwise
from random import Random

from tourney.model.event import Day
from tourney.planning.blocks import Counts
from tourney.planning.clock import Meeting, gap_after

STARTS = 4  # drawn beginnings, of which the best end counts
EFFORT = 6_000  # swaps looked at from each beginning
REST, TILT, WAIT = (
    1000,
    10,
    1,
)  # prices: a minute that rest lacks; early less late, squared; waves too long or short, squared


def spread(
    meetings: Sequence[Meeting], parts: Sequence[Sequence[int]], counts: Counts, day: Day, random: Random
) -> list[int]:
    """The wave of each meeting, from 0. parts: the meetings of each block; counts: how many of them in each wave.

    Swaps heats of one part between waves as long as that helps the teams concerned.
    """
    prices = _Prices(meetings, parts, counts, day)
    found = []
    for _ in range(STARTS):
        wave_of = [0] * len(meetings)
        for part, row in zip(parts, counts, strict=True):
            waves = [wave for wave, heats in enumerate(row) for _ in range(heats)]
            for meeting, wave in zip(random.sample(list(part), len(part)), waves, strict=True):
                wave_of[meeting] = wave
        _descend(wave_of, [part for part in parts if not meetings[part[0]].waits], prices)
        found.append(wave_of)
        if len(meetings) > EFFORT // 20:
            break  # one look at every swap takes long enough
    return min(found, key=lambda wave_of: sum(prices.of(team, wave_of) for team in prices.heats_of))


def _descend(wave_of: list[int], parts: Sequence[Sequence[int]], prices: "_Prices") -> None:
    looked, better = 0, True
    while better and looked < EFFORT:
        better = False
        for part in parts:
            for one, other in combinations(part, 2):
                if wave_of[one] == wave_of[other]:
                    continue
                looked += 1
                teams = sorted({*prices.meetings[one].teams, *prices.meetings[other].teams})
                before = sum(prices.of(team, wave_of) for team in teams)
                wave_of[one], wave_of[other] = wave_of[other], wave_of[one]
                if sum(prices.of(team, wave_of) for team in teams) < before:
                    better = True
                else:
                    wave_of[one], wave_of[other] = wave_of[other], wave_of[one]
                if looked >= EFFORT:
                    return


class _Prices:
    """What a team's day costs, from the waves of its heats."""

    def __init__(self, meetings: Sequence[Meeting], parts: Sequence[Sequence[int]], counts: Counts, day: Day) -> None:
        self.meetings = meetings
        self.rest = day.rest
        self.heats_of: dict[str, list[int]] = {}
        for number in sorted(range(len(meetings)), key=lambda n: meetings[n].round):
            for team in meetings[number].teams:
                self.heats_of.setdefault(team, []).append(number)
        present = [[part[0] for part, row in zip(parts, counts, strict=True) if row[w]] for w in range(len(counts[0]))]
        self.ends: list[int] = []
        self.starts = [0]
        for number, there in enumerate(present, 1):
            self.ends.append(self.starts[-1] + max((meetings[one].minutes for one in there), default=0))
            self.starts.append(self.ends[-1] + gap_after(number, day))
        self.side = _sides([(meetings[part[0]].division, meetings[part[0]].round) for part in parts], counts)
        rounds = sorted(self.side)
        last, first = dict(rounds), dict(reversed(rounds))
        self.aim = {d: _middle(self.side[d, last[d]]) - _middle(self.side[d, first[d]]) for d in last}

    def of(self, team: str, wave_of: Sequence[int]) -> float:
        """The price of this team's day."""
        heats = self.heats_of[team]
        waves = [wave_of[heat] for heat in heats]
        lack = sum(max(0, self.rest - self.starts[after] + self.ends[before]) for before, after in pairwise(waves))
        tilt = sum(
            self.side[self.meetings[h].division, self.meetings[h].round][w] for h, w in zip(heats, waves, strict=True)
        )
        wait = waves[-1] - waves[0] - self.aim[self.meetings[heats[0]].division]
        return REST * lack + TILT * tilt**2 + WAIT * wait**2


def _middle(waves: Mapping[int, int]) -> float:
    return sum(waves) / len(waves)


def _sides(rounds: Sequence[tuple[str, int]], counts: Counts) -> dict[tuple[str, int], dict[int, int]]:
    """(division, round) -> wave -> -1 early, 0 in the middle, 1 late among the waves of that round."""
    held: dict[tuple[str, int], set[int]] = {}
    for key, row in zip(rounds, counts, strict=True):
        held.setdefault(key, set()).update(wave for wave, heats in enumerate(row) if heats)
    sides = {}
    for key, waves in held.items():
        far = [2 * place - (len(waves) - 1) for place in range(len(waves))]
        sides[key] = {wave: (off > 0) - (off < 0) for wave, off in zip(sorted(waves), far, strict=True)}
    return sides
