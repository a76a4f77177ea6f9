"""Teams that do not come to a heat of finals, and heats that are held once more: through the command line."""

import shutil
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest

from tests.story.finals_days import Hands, Tourney, collected, drilled, made, planned, read
from tourney.day.next import next_step
from tourney.day.state import read_day

RULED = ("--by", "Ada Wren", "--why", "the bus broke down")


@pytest.fixture(scope="module")
def papers_out(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A knockout of the best four."""
    four = 'advance = 4\nadvance_per_club = 3\nfinals = "knockout"'
    return planned(tmp_path_factory.mktemp("absent") / "day", four)


@pytest.fixture
def hands(papers_out: Path, tmp_path: Path, tourney: Tourney, monkeypatch: pytest.MonkeyPatch) -> Hands:
    """The semi-finals are drawn: O01 and O04, O02 and O03."""
    found = Hands(Path(shutil.copytree(papers_out, tmp_path / "day")), monkeypatch)
    collected(tourney, found, {f"O0{number}": number * 2 for number in range(1, 7)})
    assert tourney("finals", found.folder).code == 0
    return found


def heat(folder: Path, key: str) -> Any:
    return next(row for row in read(folder / "results" / "finals.json")["divisions"][0]["heats"] if row["id"] == key)


def test_who_comes_alone_goes_on_and_nobody_waits_for_sheets(tourney: Tourney, hands: Hands) -> None:
    folder = hands.folder
    said = tourney("rule", folder, "no-show", "O04", "--heat", "O-F1-1", *RULED, "--preview")
    assert "wins without a heat" in said.text and "No place of the rounds would change" in said.text
    said = tourney("rule", folder, "no-show", "O04", "--heat", "O-F1-1", *RULED)
    assert said.code == 0 and "Next: tourney finals" in said.text
    drilled(tourney, hands, "O-F1-2", {"O03": 4})
    said = tourney("collect", folder)
    assert "Every sheet is in." in said.text and "Next: tourney finals" in said.text
    said = tourney("finals", folder)
    assert "did not come." in said.text and heat(folder, "O-F1-1")["order"] == ["O01", "O04"]
    assert heat(folder, "O-F1-1")["points"] == [] and heat(folder, "O-F2-1")["teams"] == ["O01", "O02"]
    said = tourney("rule", folder, "reopen", read_day(folder).state.rulings[-1].number, *RULED, "--override")
    assert "O-F2-1, Final: drawn for" in said.text and "who belongs in it is open once more" in said.text
    assert any(words.startswith("O-F2-1: don’t hold it") for words in next_step(folder, hands.now).more)
    drilled(tourney, hands, "O-F1-1", {"O01": 5})
    assert tourney("finals", folder).code == 0
    assert heat(folder, "O-F2-1")["teams"] == ["O04", "O02"]
    assert tourney("rule", folder, "no-show", "O04", "--heat", "O-F1-1", *RULED, "--override").code == 0
    assert tourney("finals", folder).code == 0
    assert heat(folder, "O-F1-1")["order"] == ["O01", "O04"] and len(heat(folder, "O-F1-1")["points"]) == 1
    hands.play_finals(tourney)
    assert tourney("verify", folder, "--json").document["sound"]


def test_where_nobody_came_a_person_says_who_goes_on(tourney: Tourney, hands: Hands) -> None:
    """No drill-off is drawn for teams that are not there."""
    folder = hands.folder
    for team in ("O01", "O04"):
        assert tourney("rule", folder, "no-show", team, "--heat", "O-F1-1", *RULED).code == 0
    drilled(tourney, hands, "O-F1-2", {"O03": 4})
    said = tourney("finals", folder)
    assert "did not come. Let those withdraw who go on no more" in said.text and "level" not in said.text
    assert not read_day(folder).plan.drill_offs
    step = next_step(folder, hands.now)
    assert step.state == "finals_nobody_came" and step.words.startswith("--withdraw TEAM")
    said = tourney("finals", folder, "--withdraw", "O01", *RULED)
    assert "Semi-final 1: " in said.text and "wins without a heat" in said.text
    assert tourney("finals", folder, "--withdraw", "O01", *RULED, "--confirm").code == 0
    assert heat(folder, "O-F2-1")["teams"] == ["O04", "O02"]
    assert tourney("finals", folder, "--withdraw", "O04", *RULED, "--confirm").code == 0
    places = {row["team"]: row["place"] for row in read(folder / "results" / "finals.json")["divisions"][0]["places"]}
    assert places["O02"] == 1, "whoever was to meet both moves on"


def test_a_heat_that_is_held_once_more_begins_anew(tourney: Tourney, hands: Hands) -> None:
    """Marks that were corrected, who did not come, totals and a drill-off: all of it was about the first time."""
    folder = hands.folder
    drilled(tourney, hands, "O-F1-1", {"O01": 3, "O04": 3})
    drilled(tourney, hands, "O-F1-2", {"O03": 4})
    assert tourney("finals", folder).code == 0
    drilled(tourney, hands, "O-F1-1-D1", {"O01": 1})
    line = 1 + next(at for at, child in enumerate(read_day(folder).plan.heat["O-F1-1"].line) if child[:3] == "O01")
    words = ("--line", line, "--call", 9, "--to", "clean", *RULED)
    assert tourney("rule", folder, "settle", "O-F1-1", *words).code == 0
    assert tourney("rule", folder, "no-show", "O04", "--heat", "O-F1-1", *RULED).code == 0
    again = ("--replay", "O-F1-1", *RULED)
    assert (
        "O-F1-1 is held once more, with calls that nobody heard; what was ruled about it before"
        in tourney("finals", folder, *again).text
    )
    assert tourney("finals", folder, *again, "--confirm").code == 0
    decisions = read_day(folder).state.decisions
    assert not decisions.settled and not decisions.absent
    shutil.rmtree(folder / "papers" / "finals" / "W10")
    drilled(tourney, hands, "O-F1-1", {"O01": 3, "O04": 3})
    said = tourney("finals", folder)
    assert "are level in O-F1-1. Set 1 is heat O-F1-1-D2" in said.text, said.out
    drilled(tourney, hands, "O-F1-1-D2", {"O01": 1})
    assert tourney("finals", folder).code == 0
    assert heat(folder, "O-F1-1")["winner"] == "O04"
    hands.play_finals(tourney)
    assert tourney("verify", folder, "--json").document["sound"]


def test_typed_points_and_totals_of_the_first_time_are_gone_too(tourney: Tourney, hands: Hands) -> None:
    folder = hands.folder
    (folder / "returned" / "totals.csv").write_text(
        "heat,team,points\nO-F1-1,O01,90\nO-F1-1,O04,90\nO-F1-2,O02,90\nO-F1-2,O03,80\n", encoding="utf-8"
    )
    hands.after()
    assert tourney("collect", folder).code == 0
    assert tourney("finals", folder).code == 0
    assert tourney("finals", folder, "--heat", "O-F1-1", *made({"O01": 3, "O04": 5})).code == 0
    assert heat(folder, "O-F1-1")["winner"] == "O04"
    assert tourney("finals", folder, "--replay", "O-F1-1", *RULED, "--confirm").code == 0
    assert heat(folder, "O-F1-1")["order"] == [] and not read_day(folder).state.decisions.drill_offs
    hands.now += timedelta(minutes=1)
    (folder / "returned" / "again.csv").write_text("heat,team,points\nO-F1-1,O01,70\nO-F1-1,O04,60\n", encoding="utf-8")
    assert tourney("collect", folder).code == 0
    assert tourney("finals", folder).code == 0
    assert heat(folder, "O-F1-1")["winner"] == "O01"


def test_a_heat_whose_teams_are_open_is_not_held_once_more(tourney: Tourney, hands: Hands) -> None:
    folder = hands.folder
    drilled(tourney, hands, "O-F1-1", {"O04": 3})
    drilled(tourney, hands, "O-F1-2", {"O03": 4})
    assert tourney("finals", folder).code == 0
    for team in ("O01", "O04"):
        assert tourney("rule", folder, "no-show", team, "--heat", "O-F1-1", *RULED).code == 0
    said = tourney("finals", folder, "--replay", "O-F2-1", *RULED)
    assert said.code == 1 and "Who belongs in O-F2-1 is open, so it can't be held once more." in said.text
    said = tourney("finals", folder, "--replay", "O-F2-1", "--replay", "O-F1-1", *RULED, "--confirm")
    assert said.code == 1 and "one stage after the other" in said.text


def test_a_heat_that_was_drawn_for_others_and_need_not_be_held_leaves_the_plan(tourney: Tourney, hands: Hands) -> None:
    folder = hands.folder
    drilled(tourney, hands, "O-F1-1", {"O04": 3})
    drilled(tourney, hands, "O-F1-2", {"O03": 4})
    assert tourney("finals", folder).code == 0
    assert set(read_day(folder).plan.heat["O-F2-1"].teams) == {"O01", "O02"}
    assert tourney("rule", folder, "no-show", "O01", "--heat", "O-F1-1", *RULED).code == 0
    assert tourney("finals", folder, "--withdraw", "O04", *RULED, "--confirm").code == 0
    assert "O-F2-1" not in read_day(folder).plan.heat and heat(folder, "O-F2-1")["winner"] == "O02"
    assert "which need not be held" in tourney("record", folder).text
    assert "O-F2-1" not in tourney("collect", folder).text
    assert tourney("verify", folder, "--json").document["sound"]
