"""Honest mistakes on score sheets: each kind a tiny callable over a sheet that was filled in well."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from random import Random

from tourney.model.sheet import SheetEntries

UNKNOWN = ("Q", "0", "?", "K")


@dataclass(frozen=True, slots=True)
class Mishap:
    """What one mistake does to a sheet.

    handed_in: the sheet as it comes in first, None when it does not. ask: must the judge be asked for the sheet as it
    should be. told: what happened, to follow the judge's name.
    """

    handed_in: SheetEntries | None
    ask: bool
    told: str


def unknown_letter(sheet: SheetEntries, chance: Random) -> Mishap:
    """A letter that no rule knows, where another one stands."""
    line, call = chance.choice(sorted(sheet.cells))
    typed = chance.choice(UNKNOWN)
    spoiled = replace(sheet, cells={**sheet.cells, (line, call): typed})
    return Mishap(spoiled, True, f'typed "{typed}" at line {line}, call {call} of sheet {sheet.code}')


def left_out(sheet: SheetEntries, _chance: Random) -> Mishap:
    """A sheet that stays in the room."""
    return Mishap(None, True, f"forgot to hand in sheet {sheet.code}")


def forgotten_tick(sheet: SheetEntries, chance: Random) -> Mishap:
    """A call that was judged but not ticked."""
    call = chance.choice(sorted(sheet.ticked))
    ticked = {number: tick for number, tick in sheet.ticked.items() if number != call}
    return Mishap(replace(sheet, ticked=ticked), True, f"forgot the tick under call {call} of sheet {sheet.code}")


def small_letters(sheet: SheetEntries, _chance: Random) -> Mishap:
    """Small letters for capital ones: no harm."""
    cells = {place: typed.lower() for place, typed in sheet.cells.items()}
    return Mishap(replace(sheet, cells=cells), False, f"typed small letters on sheet {sheet.code}")


def no_initials(sheet: SheetEntries, _chance: Random) -> Mishap:
    """A sheet that nobody signed."""
    return Mishap(replace(sheet, initials=""), True, f"left the initials off sheet {sheet.code}")


def stray_spaces(sheet: SheetEntries, _chance: Random) -> Mishap:
    """Spaces around letters: no harm."""
    cells = {place: f"{typed} " for place, typed in sheet.cells.items()}
    return Mishap(replace(sheet, cells=cells), False, f"typed spaces after the letters of sheet {sheet.code}")


Kind = Callable[[SheetEntries, Random], Mishap]

KINDS: tuple[Kind, ...] = (unknown_letter, left_out, forgotten_tick, small_letters, no_initials, stray_spaces)
NEED_LETTERS: tuple[Kind, ...] = (unknown_letter, small_letters, stray_spaces)


def how_many(sheets: int) -> int:
    """Mistakes in a day with so many sheets: three, and one more for every three dozen sheets."""
    return min(sheets // 2, 3 + sheets // 36)


def happen(sheets: Sequence[SheetEntries], chance: Random) -> Mapping[str, Mishap]:
    """Sheet code -> what went wrong with it; every kind in turn, each on a sheet of its own."""
    left = sorted(sheets, key=lambda sheet: sheet.code)
    chance.shuffle(left)
    found: dict[str, Mishap] = {}
    for at in range(how_many(len(sheets))):
        kind = KINDS[at % len(KINDS)]
        fits = [sheet for sheet in left if sheet.ticked and (sheet.cells or kind not in NEED_LETTERS)]
        if fits:
            left.remove(fits[0])
            found[fits[0].code] = kind(fits[0], chance)
    return found
