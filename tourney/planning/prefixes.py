"""The short capitals with which ids of a division begin."""

from collections.abc import Sequence

LONGEST = 3  # beyond this a letter and a number read better


def division_prefixes(names: Sequence[str]) -> dict[str, str]:
    """Division name -> prefix: its shortest beginning that no other name has, as J for Junior.

    Names that only differ later, such as Group One and Group Two, get their first letter and their place: G1, G2.
    """
    letters = {name: "".join(sign for sign in name.upper() if sign.isalnum()) or "D" for name in names}
    prefixes: dict[str, str] = {}
    for place, name in enumerate(names, 1):
        others = [letters[other] for other in names if other != name]
        lengths = range(1, min(LONGEST, len(letters[name])) + 1)
        distinct = (
            letters[name][:n] for n in lengths if not any(word.startswith(letters[name][:n]) for word in others)
        )
        prefixes[name] = next(distinct, f"{letters[name][0]}{place}")
    return prefixes
