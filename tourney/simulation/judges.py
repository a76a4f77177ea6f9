"""What simulated judges see and write: each has an own severity, and slips now and then."""

from collections.abc import Mapping
from random import Random

from tourney.draw import Draw
from tourney.model.sheet import LETTERS, Letter, SheetEntries
from tourney.model.sheet_layout import TICK
from tourney.simulation.contestants import Find

SEVERITY = 0.12  # spread of judges, in the logits of a find's margin
EYE = 0.05  # how unsteady one judge is from look to look
SLIP = 0.002  # part of the boxes in which a fault is overlooked, or an L written beside its line

Finds = Mapping[tuple[int, int], Find | None]


def severity(official: str, draw: Draw) -> float:
    """How far before the border this judge sees a fault already; below 0 for a lenient one. The same all day."""
    return draw.stream("rehearsal", "severity", official).gauss(0, SEVERITY)


def seen(finds: Finds, strictness: float, chance: Random) -> dict[tuple[int, int], tuple[Letter, ...]]:
    """(line, call) -> the letters that one judge writes. finds: None for who is absent."""
    marks: dict[tuple[int, int], tuple[Letter, ...]] = {}
    for place, found in finds.items():
        letters: tuple[Letter, ...] = ("N",)
        if found:
            letters = found.letters(chance.gauss(strictness, EYE))
            if chance.random() < SLIP:
                letters = () if letters else ("L",)
        if letters:
            marks[place] = letters
    return marks


def sheet(
    code: str, marks: Mapping[tuple[int, int], tuple[Letter, ...]], calls: tuple[int, ...], name: str
) -> SheetEntries:
    """The sheet as a careful judge fills it in: capital letters, a tick under every call, initials."""
    cells = {place: "".join(letter for letter in LETTERS if letter in letters) for place, letters in marks.items()}
    return SheetEntries(code, cells, dict.fromkeys(calls, TICK), initials(name))


def initials(name: str) -> str:
    """The first letter of each part of a name; "?" stays for a name without letters."""
    return "".join(part[0] for part in name.split() if part[0].isalpha()).upper() or "?"
