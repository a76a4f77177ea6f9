"""One heat's sheets once more: the same sheets, marked, and nothing else touched."""

from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook

from tourney.errors import Refusal
from tourney.model.sheet_layout import sheet_code
from tourney.papers.heat_copy import write_heat_copy
from tourney.papers.score_sheets import write_score_sheets


def test_it_is_the_first_sheet_but_for_the_word_copy(day: Any, tmp_path: Path) -> None:
    heat = day.plan.heats[0]
    written = write_heat_copy(tmp_path, day.plan, day.book, day.roster, heat.id.lower())
    assert written.files == ("papers/judges/heats/J-R1-1.xlsx",)
    copies = load_workbook(tmp_path / written.files[0]).worksheets
    first = load_workbook(write_score_sheets(tmp_path, day.plan, day.book, day.roster)[0])
    for judge, copy in enumerate(copies, 1):
        original = first[copy.title]
        assert original["T3"].value == copy["T3"].value == sheet_code(heat.id, judge)
        for row in original.iter_rows():
            for cell in row:
                said = "COPY   ·   " if cell.coordinate == "B3" else ""
                assert copy[cell.coordinate].value == (f"{said}{cell.value}" if said else cell.value)
        head: Any = copy.oddHeader
        assert head.right.text.startswith("COPY ")


def test_a_copy_that_was_filled_in_is_kept(day: Any, tmp_path: Path) -> None:
    heat = day.plan.heats[0].id
    path = tmp_path / write_heat_copy(tmp_path, day.plan, day.book, day.roster, heat).files[0]
    path.write_bytes(b"marks of a judge")
    again = write_heat_copy(tmp_path, day.plan, day.book, day.roster, heat)
    assert again.kept == ("papers/judges/heats/J-R1-1.xlsx",)
    assert path.read_bytes() == b"marks of a judge" and (tmp_path / again.files[0]).exists()


def test_a_heat_that_is_not_there_is_a_sentence(day: Any, tmp_path: Path) -> None:
    with pytest.raises(Refusal) as refused:
        write_heat_copy(tmp_path, day.plan, day.book, day.roster, "J-R9-1")
    assert "no heat J-R9-1" in str(refused.value) and "J-R1-1" in refused.value.cures[0]
    assert not (tmp_path / "papers").exists()
