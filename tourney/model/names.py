"""Names as they may be shown to others: as short as each child's entry asks, and never two alike."""

from collections import defaultdict
from collections.abc import Iterable, Mapping

from tourney.model.people import Contestant

MOST_LETTERS = 3  # of a surname that is not to be shown


def meant(word: str, names: Mapping[str, str]) -> tuple[str, ...]:
    """The ids that a word means: an id, else all that are called so. names: by id. Capitals do not matter."""
    key = word.strip().casefold()
    by_id = tuple(one for one in names if one.casefold() == key)
    return by_id or tuple(one for one, name in names.items() if name.casefold() == key)


def called(child: Contestant) -> str:
    """The first name that the child wants to hear."""
    return (child.preferred_name.strip() or child.name).split()[0]


def shown_names(children: Iterable[Contestant]) -> dict[str, str]:
    """Contestant id -> name to show: in full, first name with initial, or the number alone, as the entry asks.

    Where two would be shown alike, initials grow to three letters, never to a whole surname; who is still alike then
    carries the number.
    """
    everyone = tuple(children)
    shown = {child.id: _shown(child, 1) for child in everyone}
    for letters in range(2, 1 + MOST_LETTERS):
        alike = _alike(shown)
        shown |= {child.id: _shown(child, letters) for child in everyone if child.id in alike}
    alike = _alike(shown)
    return {
        child.id: f"{_shown(child, 1)} ({child.id})" if child.id in alike else shown[child.id] for child in everyone
    }


def _shown(child: Contestant, letters: int) -> str:
    if child.show_name == "number":
        return child.id
    surname = child.name.split()[-1] if len(child.name.split()) > 1 else ""
    if child.show_name == "full" or not surname:
        return f"{called(child)} {surname}".strip()
    if len(surname) == 1:
        return f"{called(child)} {surname}"
    return f"{called(child)} {surname[: min(letters, len(surname) - 1)]}."


def _alike(shown: dict[str, str]) -> set[str]:
    groups: dict[str, list[str]] = defaultdict(list)
    for key, name in shown.items():
        groups[name.casefold()].append(key)
    return {key for keys in groups.values() if len(keys) > 1 for key in keys}


def certificate_name(child: Contestant) -> str:
    """The name in full, as the child wants to be called; empty where the family asked for a number only.

    A preferred name of several words is the whole of it.
    """
    if child.show_name == "number":
        return ""
    if len(child.preferred_name.split()) > 1:
        return child.preferred_name.strip()
    return " ".join((called(child), *child.name.split()[1:]))
