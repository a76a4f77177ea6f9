"""The cheapest items for one set, exactly.

Where every section is one stretch of the list, a walk along it keeps the best way to each number of calls still to
come. Interleaved sections would need too many such ways, so CP-SAT chooses there.
"""

from collections.abc import Collection, Sequence

from ortools.sat.python import cp_model

from tourney.planning.calls.pool import Counts, Pool
from tourney.planning.calls.solver import solve

EFFORT = 2.0  # deterministic time of one search
UNIT = 100  # parts of a price that count in it

Chain = tuple[int, "Chain"] | None
States = dict[tuple[Counts, bool], tuple[float, Chain]]  # calls to come, last item held: price, items held


def select(pool: Pool, counts: Counts, prices: Sequence[float], neighbour: float) -> tuple[int, ...]:
    """Items with these calls a section and the least total price, in the order of the list.

    neighbour: price of each pair of neighbours. counts must not pass pool.size.
    """
    return (_walk if pool.in_blocks else _solve)(pool, counts, prices, neighbour)


def _walk(pool: Pool, counts: Counts, prices: Sequence[float], neighbour: float) -> tuple[int, ...]:
    left = list(pool.size)
    states: States = {(counts, False): (0.0, None)}
    for item, price in enumerate(prices):
        section, joined = pool.section[item], pool.joined[item]
        after: States = {}
        left[section] -= 1
        for (wanted, held), (paid, chain) in states.items():
            still = wanted[section]
            if still <= left[section]:
                _keep(after, (wanted, False), paid, chain)
            if still:
                fewer = (*wanted[:section], still - 1, *wanted[section + 1 :])
                _keep(after, (fewer, True), paid + price + (neighbour if held and joined else 0), (item, chain))
        states = after
    chosen, chain = [], min(states.values(), key=lambda entry: entry[0])[1]
    while chain:
        item, chain = chain
        chosen.append(item)
    return tuple(reversed(chosen))


def _keep(states: States, key: tuple[Counts, bool], paid: float, chain: Chain) -> None:
    best = states.get(key)
    if best is None or paid < best[0]:
        states[key] = paid, chain


def _solve(pool: Pool, counts: Counts, prices: Sequence[float], neighbour: float) -> tuple[int, ...]:
    model = cp_model.CpModel()
    holds = [model.new_bool_var("") for _ in pool.items]
    for members, calls in zip(pool.members, counts, strict=True):
        model.add(sum(holds[item] for item in members) == calls)
    cost = [round(UNIT * price) * held for price, held in zip(prices, holds, strict=True)]
    for item in range(1, len(holds)):
        if pool.joined[item]:
            both = model.new_bool_var("")
            model.add_bool_or(~holds[item - 1], ~holds[item], both)
            cost.append(round(UNIT * neighbour) * both)
    model.minimize(sum(cost))
    solver, _ = solve(model, 0, EFFORT)
    return tuple(item for item, held in enumerate(holds) if solver.value(held))


def fewest_neighbours(pool: Pool, counts: Counts) -> int:
    """Fewest pairs of neighbours in a set with these calls a section."""
    return pool.neighbours(select(pool, counts, [0.0] * len(pool.items), 1.0))


def fewest_of(pool: Pool, counts: Counts, unwanted: Collection[int], neighbours: int) -> int:
    """Fewest unwanted items in a set with these calls a section and so many pairs of neighbours.

    Exact where these are the fewest; of sets with more nothing but their calls a section is known.
    """
    prices = [float(item in unwanted) for item in range(len(pool.items))]
    best = select(pool, counts, prices, len(pool.items) + 1.0)
    if neighbours > pool.neighbours(best):
        best = select(pool, counts, prices, 0.0)
    return len(set(unwanted).intersection(best))
