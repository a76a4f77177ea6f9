"""Swap search with a memory (tabu search; Glover 1989) on one cost: how often pairs find themselves together.

It puts teams into the heats of all rounds, and clubs onto the seats of a pattern: both are members dealt into groups.
Each pair may start with a count, for a shared club or for past meetings, so that one cost covers all wishes.
"""

from dataclasses import dataclass
from random import Random

import numpy as np
from numpy.typing import NDArray

Whole = NDArray[np.int64]
PATIENCE = 1000
FAR = np.iinfo(np.int64).max // 4  # the price of a swap that may not be


@dataclass(frozen=True, slots=True)
class Wishes:
    """What the cost counts. The c-th meeting of a pair costs c-1, times `weight`.

    before: (members, members) counts that pairs start with, 0 on the diagonal. small: groups 0..small-1 of each deal
    are short of one member; being in one again costs as a meeting does, but without the weight. fixed: these short
    groups keep their members.
    """

    before: Whole
    small: int = 0
    fixed: bool = False
    weight: int = 1


def together(deals: Whole) -> Whole:
    """(deals, members, members) 1 where two different members share a group. deals: (deals, members) group numbers."""
    share: Whole = (deals[:, :, None] == deals[:, None, :]).astype(np.int64)
    members = np.arange(deals.shape[1])
    share[:, members, members] = 0
    return share


def cost(deals: Whole, wishes: Wishes) -> int:
    """The whole cost: a pair that starts at b and meets m times more costs b*m + m*(m-1)/2."""
    met = together(deals).sum(axis=0)
    pairs = (wishes.before * met + met * (met - 1) // 2).sum() // 2
    in_small = (deals < wishes.small).sum(axis=0)
    again = 0 if wishes.fixed else (in_small * (in_small - 1) // 2).sum()
    return int(pairs * wishes.weight + again)


def improve(deals: Whole, groups: int, wishes: Wishes, target: int, steps: int, random: Random) -> Whole:
    """The best deals met within so many swaps; stops at the target, or when PATIENCE swaps have brought nothing.

    Each step makes the best swap in all rounds, or the least bad one, that does not undo a recent one.
    """
    now = deals.copy()
    length, members = now.shape
    price = cost(now, wishes)
    best, best_price = now.copy(), price
    barred = np.zeros((length, members, groups), dtype=np.int64)  # until which step a member may not return there
    since = 0
    for step in range(1, steps + 1):
        if best_price <= target or step - since > PATIENCE:
            break
        change = _changes(now, groups, wishes)
        closed = _closed(now, barred, step)
        allowed = np.where(closed & (change + price >= best_price), FAR, change)
        least = int(allowed.min())
        if least >= FAR // 2:
            continue  # everything is barred for the moment
        choices = np.flatnonzero(allowed == least)
        turn, one, other = np.unravel_index(choices[random.randrange(len(choices))], change.shape)
        here, there = now[turn, one], now[turn, other]
        now[turn, one], now[turn, other] = there, here
        barred[turn, one, here] = step + random.randint(3, 8) + members // 8
        barred[turn, other, there] = step + random.randint(3, 8) + members // 8
        price += least
        if price < best_price:
            best, best_price, since = now.copy(), price, step
    return best


def _changes(now: Whole, groups: int, wishes: Wishes) -> Whole:
    """(deals, members, members) what the cost gains when two members swap groups in one deal; FAR where it may not."""
    length, members = now.shape
    share = together(now)
    rest = wishes.before + share.sum(axis=0) - share  # counts without this deal
    rest *= wishes.weight
    in_group = (now[:, :, None] == np.arange(groups)).astype(np.int64)
    pull = rest @ in_group  # (deals, members, groups) cost of standing in each group
    if wishes.small and not wishes.fixed:
        short = now < wishes.small
        again = short.sum(axis=0) - short
        pull[:, :, : wishes.small] += again[:, :, None]
    rows = np.arange(length)[:, None, None]
    moved = pull[rows, np.arange(members)[None, :, None], now[:, None, :]]  # one member in the other's group
    own = np.diagonal(moved, axis1=1, axis2=2)
    change: Whole = moved + moved.transpose(0, 2, 1) - own[:, :, None] - own[:, None, :] - 2 * rest
    change[now[:, :, None] >= now[:, None, :]] = FAR  # same group, or the same pair named the other way round
    if wishes.fixed:
        change[(now < wishes.small)[:, :, None] | (now < wishes.small)[:, None, :]] = FAR
    return change


def _closed(now: Whole, barred: Whole, step: int) -> NDArray[np.bool_]:
    """(deals, members, members) True where a swap would bring a member back to a group it has just left."""
    rows = np.arange(now.shape[0])[:, None, None]
    back = barred[rows, np.arange(now.shape[1])[None, :, None], now[:, None, :]] > step
    closed: NDArray[np.bool_] = back | back.transpose(0, 2, 1)
    return closed
