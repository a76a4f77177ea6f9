"""What a contestant says to each kind of call, in the words of script and score sheet."""

from collections.abc import Iterable

# The usual kind, a name between its neighbours, needs no words.
TASKS = {
    "reference": "say the place",
    "story": "say the place",
    "finish": "finish it and say the place",
}


def task(kind: str) -> str:
    """What is answered to one call; empty for the usual kind."""
    return TASKS.get(kind, "")


def tasks(kinds: Iterable[str]) -> tuple[str, ...]:
    """What is answered to each kind of a set but the usual one, such as "story: say the place"."""
    there = set(kinds)
    return tuple(f"{kind}: {said}" for kind, said in TASKS.items() if kind in there)
