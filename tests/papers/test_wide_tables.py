"""A wide table is printed on as few pages across as can be read, with its names on each of them."""

import shutil
import subprocess
from collections.abc import Callable
from itertools import product
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from openpyxl import load_workbook

from tourney.papers.table_sheet import Field, write_table
from tourney.papers.wide_tables import fit_table, pages_across
from tourney.papers.workbook import Workbook


@given(st.lists(st.integers(5, 90), min_size=1, max_size=9), st.integers(0, 200))
def test_no_way_of_splitting_takes_fewer_pages(widths: list[int], more: int) -> None:
    """Every way is tried: after each column but the last the page may end or go on."""
    room = max(widths) + more
    fewest = len(widths)
    for ends in product((False, True), repeat=len(widths) - 1):
        pages = [widths[0]]
        for width, new in zip(widths[1:], ends, strict=True):
            pages = [*pages, width] if new else [*pages[:-1], pages[-1] + width]
        fewest = min(fewest, len(pages)) if max(pages) <= room else fewest
    assert pages_across(widths, 0, room) == fewest
    assert pages_across([25, *widths], 1, 25 + room) == fewest, "names at the left take their part of each page"


def test_a_column_wider_than_its_page_has_one_alone() -> None:
    assert pages_across([10, 20, 500, 30], 1, 100) == 3


def written(path: Path, widths: list[float]) -> Any:
    workbook = Workbook("Wide")
    sheet = workbook.add("Wide")
    fields = [Field(f"Column{at}", width) for at, width in enumerate(widths)]
    write_table(sheet, "Wide", "", fields, [["Avocets", *("x" * (len(widths) - 1))]], 1)
    fit_table(sheet, fields, fixed=1)
    workbook.save(path)
    return load_workbook(path)["Wide"]


def test_what_can_be_read_on_one_page_is_not_split(tmp_path: Path) -> None:
    sheet = written(tmp_path / "narrow.xlsx", [40.0, 100.0, 150.0])
    assert (sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight) == (1, 0)
    assert not sheet.print_title_cols


@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="needs pdftotext")
def test_each_printed_part_shows_the_name_and_every_column_once(tmp_path: Path, office: Callable[..., Path]) -> None:
    """As another program prints it."""
    path = tmp_path / "wide.xlsx"
    sheet = written(path, [40.0, *[100.0] * 5])
    assert (sheet.page_setup.fitToWidth, sheet.print_title_cols) == (2, "$A:$A")
    printed = subprocess.run(["pdftotext", office(path, "pdf"), "-"], check=True, capture_output=True, text=True).stdout
    pages = printed.rstrip("\f").split("\f")
    assert ["Avocets" in page for page in pages] == [True, True]
    found = [[at for at in range(6) if f"Column{at}" in page] for page in pages]
    assert sorted(found[0][1:] + found[1][1:]) == [1, 2, 3, 4, 5] and found[0][0] == found[1][0] == 0
