"""Cells as XML: read back by openpyxl, they hold what was put there and nothing else."""

from datetime import date
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from openpyxl import load_workbook
from openpyxl.cell.rich_text import CellRichText

from tourney.papers.cells import Content, Formula, Gap, Runs, cell_xml, fill_gaps, text_xml
from tourney.papers.sheet_style import Look
from tourney.papers.workbook import Workbook

PLAIN = Look()


def read_back(folder: Path, *contents: Content, values: bool = False) -> list[Any]:
    """The cells of a column, as openpyxl reads them."""
    workbook = Workbook("Test")
    sheet = workbook.add("One")
    for row, content in enumerate(contents, 1):
        sheet.put(row, 2, content, PLAIN)
    workbook.save(folder / "x.xlsx")
    found = load_workbook(folder / "x.xlsx", rich_text=True, data_only=values).worksheets[0]
    return [found.cell(row, 2) for row in range(1, len(contents) + 1)]


@pytest.mark.parametrize(
    "text",
    [
        "=SUM(A1)", "=cmd|' /C calc'!A0", "+1", "-1", "@here", "#N/A", "TRUE", "2027-04-17", "0012", "100%",
        "<script>alert(1)</script>", "a & b", "]]>", " two  spaces ", "two\nlines", "⟦name 1⟧", "نور", "小林", "🐚",
    ],
)  # fmt: skip
def test_text_stays_text_whatever_it_looks_like(text: str, tmp_path: Path) -> None:
    (cell,) = read_back(tmp_path, text)
    assert (cell.value, cell.data_type) == (text, "s")


def test_numbers_days_and_nothing(tmp_path: Path) -> None:
    cells = read_back(tmp_path, 7, 2.5, date(2027, 4, 17), None, "")
    assert [cell.value for cell in cells] == [7, 2.5, 46494, None, None]
    day = Workbook("Test")
    day.add("One").put(1, 1, date(2027, 4, 17), Look(number="yyyy-mm-dd"))
    day.save(tmp_path / "day.xlsx")
    assert load_workbook(tmp_path / "day.xlsx").worksheets[0]["A1"].value.date() == date(2027, 4, 17)


def test_a_formula_brings_what_it_comes_to(tmp_path: Path) -> None:
    formulas = (Formula("=1+1", 2), Formula('=IF(1<2,"a&b","")', "a&b"), Formula('=""', ""))
    assert [cell.value for cell in read_back(tmp_path, *formulas)] == [formula.text for formula in formulas]
    assert [cell.value or None for cell in read_back(tmp_path, *formulas, values=True)] == [2, "a&b", None]


def test_several_sizes_in_one_cell(tmp_path: Path) -> None:
    (cell,) = read_back(tmp_path, Runs((("<Orla>", 12.0, True), ("", 9.0, False), ("\n=Gulls", 8.5, False))))
    assert isinstance(cell.value, CellRichText)
    runs: list[Any] = list(cell.value)
    assert [(run.text, run.font.sz, bool(run.font.b)) for run in runs] == [
        ("<Orla>", 12, True),
        ("\n=Gulls", 8.5, False),
    ]


@given(st.text(), st.text())
def test_what_is_filled_in_is_never_taken_for_a_gap(one: str, two: str) -> None:
    xml = cell_xml("A1", "3", Gap("one")) + cell_xml("A2", "3", Gap("two"))
    filled = fill_gaps(xml, {"one": text_xml(one + Gap("two").mark()), "two": text_xml(two)})
    assert filled == cell_xml("A1", "3", one + "⟦two⟧") + cell_xml("A2", "3", two or "x").replace(
        text_xml(two or "x"), text_xml(two)
    )


def test_a_gap_falls_back_on_its_default_and_on_nothing_else() -> None:
    assert fill_gaps(Gap("box").mark("7") + Gap("box").mark("8"), {}) == "78"
    assert fill_gaps(Gap("box").mark("7"), {"box": "9"}) == "9"
    with pytest.raises(KeyError):
        fill_gaps(Gap("box").mark(), {})
