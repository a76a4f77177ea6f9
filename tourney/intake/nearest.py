"""The known word nearest to one that is not known."""

import re
import unicodedata
from collections.abc import Iterable
from difflib import get_close_matches

_LISTED = 40  # known words that a sentence lists


def key(text: str) -> str:
    """A text for comparing: NFKC, no case, blanks collapsed."""
    return " ".join(unicodedata.normalize("NFKC", text).casefold().split())


def word_key(text: str) -> str:
    """A column's or section's name for comparing: besides, blanks, underscores and hyphens are alike."""
    return re.sub(r"[\s_\-]+", "_", key(text)).strip("_:*")


def nearest(word: str, known: Iterable[str], least: float = 0.5) -> str | None:
    """The known word that looks most like this one, None when none is at least so alike (difflib's ratio)."""
    by_key = {key(other): other for other in known}
    found = get_close_matches(key(word), list(by_key), n=1, cutoff=least)
    return by_key[found[0]] if found else None


def one_of(word: str, known: Iterable[str]) -> str:
    """All words that may stand there, as a sentence, after the nearest one where one is near."""
    words = list(dict.fromkeys(known))
    near = nearest(word, words)
    said = f"Write one of: {', '.join(words)}."
    return said if near is None else f'The nearest is "{near}". {said}'


def suggestion(word: str, known: Iterable[str]) -> str:
    """A sentence with the nearest known word, or with all of them when they are few."""
    words = list(dict.fromkeys(known))
    near = nearest(word, words)
    if near is not None:
        return f'The nearest is "{near}".'
    return f"Known are: {', '.join(words)}." if 0 < len(words) <= _LISTED else ""
