"""Several versions of one score sheet: which one counts, and where they differ."""

from collections.abc import Iterable
from dataclasses import replace

from tourney.model.sheet import FilledSheet, Letter

_SHOWN = 4  # differences that one sentence names

State = tuple[Letter, ...] | None  # of a cell: letters, () for clean, None for not judged or unreadable


def same_entries(one: FilledSheet, other: FilledSheet) -> bool:
    """Do two sheets say the same, whatever the notes on them and the revision of the plan that printed them."""
    return replace(one, notes=(), revision=0) == replace(other, notes=(), revision=0)


def completes(earlier: FilledSheet, later: FilledSheet) -> bool:
    """Does the later version keep all that the earlier one says, and only fill in what was open."""
    return (
        (earlier.code, earlier.heat, earlier.judge, earlier.contestants)
        == (later.code, later.heat, later.judge, later.contestants)
        and earlier.initials in ("", later.initials)
        and set(earlier.judged) <= set(later.judged)
        and not differences(earlier, later)
    )


def differences(earlier: FilledSheet, later: FilledSheet) -> tuple[str, ...]:
    """Each cell that the earlier version settles and the later one has otherwise, in words."""
    before, after = _states(earlier), _states(later)
    lost = [place for place, state in before.items() if state is not None and after.get(place) != state]
    return tuple(
        f"line {line}, call {call}: first {_words(before[line, call])}, then {_words(after.get((line, call)))}"
        for line, call in sorted(lost)
    )


def difference_words(earlier: FilledSheet, later: FilledSheet) -> str:
    """Where two versions differ, for one sentence: the first few cells, or what beside the marks is not the same."""
    found = differences(earlier, later) or differences(later, earlier)
    if found:
        return "; ".join(found[:_SHOWN]) + (f"; and {len(found) - _SHOWN} more" if len(found) > _SHOWN else "")
    if earlier.initials != later.initials:
        return f'initials: first "{earlier.initials}", then "{later.initials}"'
    return "the ticks"


def count_rulings(code: str, *numbers: int) -> tuple[str, ...]:
    """The rulings by which one of these versions of a sheet counts: see OpenMatter."""
    return tuple(f"settle {code} --version {number}" for number in sorted(numbers))


def settle(versions: Iterable[FilledSheet]) -> tuple[FilledSheet, tuple[FilledSheet, ...]]:
    """Of the versions of one sheet, in the order in which they came: the one that counts, and those that contradict it.

    A version that completes the one before takes its place; one that says less changes nothing; any other leaves the
    first in place and must be ruled on, unless a later one completes both.
    """
    counts, *others = versions
    contrary: list[FilledSheet] = []
    for version in others:
        if completes(counts, version):
            counts = version
        elif not completes(version, counts):
            contrary.append(version)
    return counts, tuple(version for version in contrary if not completes(version, counts))


def _states(sheet: FilledSheet) -> dict[tuple[int, int], State]:
    """What each cell says that the sheet speaks of."""
    lines = range(1, len(sheet.contestants) + 1)
    states: dict[tuple[int, int], State] = {(line, call): () for line in lines for call in sheet.judged}
    states |= {(mark.line, mark.call): mark.letters for mark in sheet.marks}
    return states | dict.fromkeys(sheet.open_cells)


def _words(state: State) -> str:
    return "open" if state is None else " ".join(state) or "clean"
