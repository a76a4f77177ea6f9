"""The short capitals with which ids of a division begin."""

from collections.abc import Sequence
from itertools import chain, count

LONGEST = 3  # beyond this a letter and a number read better


def division_prefixes(names: Sequence[str]) -> dict[str, str]:
    """Division name -> prefix: its shortest beginning that no other name has, as J for Junior.

    Names that only differ later, such as Group One and Group Two, get their first letter and their place: G1, G2.
    """
    letters = {name: "".join(sign for sign in name.upper() if sign.isalnum()) or "D" for name in names}
    prefixes: dict[str, str] = {}
    for place, name in enumerate(names, 1):
        others = [letters[other] for other in names if other != name]
        starts = (letters[name][:n] for n in range(1, min(LONGEST, len(letters[name])) + 1))
        distinct = (start for start in starts if not any(word.startswith(start) for word in others))
        numbered = (f"{letters[name][0]}{number}" for number in count(place))
        prefixes[name] = next(prefix for prefix in chain(distinct, numbered) if prefix not in prefixes.values())
    return prefixes
