"""Results of a whole day in which the best of the day count and awards go by place and by points."""

import json
import shutil
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner
from openpyxl import load_workbook

from tourney.cli import main
from tourney.resources import sample_events

Tourney = Callable[..., Any]  # the fixture of tests/conftest.py

RULES = """rounds = 3
counting_over = "day"
finals = "none"
bands = [{ label = "A", from = 0.9 }, { label = "Cup", place = 2 }]"""


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A played small day."""
    source = tmp_path_factory.mktemp("day") / "source"
    shutil.copytree(sample_events() / "small_hall", source)
    settings = source / "event.toml"
    text = settings.read_text(encoding="utf-8").replace("rounds = 3", RULES).replace("advance = 2\n", "")
    settings.write_text(text, encoding="utf-8")
    done = CliRunner().invoke(main, ["rehearse", str(source), "--into", str(source.parent / "played")])
    assert done.exit_code == 0, done.output
    return source.parent / "played"


@pytest.fixture(scope="module")
def division(folder: Path) -> Any:
    document = json.loads((folder / "results" / "results.json").read_text(encoding="utf-8"))
    assert document["state"] == "final"
    return document["divisions"][0]


def test_the_same_three_children_count_in_every_round(division: Any) -> None:
    for row in division["teams"]:
        own = [Fraction(child["points"]) for child in division["contestants"] if child["team"] == row["team"]]
        assert Fraction(row["points"]) == sum(sorted(own, reverse=True)[:3])
        assert Fraction(row["points"]) == sum(map(Fraction, row["round_points"]))
        heats = [heat for heat in division["heats"] if heat["team"] == row["team"]]
        assert [Fraction(heat["points"]) for heat in heats] == [Fraction(made) for made in row["round_points"]]


def test_every_place_has_its_reason_and_what_would_have_altered_it(division: Any) -> None:
    assert all(row["reason"] and row["change"] for row in division["teams"])


def test_awards_by_place_stand_above_those_by_points_and_the_next_one_is_told(division: Any) -> None:
    for child in division["contestants"]:
        part = Fraction(child["points"]) / Fraction(child["available"])
        reached = "Cup" if child["place"] <= 2 else "A" if part >= Fraction(9, 10) else None
        assert child["band"] == reached
        told = {"Cup": "", "A": "Cup down to place 2"}.get(child["band"])
        assert child["next_band"] == told if told is not None else child["next_band"].endswith(" short")


def test_the_workbook_and_the_wall_show_what_was_found_section_by_section(folder: Path, division: Any) -> None:
    sheet = load_workbook(folder / "results" / "results.xlsx")["Sections"]
    heads = [cell.value for cell in sheet[4]]
    assert (heads[:3], heads[-1]) == (["Division", "Team", "Law"], "All")
    wall = (folder / "results" / "wall.html").read_text(encoding="utf-8")
    for row, standing in zip(sheet.iter_rows(min_row=5, values_only=True), division["teams"], strict=True):
        found, heard = standing["sections"]["law"]
        assert row[2] == f"={found}/{heard}"
        assert f"<title>Law</title><desc>{found} of {heard} found</desc>" in wall


def test_nothing_of_sections_hangs_on_the_wall_while_a_sheet_is_out(
    tourney: Tourney, folder: Path, tmp_path: Path
) -> None:
    open_ = Path(shutil.copytree(folder, tmp_path / "open"))
    (open_ / "record.sqlite").unlink()
    (open_ / "plan.json").unlink()
    assert tourney("plan", open_).code == 0
    first, *_ = sorted((open_ / "returned").glob("*.xlsx"))
    said = tourney("collect", open_, first)
    assert said.code in (0, 1)
    assert tourney("results", open_).code == 0
    wall = (open_ / "results" / "wall.html").read_text(encoding="utf-8")
    assert "PROVISIONAL" in wall and "<title>Law</title>" not in wall
