"""How many heats of each round stand in each wave: earliest finish, then fewest call sets, then most rest.

Counts only, by CP-SAT with one worker, a fixed seed and deterministic time, from a start that fills wave after wave.
Which heats these are is decided in `spread`.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from ortools.sat.python import cp_model

from tourney.model.event import Day
from tourney.planning.clock import gap_after

EFFORT = 0.5  # deterministic seconds
Counts = list[list[int]]  # block -> wave -> heats


@dataclass(frozen=True, slots=True)
class Block:
    """Heats of one round that are alike. rooms: how many rooms are wide enough for their lines."""

    division: str
    round: int
    minutes: int
    rooms: int
    heats: int


def lay_blocks(blocks: Sequence[Block], rooms: int, day: Day, bound: int, always_rest: bool) -> Counts:
    """Heats of each block in each wave. bound: minutes before which no timetable ends, so that the search can stop.

    A wave holds one round of a division, and rounds come in order. Where two rounds of one division follow each other
    too closely, the wave is taken to start later by what the rest lacks, unless so few heats are concerned that other
    teams can take them; with always_rest even then.
    """
    start = _filled(blocks, rooms, day)
    model = _Model(blocks, rooms, len(start[0]), day, always_rest)
    return model.solve(start, bound) or start


def _filled(blocks: Sequence[Block], rooms: int, day: Day) -> Counts:
    """Wave after wave filled with the divisions that have most heats left, rested ones first."""
    left = [block.heats for block in blocks]
    counts: Counts = [[] for _ in blocks]
    done_in: dict[str, int] = {}  # the wave in which a division last drilled
    wave = 0
    while any(left):
        wave += 1
        for row in counts:
            row.append(0)
        tired = gap_after(wave - 1, day) < day.rest
        waiting: dict[str, int] = {}
        for block, heats in zip(blocks, left, strict=True):
            waiting[block.division] = waiting.get(block.division, 0) + heats
        now = {
            name: min(b.round for b, heats in zip(blocks, left, strict=True) if b.division == name and heats)
            for name, heats in waiting.items()
            if heats
        }
        order = sorted(now, key=lambda name: (tired and done_in.get(name) == wave - 1, -waiting[name], name))
        free = rooms
        for name in order:
            mine = [n for n, b in enumerate(blocks) if b.division == name and b.round == now[name]]
            for number in sorted(mine, key=lambda n: blocks[n].rooms):
                used = sum(
                    row[-1] for row, block in zip(counts, blocks, strict=True) if block.rooms <= blocks[number].rooms
                )
                put = max(0, min(left[number], free, blocks[number].rooms - used))
                counts[number][-1] += put
                left[number] -= put
                free -= put
                if put:
                    done_in[name] = wave
    return counts


class _Model:
    """The counts as a constraint model."""

    def __init__(self, blocks: Sequence[Block], rooms: int, waves: int, day: Day, always_rest: bool) -> None:
        self.blocks, self.rooms, self.waves, self.day = blocks, rooms, waves, day
        self.model = cp_model.CpModel()
        model = self.model
        span = range(waves)
        self.count = [[model.new_int_var(0, min(b.heats, b.rooms), "") for _ in span] for b in blocks]
        self.there = [[model.new_bool_var("") for _ in span] for _ in blocks]
        self.used = [model.new_bool_var("") for _ in span]
        self.minutes = [model.new_int_var(0, max(b.minutes for b in blocks), "") for _ in span]
        self.parts: dict[tuple[str, int], list[int]] = {}
        for number, block in enumerate(blocks):
            self.parts.setdefault((block.division, block.round), []).append(number)
        self.set_there = {key: self._any(numbers) for key, numbers in self.parts.items()}
        self._rooms_and_minutes()
        self._rounds_in_order()
        self.stretch, self.close = self._rests(always_rest)

    def _any(self, numbers: Sequence[int]) -> list[cp_model.IntVar]:
        """For each wave: is one of these blocks there."""
        if len(numbers) == 1:
            return self.there[numbers[0]]
        found = [self.model.new_bool_var("") for _ in range(self.waves)]
        for wave, any_there in enumerate(found):
            self.model.add_max_equality(any_there, [self.there[number][wave] for number in numbers])
        return found

    def _rooms_and_minutes(self) -> None:
        model = self.model
        for number, block in enumerate(self.blocks):
            model.add(sum(self.count[number]) == block.heats)
            for wave in range(self.waves):
                model.add(self.count[number][wave] <= block.heats * self.there[number][wave])
                model.add(self.count[number][wave] >= self.there[number][wave])
                model.add(self.minutes[wave] >= block.minutes * self.there[number][wave])
                model.add_implication(self.there[number][wave], self.used[wave])
        for fits in sorted({block.rooms for block in self.blocks} | {self.rooms}):
            narrow = [number for number, block in enumerate(self.blocks) if block.rooms <= fits]
            for wave in range(self.waves):
                model.add(sum(self.count[number][wave] for number in narrow) <= fits)
        for before, after in pairwise(self.used):
            model.add_implication(after, before)

    def _rounds_in_order(self) -> None:
        for (division, number), now in self.set_there.items():
            later = self.set_there.get((division, number + 1), [])
            for wave in range(self.waves):
                for early in range(min(wave + 1, len(later))):
                    self.model.add_bool_or([now[wave].negated(), later[early].negated()])

    def _rests(self, always_rest: bool) -> tuple[list[cp_model.LinearExpr], list[cp_model.IntVar]]:
        """Minutes by which waves start later for a rest, and where two rounds follow each other closely."""
        least = min(block.minutes for block in self.blocks)
        stretch: list[cp_model.LinearExpr] = []
        close: list[cp_model.IntVar] = []
        for before in range(self.waves):
            rested = 0
            for after in range(before + 1, self.waves):
                rested += gap_after(after, self.day) + (least if after > before + 1 else 0)
                if rested >= self.day.rest:
                    break
                late = self.model.new_bool_var("")
                stretch.append((self.day.rest - rested) * late)
                for (division, number), now in self.set_there.items():
                    later = self.set_there.get((division, number + 1), [])
                    if later:
                        both = self.model.new_bool_var("")
                        close.append(both)
                        self.model.add_bool_or([now[before].negated(), later[after].negated(), both])
                        self._follow((division, number), (before, after), both, late, always_rest)
        return stretch, close

    def _follow(
        self,
        key: tuple[str, int],
        waves: tuple[int, int],
        both: cp_model.IntVar,
        late: cp_model.IntVar,
        always_rest: bool,
    ) -> None:
        """Both rounds are there, so close to each other: is the later wave put off, or can other teams take it."""
        model = self.model
        if always_rest:
            model.add_implication(both, late)
        else:
            division, number = key
            first = sum(self.count[part][waves[0]] for part in self.parts[key])
            second = sum(self.count[part][waves[1]] for part in self.parts[division, number + 1])
            heats = sum(self.blocks[part].heats for part in self.parts[key])
            model.add(first + second <= heats - 1).only_enforce_if(both, late.negated())

    def solve(self, start: Counts, bound: int) -> Counts | None:
        """The best counts found; None when the solver found none."""
        gaps = [gap_after(wave, self.day) * self.used[wave] for wave in range(1, self.waves)]
        finish = sum(self.minutes) + sum(gaps) + sum(self.stretch)
        sets = sum(there for row in self.set_there.values() for there in row)
        self.model.add(finish >= bound)
        needed = ((key, sum(self.blocks[part].heats for part in parts)) for key, parts in self.parts.items())
        for key, heats in needed:
            self.model.add(sum(self.set_there[key]) >= -(-heats // self.rooms))
        most_sets = len(self.set_there) * self.waves
        weight = 1 + len(self.close)
        self.model.minimize(finish * weight * (1 + most_sets) + sets * weight + sum(self.close))
        for row, counts in zip(self.count, start, strict=True):
            for variable, count in zip(row, counts, strict=True):
                self.model.add_hint(variable, count)
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.random_seed = 1
        solver.parameters.max_deterministic_time = EFFORT
        status = solver.solve(self.model)
        if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            return None
        return [[solver.value(variable) for variable in row] for row in self.count]
