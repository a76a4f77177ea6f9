"""File names made from people's words: safe on every system, still readable, never two alike."""

import re
import unicodedata
from collections.abc import Iterable

# Names that Windows keeps for devices, with any ending (Naming Files, Paths, and Namespaces; Microsoft Learn).
RESERVED = {"con", "prn", "aux", "nul", *(f"{port}{number}" for port in ("com", "lpt") for number in "0123456789¹²³")}
LONGEST = 60


def file_name(words: str) -> str:
    """One word or more as a file name without its ending; letters of every script stay."""
    text = unicodedata.normalize("NFC", words)
    kept = "".join(letter if letter.isalnum() or unicodedata.category(letter)[0] == "M" else "_" for letter in text)
    name = re.sub("_+", "_", kept)[:LONGEST].strip("_") or "unnamed"
    return f"{name}_" if name.casefold() in RESERVED else name


def file_names(words: Iterable[str]) -> dict[str, str]:
    """Words -> file name; a number is added where two would be alike on a system that ignores case."""
    names: dict[str, str] = {}
    taken: set[str] = set()
    for word in dict.fromkeys(words):
        name, number = file_name(word), 2
        while name.casefold() in taken:
            name, number = f"{file_name(word)}_{number}", number + 1
        taken.add(name.casefold())
        names[word] = name
    return names
