"""Which items each rotation set holds: parallel test forms, all with the same content and none with a clue.

van der Linden, Linear Models for Optimal Test Design (2005): content counts and enemy items as constraints, forms
assembled together. Here: a walk for each set in turn, mended by chains of replacements; where that leaves a rule
unmet, CP-SAT finds the sets or proves that counts and neighbours leave no room.
"""

from collections import deque
from collections.abc import Sequence
from dataclasses import dataclass
from random import Random

from tourney.planning.calls.balance import balance
from tourney.planning.calls.board import Board
from tourney.planning.calls.exact import assemble_exactly
from tourney.planning.calls.narrowing import narrow
from tourney.planning.calls.pool import Counts, Pool
from tourney.planning.calls.profile import BANDS, profile_of
from tourney.planning.calls.relabelling import relabel
from tourney.planning.calls.selection import fewest_neighbours, select

AIM = 0.009  # spread of the sums of difficulty, in parts of their mean, that is good enough; the limit is 1 %
MIXED = 2  # calls of a tercile that one set may have more than another
REPEAT, NEIGHBOUR, USE = 1e9, 1e6, 1e3  # prices of an item; what is drawn costs less than one use


@dataclass
class NoRoom(Exception):
    """No sets keep neighbours far enough apart. proven: for these counts there are none; else none was found."""

    proven: bool


@dataclass(frozen=True, slots=True)
class Assembly:
    """board: the sets. neighbours, use_spread: the least that can be proven possible, over all sets.

    alone: neighbours that the calls a section force in sets drawn each for itself, whatever the gap.
    """

    board: Board
    neighbours: int
    use_spread: int
    alone: int


def assemble(pool: Pool, counts: Sequence[Counts], gap: int, random: Random) -> Assembly:
    """Sets with these calls a section, in the order heard. NoRoom when no order could keep their neighbours apart.

    No item comes back within `gap` sets (the counts must allow it: see `quotas`); neighbours in a set are as few as
    can be, then the items of a section are used as evenly as can be.
    """
    fewest = {row: fewest_neighbours(pool, row) for row in dict.fromkeys(counts)}
    least = [fewest[row] for row in counts]
    even = [
        int(sum(row) % size > 0) if size else 0 for row, size in zip(zip(*counts, strict=True), pool.size, strict=True)
    ]
    board = _walk(pool, counts, gap, random)
    for section in range(len(pool.sections)):
        _even_out(board, section)
    spreads = [board.use_spread(section) for section in range(len(pool.sections))]
    if board.orderly and not board.repeats() and board.neighbours() <= sum(least) and spreads <= even:
        return Assembly(board, sum(least), max(even), sum(least))
    hint, seed = [sorted(held) for held in board.sets], random.randrange(2**31)
    answer = assemble_exactly(pool, counts, gap, hint, seed, least, even=True)
    if answer.sets is None:
        answer = assemble_exactly(pool, counts, gap, hint, seed, least)
    if answer.sets is None:
        answer = assemble_exactly(pool, counts, gap, hint, seed)
    if answer.sets is None:
        raise NoRoom(answer.proven)
    board = Board(pool, answer.sets, gap)
    if not answer.proven:
        return Assembly(board, sum(least), max(even), sum(least))
    spread = max(board.use_spread(section) for section in range(len(pool.sections)))
    return Assembly(board, board.neighbours(), spread, sum(least))


def equalise(assembly: Assembly, random: Random, aim: float = AIM) -> Board:
    """The same sets, all equally hard: by exchanges, and by more where these leave more between them than `aim`.

    aim: spread of the sums of difficulty, in parts of their mean. Easy, middling and hard calls are matched with them.
    """
    board = assembly.board
    balance(board, random)
    if (_spread(board) > aim and board.gap) or not _alike(board):
        relabel(board, aim, random)
    if _spread(board) > aim or not _alike(board):
        narrow(board, aim, random)
    return board


def _spread(board: Board) -> float:
    """Of the sums of difficulty, in parts of their mean."""
    sums = [sum(board.pool.parts[item] for item in held) for held in board.sets]
    return (max(sums) - min(sums)) * len(sums) / max(1, sum(sums))


def _alike(board: Board) -> bool:
    """Whether sets have as many easy, middling and hard calls as each other, within two."""
    mean = profile_of(board)
    calls = [[mean.band[item] for item in held] for held in board.sets]
    counts = [[row.count(band) for row in calls] for band in range(BANDS)]
    return all(max(row) - min(row) <= MIXED for row in counts)


def _walk(pool: Pool, counts: Sequence[Counts], gap: int, random: Random) -> Board:
    """Set after set, the items that were used least, with few neighbours and not heard just before."""
    uses, sets = [0] * len(pool.items), list[tuple[int, ...]]()
    for row in counts:
        heard = {item for chosen in sets[len(sets) - gap :] for item in chosen} if gap else set()
        prices = [REPEAT * (item in heard) + USE * (used + random.random()) for item, used in enumerate(uses)]
        sets.append(select(pool, row, prices, NEIGHBOUR))
        for item in sets[-1]:
            uses[item] += 1
    return Board(pool, sets, gap)


def _even_out(board: Board, section: int) -> None:
    """Hand uses from often used items to seldom used ones, along the shortest chain of replacements."""
    while True:
        uses = board.uses()
        often = sorted(board.pool.members[section], key=lambda item: (-uses[item], item))
        if not any(_pass_on(board, often, source, uses) for source in often if uses[source] >= uses[often[-1]] + 2):
            return


def _pass_on(board: Board, members: Sequence[int], source: int, uses: Sequence[int]) -> bool:
    """Whether a chain of replacements took one use from `source` to an item with at least two fewer."""
    reached: dict[int, tuple[int, int]] = {source: (source, -1)}  # item: the one it replaces, and in which set
    queue = deque([source])
    while queue:
        here = queue.popleft()
        if uses[here] <= uses[source] - 2:
            return _replace_along(board, reached, here, source)
        for item in members:
            if item not in reached:
                at = next((n for n, held in enumerate(board.sets) if here in held and board.fits(n, here, item)), None)
                if at is not None:
                    reached[item] = here, at
                    queue.append(item)
    return False


def _replace_along(board: Board, reached: dict[int, tuple[int, int]], last: int, source: int) -> bool:
    """Carry out a chain from its end; undone when one change has made another one wrong."""
    done: list[tuple[int, int, int]] = []
    while last != source:
        before, at = reached[last]
        if not (before in board.sets[at] and board.fits(at, before, last)):
            for place, leaving, coming in reversed(done):
                board.replace(place, coming, leaving)
            return False
        board.replace(at, before, last)
        done.append((at, before, last))
        last = before
    return True
