"""The bracket book: a spreadsheet program comes to the same as we do, whatever has been typed."""

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook

from tests.papers.sample_brackets import (
    best_two_go_on,
    double_knockout_of_four,
    knockout,
    last_out,
    line,
    names_of,
    played,
    won_without_the_deciding_heat,
)
from tourney.model.bracket import Bracket
from tourney.papers.bracket_book import write_bracket_book
from tourney.papers.bracket_seats import DRILL_OFF
from tourney.papers.bracket_tree import NOT_NEEDED

LEVEL = Fraction(250)


def cases() -> dict[str, Bracket]:
    walkover = played(knockout(5), 1)
    first = walkover.heats[0]
    withdrawn = replace(walkover, heats=(replace(first, points=()), *walkover.heats[1:]))
    (final,) = played(line(6)).heats
    points = (Fraction(299), *(LEVEL,) * 4, Fraction(9))
    shared = replace(played(line(6)), heats=(replace(final, points=points, places=(1, 2, 3, 3, 5, 6)),))
    drilled = played(knockout(4), 1)
    drilled = replace(drilled, heats=(replace(drilled.heats[0], points=(LEVEL, LEVEL)), *drilled.heats[1:]))
    return {
        "empty": knockout(8),
        "byes": played(knockout(13, third=True), 2),
        "whole": played(knockout(8, third=True)),
        "double": played(double_knockout_of_four()),
        "not needed": won_without_the_deciding_heat(),
        "best two": played(best_two_go_on()),
        "line": played(line()),
        "places": shared,
        "last out": played(last_out(), 2),
        "walkover": withdrawn,
        "drill-off held": drilled,
        "others": replace(played(knockout(4), 0), footnotes=("=A1 changed seats with 4.",)),
    }


@pytest.fixture(scope="module")
def books(day: Any, tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, dict[str, Bracket]]:
    path = tmp_path_factory.mktemp("finals") / "bracket.xlsx"
    found = {name: replace(bracket, division=name) for name, bracket in cases().items()}
    names = {team: name for bracket in found.values() for team, name in names_of(bracket).items()}
    write_bracket_book(path, day.plan, list(found.values()), names | {"K01": '=HYPERLINK("x") "Gull"'})
    return path, found


def cells(path: Path, sheet: str) -> dict[str, Any]:
    frame = load_workbook(path, data_only=True)[sheet]
    return {cell.coordinate: cell.value for row in frame.iter_rows() for cell in row if cell.value not in (None, "")}


def test_a_spreadsheet_program_comes_to_what_is_shown(
    books: tuple[Path, dict[str, Bracket]], office: Callable[..., Path]
) -> None:
    path, found = books
    again = office(path, "xlsx")
    assert load_workbook(path).sheetnames == list(found)
    for name in found:
        assert cells(again, name) == cells(path, name), name
    shown = cells(path, "byes")
    assert "winner of Quarter-final 1" not in shown.values(), "all of them were heard"
    assert list(shown.values()).count("loser of Semi-final 1") == 1
    assert list(cells(path, "not needed").values()).count(NOT_NEEDED) == 2, "both seats of the deciding heat"
    assert NOT_NEEDED not in cells(path, "double").values()


def test_places_in_one_line_are_those_that_tie_breaks_and_drill_offs_left(
    books: tuple[Path, dict[str, Bracket]], office: Callable[..., Path]
) -> None:
    """Of four with the same points, one comes first and two share a place."""
    frame = load_workbook(office(books[0], "xlsx"), data_only=True)["places"]
    heading = next(cell for row in frame.iter_rows() for cell in row if cell.value == "Final")
    assert [heading.offset(row, 3).value for row in range(1, 7)] == [1, 2, 3, 3, 5, 6]


def test_typed_points_move_winners_on_and_level_ones_ask_for_a_drill_off(
    books: tuple[Path, dict[str, Bracket]], office: Callable[..., Path], tmp_path: Path
) -> None:
    """Typed by another program into the empty book, as a volunteer would."""
    path, _ = books
    book = load_workbook(path)
    sheet = book["empty"]
    heats: dict[Any, Any] = {
        cell.value: cell for row in sheet.iter_rows() for cell in row if str(cell.value).startswith(("Quarter", "Semi"))
    }

    def type_in(name: str, *points: object, extra: tuple[object, ...] = ()) -> None:
        for column, typed in ((1, points), (2, extra)):
            for row, value in enumerate(typed, 1):
                heats[name].offset(row, column).value = value

    type_in("Quarter-final 1", 120.5, 120)
    type_in("Quarter-final 2", 99, 99)
    type_in("Quarter-final 3", 99, 99, extra=(1, 3))
    type_in("Quarter-final 4", "–", 12)
    target = tmp_path / "typed.xlsx"
    book.save(target)
    frame = load_workbook(office(target, "xlsx"), data_only=True)["empty"]

    def seats(name: str) -> list[object]:
        return [frame[heats[name].offset(row).coordinate].value for row in (1, 2)]

    names = names_of(knockout(8))
    assert seats("Semi-final 1") == ['=HYPERLINK("x") "Gull"', DRILL_OFF]
    assert seats("Semi-final 2") == [names["K07"], names["K06"]]
    places = [frame[heats["Quarter-final 2"].offset(row, 3).coordinate].value for row in (1, 2)]
    assert places == [DRILL_OFF, DRILL_OFF]


def test_only_entries_can_be_typed_in_and_names_are_text(books: tuple[Path, dict[str, Bracket]]) -> None:
    sheet = load_workbook(books[0])["whole"]
    assert sheet.protection.sheet
    open_ = [cell for row in sheet.iter_rows() for cell in row if not cell.protection.locked]
    assert len(open_) == 2 * 2 * 8, "points and drill-off of two seats in eight heats"
    assert sheet["B5"].data_type == "s" and sheet["B5"].value == '=HYPERLINK("x") "Gull"'


def test_a_seat_given_to_another_team_than_the_points_would_bring_is_plain_text(day: Any, tmp_path: Path) -> None:
    """As after a withdrawal: who lost goes on all the same."""
    bracket = played(knockout(4), 1)
    last = replace(bracket.heats[-1], teams=("K04", "K02"))
    write_bracket_book(
        tmp_path / "b.xlsx", day.plan, [replace(bracket, heats=(*bracket.heats[:-1], last))], names_of(bracket)
    )
    held = [cell.value for row in load_workbook(tmp_path / "b.xlsx")["Junior"].iter_rows() for cell in row]
    assert held.count(names_of(bracket)["K04"]) == 2  # among the seeds, and in the last heat


@pytest.mark.parametrize("count", [2, 3, 64, 256])
def test_any_number_of_entries(day: Any, tmp_path: Path, count: int) -> None:
    bracket = played(knockout(count))
    write_bracket_book(tmp_path / "b.xlsx", day.plan, [bracket], names_of(bracket))
    sheet = load_workbook(tmp_path / "b.xlsx")["Junior"]
    assert sum(cell.value == "Place" for row in sheet.iter_rows() for cell in row) == count - 1
