"""Rulings on a played day, through the command line: what they change, and that they can be taken back."""

import json
import sqlite3
from collections.abc import Callable
from contextlib import closing
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook

from tourney import clock
from tourney.model.sheet_layout import sheet_code
from tourney.record.journal import Journal
from tourney.record.state import fold

Tourney = Callable[..., Any]  # the fixture of tests/conftest.py
WHO = ("--by", "Ada Wren", "--why", "she was beside it")


def read(path: Path) -> Any:
    return json.loads(path.read_text(encoding="utf-8"))


@pytest.fixture
def heat(played: Path) -> Any:
    """The first heat of the plan."""
    return read(played / "plan.json")["heats"][0]


def standing(folder: Path, tourney: Tourney) -> Any:
    """Both standings of the only division at the day's end, without what is open."""
    document = tourney("results", folder, "--as-of", "23:59", "--json").document
    return document["divisions"]


def clean_call(folder: Path, heat: Any, line: int) -> int:
    """A call in which no judge of the heat found a fault in this line."""
    with Journal.open(folder / "record.sqlite") as journal:
        sheets = [sheet for sheet in fold(journal.rows()).sheets if sheet.heat == heat["id"]]
    marked = {mark.call for sheet in sheets for mark in sheet.marks if mark.line == line}
    return next(call for call in range(1, 17) if call not in marked)


def test_each_kind_of_ruling_and_back_again(tourney: Tourney, played: Path, heat: Any) -> None:
    line, code = heat["line"], sheet_code(heat["id"], 1)
    team = next(team for team in read(played / "plan.json")["teams"] if line[0] in team["members"])
    free = [child for child in team["members"] if child not in line]
    before = standing(played, tourney)
    asked: list[tuple[object, ...]] = [
        ("correct", code.lower(), "--line", 1, "--call", clean_call(played, heat, 1), "--to", "l,w"),
        ("settle", heat["id"], "--line", 2, "--call", clean_call(played, heat, 2), "--to", "LW"),
        ("swap", heat["id"], "--line", 1, "--with", 4),
        ("no-show", line[1], "--heat", heat["id"]),
        ("no-show", team["id"]),
        ("void", "--wave", heat["wave"], "--call", 4, "--heat", heat["id"]),
        ("disqualify", line[2]),
        ("disqualify", team["id"]),
        *([("substitute", heat["id"], "--line", 1, "--contestant", free[0])] if free else []),
    ]
    for words in asked:
        said = tourney("rule", played, *words, *WHO, "--json")
        assert said.code == 0, said.out
        document = said.document
        assert (document["format"], document["by"], document["why"]) == ("tourney-ruling/1", "Ada Wren", WHO[3])
        assert document["changes"] and standing(played, tourney) != before, words
        back = tourney("rule", played, "reopen", document["row"], *WHO)
        assert back.code == 0 and "taken back" in back.text
        assert standing(played, tourney) == before
    assert tourney("results", played).code == 0
    book = load_workbook(played / "results" / "results.xlsx")
    decided = [row[2].value for row in book["Corrections"].iter_rows(min_row=5)]
    assert len(decided) == 2 * len(asked) and f"{team['id']} is disqualified." in decided


def test_the_places_that_change_are_shown(tourney: Tourney, played: Path) -> None:
    first = standing(played, tourney)[0]["teams"][0]["team"]
    said = tourney("rule", played, "disqualify", first, *WHO)
    assert said.code == 0 and f"{first} is disqualified." in said.text
    assert "1 -> none" in said.text and "2 -> 1" in said.text
    assert f"Disqualified: {first}" in tourney("results", played).text


def test_a_preview_says_the_same_and_records_nothing(tourney: Tourney, played: Path) -> None:
    first = standing(played, tourney)[0]["teams"][0]["team"]
    before = (played / "record.sqlite").read_bytes()
    said = tourney("rule", played, "disqualify", first, *WHO, "--preview")
    assert said.code == 0 and "1 -> none" in said.text and "nothing is recorded" in said.text
    shown = tourney("rule", played, "disqualify", first, *WHO, "--preview", "--json").document
    assert (played / "record.sqlite").read_bytes() == before
    ruled = tourney("rule", played, "disqualify", first, *WHO, "--json").document
    for document in (shown, ruled):
        document.pop("at")
    assert (shown.pop("preview"), ruled.pop("preview")) == (True, False)
    assert shown == ruled and shown["changes"]


def test_every_open_matter_names_the_line_that_settles_it(tourney: Tourney, played: Path, heat: Any) -> None:
    """Sheets lost, unreadable and keyed twice: what is printed is typed, and the matters are closed."""
    code = sheet_code(heat["id"], 1)
    with closing(sqlite3.connect(played / "record.sqlite")) as raw, raw:
        raw.execute("DELETE FROM journal WHERE seq > 1")
    book = load_workbook(played / "returned" / "Small_Hall first.xlsx")
    sheet = next(page for page in book.worksheets if page["A1"].value.split("|")[1] == code)
    row = next(row for row in range(1, 20) if str(sheet.cell(row, 1).value).startswith("line 1 "))
    sheet.cell(row, 4).value = "L"
    for page in book.worksheets:
        if page is not sheet:
            page["A1"].value = ""
    book.save(played / "first.xlsx")
    sheet.cell(row, 4).value = "W"
    sheet.cell(row, 5).value = "Q"
    book.save(played / "second.xlsx")
    assert tourney("collect", played, played / "first.xlsx").code == 0
    twice = tourney("collect", played, played / "second.xlsx")
    wanted = f"tourney rule {played} settle {code} --version 2 --by NAME --why REASON"
    assert wanted.replace(" ", "") in twice.text.replace(" ", "")
    assert tourney("rule", played, "settle", code, "--version", 2, *WHO).code == 0
    open_now = tourney("results", played, "--json").document["open_matters"]
    mine = [matter for matter in open_now if matter["heat"] == heat["id"] and matter["rulings"]]
    assert {matter["kind"] for matter in mine} == {"missing_sheet", "open_cell"}
    said = tourney("results", played).text.replace(" ", "")
    for matter in mine:
        for words in matter["rulings"]:
            line = f"tourney rule {played} {words} --by NAME --why REASON"
            assert line.replace(" ", "") in said
            done = tourney("rule", played, *words.replace("LETTERS", "clean").split(), *WHO)
            assert done.code == 0, done.out
    left = tourney("results", played, "--json").document["open_matters"]
    assert not [matter for matter in left if matter["heat"] == heat["id"] and matter["rulings"]]


def test_a_reserve_call_is_judged_anew_on_the_same_sheets(tourney: Tourney, played: Path, heat: Any) -> None:
    calls = {found["id"]: found for found in read(played / "calls.json")["sets"]}[heat["call_set"]]
    number = next(
        call["no"] for call in calls["calls"] for spare in calls["reserves"]
        if spare["section"] == call["section"] and abs(spare["difficulty"] - call["difficulty"]) <= 1
    )  # fmt: skip
    void = ("void", "--wave", heat["wave"], "--heat", heat["id"], "--call", number)
    said = tourney("rule", played, *void, *WHO, "--json").document
    assert said["ruling"]["reserve"] and said["ruling"]["heats"] == [heat["id"]]
    assert said["waiting"] == [sheet_code(heat["id"], judge) for judge in (1, 2)]
    assert said["state"] == "provisional"
    again = tourney("rule", played, *void, "--rejudged", *WHO, "--json").document
    assert again["ruling"]["reserve"] == said["ruling"]["reserve"] and again["waiting"] == []


def test_after_the_protests_only_with_an_override(
    tourney: Tourney, played: Path, heat: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    end = datetime.fromisoformat(read(played / "plan.json")["waves"][-1]["start"]) + timedelta(hours=2)
    monkeypatch.setattr(clock, "now", lambda: end)
    ask = ("correct", sheet_code(heat["id"], 1), "--line", 1, "--call", 1, "--to", "LS", *WHO)
    said = tourney("rule", played, *ask)
    assert said.code == 1 and "The time for protests ended at" in said.text and "--override" in said.text
    started = tourney("rule", played, "started", "--wave", "w01", "--at", "9:04", *WHO)
    assert started.code == 0 and "Wave W01 started at 09:04" in started.text
    said = tourney("rule", played, *ask, "--override", "--json")
    assert said.code == 0 and said.document["why"].endswith("(after the time for protests)")


def test_results_as_of_a_moment_write_nothing(tourney: Tourney, played: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    plan = read(played / "plan.json")
    end = datetime.fromisoformat(plan["waves"][-1]["start"]) + timedelta(minutes=plan["waves"][-1]["minutes"])
    before, files = standing(played, tourney), {path: path.read_bytes() for path in (played / "results").iterdir()}
    monkeypatch.setattr(clock, "now", lambda: end + timedelta(minutes=12))
    assert tourney("rule", played, "disqualify", before[0]["teams"][0]["team"], *WHO).code == 0
    moments = {minutes: f"{end + timedelta(minutes=minutes):%H:%M}" for minutes in (1, 11, 13)}
    found = {minutes: tourney("results", played, "--as-of", at, "--json").document for minutes, at in moments.items()}
    assert len(found[1]["open_matters"]) >= 18 and found[1]["state"] == "provisional", "no sheet was in"
    assert found[11]["divisions"] == before
    assert found[13]["divisions"] != before
    assert {path: path.read_bytes() for path in (played / "results").iterdir()} == files
    said = tourney("results", played, "--as-of", moments[11])
    assert f"Results at {moments[11]}" in said.text and "Written" not in said.text


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (("correct", "X-R1-1.A.A", "--line", 1, "--call", 1, "--to", "L"), "No sheet has the code X-R1-1.A.A"),
        (("settle", "{heat}", "--line", 99, "--call", 1, "--to", "L"), "There is no line 99"),
        (("settle", "{heat}", "--line", 1, "--call", 99, "--to", "L"), "There is no call 99"),
        (("settle", "{heat}", "--line", 1, "--call", 1, "--to", "Q"), '"Q" is no mark'),
        (("settle", "{code}", "--version", 2), "came in once"),
        (("settle", "{code}", "--lost"), "it is not lost"),
        (("swap", "{heat}", "--line", 1, "--with", 1), "two different line numbers"),
        (("swap", "J-R9-9", "--line", 1, "--with", 2), "There is no heat J-R9-9"),
        (("substitute", "{heat}", "--line", 1, "--contestant", "{last}"), "is not of"),
        (("no-show", "Z99"), "There is no team and no contestant Z99"),
        (("void", "--wave", "W99", "--call", 1), "There is no wave W99"),
        (("void", "--wave", "W01", "--call", 99), "There is no call 99"),
        (("void", "--wave", "W02", "--call", 1, "--heat", "{heat}"), "is not a heat of wave"),
        (("reopen", 1), "is no ruling that can be taken back"),
        (("disqualify", "{last}", "--by", " "), "who decided it and why"),
    ],
)
def test_what_does_not_fit_is_refused_in_words(
    tourney: Tourney, rehearsed: Path, words: tuple[object, ...], sentence: str
) -> None:
    heat = read(rehearsed / "plan.json")["heats"][0]
    names = {"heat": heat["id"], "code": sheet_code(heat["id"], 1), "last": heat["line"][-1]}
    before = (rehearsed / "record.sqlite").read_bytes()
    said = tourney("rule", rehearsed, *(str(word).format(**names) for word in (words[0], *WHO, *words[1:])))
    assert said.code == 1 and sentence in said.text, said.out
    assert "Nothing was written" in said.text and (rehearsed / "record.sqlite").read_bytes() == before


def test_a_late_start_shows_from_then_on(tourney: Tourney, played: Path) -> None:
    start = datetime.fromisoformat(read(played / "plan.json")["waves"][1]["start"])
    late = f"{start + timedelta(minutes=7):%H:%M}"
    said = tourney("rule", played, "started", "--wave", "W02", "--at", late, *WHO)
    assert said.code == 0 and "The day is 7 min behind." in said.text
    for command in ("collect", "results"):
        assert "The day is 7 min behind." in tourney(command, played).text


def test_a_lost_sheet_is_no_longer_missing(tourney: Tourney, played: Path, heat: Any) -> None:
    with closing(sqlite3.connect(played / "record.sqlite")) as raw, raw:
        raw.execute("DELETE FROM journal WHERE seq > 1")
    code = sheet_code(heat["id"], 1)
    (played / "returned").rename(played / "kept elsewhere")
    (played / "returned").mkdir()
    assert code in tourney("collect", played, "--json").document["missing"]
    assert tourney("rule", played, "settle", code, "--lost", *WHO).code == 0
    assert code not in tourney("collect", played, "--json").document["missing"]


def test_wrong_usage(tourney: Tourney, played: Path) -> None:
    assert tourney("rule", played).code == 2
    assert tourney("rule", played, "settle", "J-R1-1", *WHO).code == 2
    assert tourney("rule", played, "started", "--wave", "W01", "--at", "9.04", *WHO).code == 2
    assert tourney("rule", played, "disqualify", "O01", "--by", "Ada").code == 2
