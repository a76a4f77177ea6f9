"""The cheapest items for one set: a walk along the list, keeping the best way to each number of calls still to come."""

from collections.abc import Collection, Sequence

from tourney.planning.calls.pool import Counts, Pool

WIDEST = 4000  # states kept where sections are interleaved; a list in blocks needs far fewer, and is solved exactly

Chain = tuple[int, "Chain"] | None
States = dict[tuple[Counts, bool], tuple[float, Chain]]  # calls to come, last item held: price, items held


def select(pool: Pool, counts: Counts, prices: Sequence[float], neighbour: float) -> tuple[int, ...]:
    """Items with these calls a section and the least total price, in the order of the list.

    neighbour: price of each pair of neighbours. Exact where the pool is in blocks. counts must not pass pool.size.
    """
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
        if len(states) > WIDEST:
            states = dict(sorted(states.items(), key=lambda entry: entry[1][0])[:WIDEST])
    chosen, chain = [], min(states.values(), key=lambda entry: entry[0])[1]
    while chain:
        item, chain = chain
        chosen.append(item)
    return tuple(reversed(chosen))


def _keep(states: States, key: tuple[Counts, bool], paid: float, chain: Chain) -> None:
    best = states.get(key)
    if best is None or paid < best[0]:
        states[key] = paid, chain


def fewest_neighbours(pool: Pool, counts: Counts) -> int:
    """Fewest pairs of neighbours in a set with these calls a section."""
    return pool.neighbours(select(pool, counts, [0.0] * len(pool.items), 1.0))


def fewest_of(pool: Pool, counts: Counts, unwanted: Collection[int]) -> int:
    """Fewest unwanted items in a set with these calls a section, among those with fewest neighbours."""
    prices = [float(item in unwanted) for item in range(len(pool.items))]
    return len(set(unwanted).intersection(select(pool, counts, prices, len(pool.items) + 1.0)))
