"""Each kind of mistake on one sheet."""

from dataclasses import replace
from random import Random

from tourney.model.sheet import SheetEntries
from tourney.simulation import mishaps

SHEET = SheetEntries("J-R1-1.A.S", {(1, 2): "L", (3, 4): "SH"}, {1: "x", 2: "x"}, "AB")


def test_what_each_kind_does() -> None:
    chance = Random(1)
    unknown = mishaps.unknown_letter(SHEET, chance)
    assert unknown.handed_in
    assert sorted(unknown.handed_in.cells) == [(1, 2), (3, 4)]
    assert sum(typed in mishaps.UNKNOWN for typed in unknown.handed_in.cells.values()) == 1
    assert unknown.ask
    assert mishaps.left_out(SHEET, chance).handed_in is None
    tick = mishaps.forgotten_tick(SHEET, chance)
    assert tick.handed_in
    assert len(tick.handed_in.ticked) == 1
    assert tick.ask
    small = mishaps.small_letters(SHEET, chance)
    assert small.handed_in == replace(SHEET, cells={(1, 2): "l", (3, 4): "sh"})
    assert not small.ask
    assert mishaps.no_initials(SHEET, chance).handed_in == replace(SHEET, initials="")
    assert mishaps.stray_spaces(SHEET, chance).handed_in == replace(SHEET, cells={(1, 2): "L ", (3, 4): "SH "})


def test_every_kind_comes_in_turn_on_sheets_of_their_own() -> None:
    sheets = [replace(SHEET, code=f"J-R1-{n}.A.X") for n in range(120)]
    found = mishaps.happen(sheets, Random(1))
    assert len(found) == mishaps.how_many(120) == 6
    assert len({mishap.told.split()[0] + mishap.told.split()[1] for mishap in found.values()}) >= 4
    assert found == mishaps.happen(sheets[::-1], Random(1)), "the order of sheets does not matter"


def test_sheets_without_letters_are_spared_what_needs_letters() -> None:
    sheets = [replace(SHEET, code=f"J-R1-{n}.A.X", cells={}) for n in range(40)]
    told = [mishap.told for mishap in mishaps.happen(sheets, Random(1)).values()]
    assert len(told) == 2, "of four, an unknown letter and small letters have no letter to spoil"
    assert not any("small letters" in one for one in told)


def test_how_many() -> None:
    assert [mishaps.how_many(n) for n in (1, 4, 24, 216)] == [0, 2, 3, 9]
