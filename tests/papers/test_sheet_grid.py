"""Every sheet fits one page with boxes of 8 mm.

A4 is 210 x 297 mm (ISO 216), Letter 8.5 x 11 in (ANSI/ASME Y14.1), both from memory.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tourney.papers.sheet_facts import Standing
from tourney.papers.sheet_grid import BENEATH_ROW, BOX, COUNTED, HEAD, NUMBER, STATUS_ROW, Grid
from tourney.papers.sheet_names import name_parts
from tourney.papers.text_cells import text_width

PRINTABLE = {"A4": (297 - 13, 210 - 30), "Letter": (279.4 - 13, 215.9 - 30)}  # mm inside the margins, landscape
CALLS = st.integers(6, 30)
LINES = st.integers(1, 12)
PAPERS = st.sampled_from(["A4", "Letter"])


def size(grid: Grid) -> tuple[float, float]:
    totals = len(COUNTED) * grid.count_width + grid.points_width if grid.beside else 0
    width = NUMBER + grid.name_width + grid.calls * grid.box_width + totals
    height = sum(HEAD.values()) - HEAD[STATUS_ROW] + grid.lines * grid.line_height + BOX
    return width, height + (0 if grid.beside else (len(COUNTED) + 2) * BENEATH_ROW)


@given(CALLS, LINES, PAPERS)
def test_boxes_are_at_least_8_mm_once_the_page_is_fitted(calls: int, lines: int, paper: str) -> None:
    grid = Grid(calls, lines, paper)
    width, height = size(grid)
    shrunk = min(1, PRINTABLE[paper][0] / width, PRINTABLE[paper][1] / height)
    assert grid.pages == (1, 1)
    assert shrunk * grid.box_width >= 8
    assert shrunk * grid.line_height >= 8


@given(CALLS, LINES, PAPERS)
def test_totals_lie_outside_the_boxes_and_inside_the_print_area(calls: int, lines: int, paper: str) -> None:
    grid = Grid(calls, lines, paper)
    places = [grid.total(line, place) for line in range(1, lines + 1) for place in range(6)]
    assert len(set(places)) == len(places)
    for row, column in places:
        assert column > grid.last_call or row > grid.judged_row
        assert row <= grid.last_row and column <= grid.last_column


def test_longer_lines_and_sets_take_more_pages_rather_than_smaller_boxes() -> None:
    assert Grid(16, 40, "A4").pages[1] > 1
    assert Grid(60, 4, "A4").pages[0] > 1
    assert Grid(60, 40, "Letter").box_width >= 8.2


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize(("calls", "beside"), [(16, True), (24, True), (30, False)])
def test_totals_stand_beneath_only_where_there_is_no_room_beside(calls: int, beside: bool, paper: str) -> None:
    assert Grid(calls, 8, paper).beside is beside


@given(st.text(min_size=1, max_size=60), st.text(min_size=1, max_size=60), CALLS, LINES, PAPERS)
def test_names_of_any_length_fit_their_cell(name: str, team: str, calls: int, lines: int, paper: str) -> None:
    grid = Grid(calls, lines, paper)
    width, height = grid.name_width - 2, grid.line_height
    parts = name_parts(Standing("J01-1", name, team, 15), width, height)
    needed = sum(max(1, -(-text_width(text.strip("\n"), points) // width)) * points for text, points, _ in parts[::2])
    assert needed * 1.1 * 25.4 / 72 <= height + 3


def test_a_short_name_is_large_and_a_long_one_whole() -> None:
    short = name_parts(Standing("J01-1", "Orla V.", "Gull Point", None), 40, 9)
    long = name_parts(Standing("J01-1", "Maximiliana-Theodosia Featherstonehaugh-Winte", "Gull Point", None), 40, 9)
    assert short[0] == ("Orla V.", 12.0, True)
    assert long[0][0] == "Maximiliana-Theodosia Featherstonehaugh-Winte" and long[0][1] < 12
