"""What a judge typed -> letters and ticks. What is not certain is None, never a guess."""

import unicodedata

from tourney.model.sheet import LETTERS, SEPARATORS, TICKS, Letter

_SEPARATORS = str.maketrans("", "", f"{SEPARATORS}\t\n\r")
# Letters of other alphabets and signs that pass for a letter on a tired evening.
_LOOKS_LIKE = {"Н": "H", "Η": "H", "Ν": "N", "Ѕ": "S", "Ԝ": "W", "1": "L", "I": "L", "|": "L", "5": "S", "VV": "W"}

_OTHERWISE = "Type L, W, S, H or N, or clear the cell if nothing was wrong."


def plain(value: object) -> str:
    """A cell's value as text: whole numbers without a point, ordinary letter forms (NFKC), no invisible signs."""
    if isinstance(value, str) and value.isascii():  # nearly all cells: nothing to make ordinary
        return value.strip()
    shown = int(value) if isinstance(value, float) and value.is_integer() else value
    text = unicodedata.normalize("NFKC", str(shown))
    return "".join(sign for sign in text if unicodedata.category(sign) != "Cf").strip()


def letters_of(value: object) -> tuple[Letter, ...] | None:
    """The letters in a cell in the order of LETTERS, () for an empty one; None when it is anything else.

    Case, spaces and the signs , ; / + . - after a letter do not matter. A letter typed twice, or N beside another
    letter, is not certain. papers.sheet_formulas.unreadable says the same to the judge while the sheet is filled.
    """
    text = plain(value)
    if not text:
        return ()
    if text[0] in SEPARATORS:
        return None
    typed = text.translate(_SEPARATORS).upper() if text.isascii() else "?"
    letters = tuple(letter for letter in LETTERS if letter in typed)
    certain = 0 < len(letters) == len(typed) and not ("N" in letters and len(letters) > 1)
    return letters if certain else None


def is_tick(value: object) -> bool | None:
    """True for a tick, False for an empty cell, None for anything else. A cross is a tick, as on paper."""
    text = plain(value).casefold()
    return True if text in TICKS else None if text else False


def advice(value: object) -> str:
    """What to type instead of a mark that `letters_of` could not read."""
    text = plain(value).upper()
    typed = text.translate(_SEPARATORS)
    if text in _LOOKS_LIKE:
        return f"If the letter {_LOOKS_LIKE[text]} was meant, type that; clear the cell if nothing was wrong."
    if is_tick(value):
        return f"Ticks belong in the row beneath the lines. {_OTHERWISE}"
    if letters_of(typed) and text[0] in SEPARATORS:
        return f"Type {typed} without the sign before it, or clear the cell if nothing was wrong."
    if typed and set(typed) <= set(LETTERS):
        mixed = "N" in typed and len(set(typed)) > 1
        return "N means absent and stands alone: take it out, or the others." if mixed else "Type each letter once."
    return _OTHERWISE


def quoted(value: object) -> str:
    """What was typed, short enough for a sentence."""
    text = plain(value)
    return f'"{text[:20]}{"..." if len(text) > 20 else ""}"'
