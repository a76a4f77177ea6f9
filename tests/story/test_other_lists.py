"""Days of other lists than the 66 books: a seed catalogue, and an order of 73 books."""

import csv
import json
import re
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import usfm_references

from tourney.canon.syllabus import built_in
from tourney.resources import sample_events

Tourney = Callable[..., Any]  # the fixture of tests/conftest.py


def read(path: Path) -> Any:
    return json.loads(path.read_text(encoding="utf-8"))


# --- a list that has nothing to do with scripture ---


@pytest.fixture(scope="module")
def garden(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return Path(shutil.copytree(sample_events() / "garden_catalogue", tmp_path_factory.mktemp("garden") / "day"))


def test_a_day_with_a_seed_catalogue(tourney: Tourney, garden: Path, tmp_path: Path) -> None:
    into = tmp_path / "played"
    said = tourney("rehearse", garden, "--into", into)
    assert said.code == 0, said.out
    plan, calls = read(into / "plan.json"), read(into / "calls.json")
    assert all(line["ok"] for line in plan["fairness"])
    drawn = [call for found in calls["sets"] for call in found["calls"]]
    assert {call["kind"] for call in drawn} == {"book", "reference", "story", "finish"}
    for call in drawn:
        assert len(call["answer"]) == {"book": 3, "reference": 1, "story": 1, "finish": 2}[call["kind"]]
    kept_back = {row["id"] for row in rows(garden / "syllabus.csv") if row["divisions"] == "Growers"}
    seedlings = {call["item"] for found in calls["sets"] if found["division"] == "Seedlings" for call in found["calls"]}
    assert kept_back and seedlings.isdisjoint(kept_back)
    assert [found["id"] for found in calls["sets"] if found["use"] == "reserve"] == [
        "S-RESERVE-1",
        "G-RESERVE-1",
        "G-RESERVE-2",
    ]
    knockout = {one["division"]: one for one in read(into / "results" / "finals.json")["divisions"]}["Growers"]
    assert [heat["name"] for heat in knockout["heats"]] == ["Semi-final 1", "Semi-final 2", "Final"]
    assert [row["place"] for row in knockout["places"]] == [1, 2, 3, 3]
    verified = {line["name"]: line for line in tourney("verify", into, "--json").document["lines"]}
    assert verified["calls_follow_from_words_and_secret"]["status"] == "kept"
    assert verified["call_sets_drawn_on_the_day"]["worst"] == "G-FINAL-2"
    assert verified["sections_in_like_order"]["status"] == "kept", "nor is the second of the finals like the first"
    pages = [re.sub(r"<style>.*?</style>|<[^>]*>", " ", page.read_text(encoding="utf-8"), flags=re.DOTALL)
             for page in sorted((into / "papers").rglob("*.html"))]  # fmt: skip
    assert pages
    for text in [*pages, said.out]:
        assert not re.search(r"bible|scripture|verse|chapter|\bbooks?\b", text, re.IGNORECASE)


def test_the_rules_of_a_catalogue_speak_of_no_bible(tourney: Tourney, garden: Path) -> None:
    said = tourney("check", garden)
    assert said.code == 0
    assert not re.search(r"bible|scripture|verse|\bbooks?\b", said.text, re.IGNORECASE)
    assert "2 whole call sets are kept in reserve." in said.text


# --- 73 books ---

# The further books of the wider canon, with the book that each follows; the order of common printed editions, from
# memory. Identifiers: USFM 3.1.
FURTHER = {
    "TOB": ("Tobit", "Tobias", "history", "NEH"),
    "JDT": ("Judith", "", "history", "TOB"),
    "1MA": ("1 Maccabees", "", "history", "EST"),
    "2MA": ("2 Maccabees", "", "history", "1MA"),
    "WIS": ("Wisdom", "Wisdom of Solomon", "poetry", "SNG"),
    "SIR": ("Sirach", "Ecclesiasticus; Ben Sira", "poetry", "WIS"),
    "BAR": ("Baruch", "", "major_prophets", "LAM"),
}
HEADER = ("id", "name", "other_names", "section", "position")


def rows(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as handle:
        return list(csv.DictReader(handle))


def order_of_73() -> list[tuple[str, ...]]:
    books = [(item.id, item.name, ";".join(item.other_names), item.section) for item in built_in().items]
    for key, (name, others, section, before) in FURTHER.items():
        books.insert(1 + [book[0] for book in books].index(before), (key, name, others, section))
    return [(*book, str(place)) for place, book in enumerate(books, 1)]


@pytest.fixture
def wider(tmp_path: Path) -> Path:
    """The small sample with a list of 73 books."""
    folder = Path(shutil.copytree(sample_events() / "small_hall", tmp_path / "wider"))
    with (folder / "syllabus.csv").open("w", encoding="utf-8", newline="") as handle:
        csv.writer(handle).writerows([HEADER, *order_of_73()])
    return folder


def called(folder: Path) -> dict[str, Any]:
    """A call of each item that is called anywhere."""
    return {call["item"]: call for found in read(folder / "calls.json")["sets"] for call in found["calls"]}


def test_73_books_with_their_own_neighbours(tourney: Tourney, wider: Path) -> None:
    assert len(order_of_73()) == 73 and set(FURTHER) <= set(usfm_references.BOOKS)
    assert tourney("plan", wider).code == 0
    found = called(wider)
    names = {row[0]: row[1] for row in order_of_73()}
    order = ["none", *names.values(), "none"]
    for key, call in found.items():
        place = order.index(names[key])
        assert call["answer"] == order[place - 1 : place + 2]
    assert found["TOB"]["answer"] == ["Nehemiah", "Tobit", "Judith"]
    assert len(set(found) & set(FURTHER)) > 4


def test_a_book_of_two_names_is_one_item(tourney: Tourney, wider: Path) -> None:
    assert tourney("plan", wider).code == 0
    sirach = called(wider)["SIR"]
    assert sirach["say"] == "Sirach" and {"Ecclesiasticus", "Ben Sira"} <= set(sirach["also"])
    with (wider / "syllabus.csv").open("a", encoding="utf-8", newline="") as handle:
        csv.writer(handle).writerow(("ECU", "Ecclesiasticus", "", "poetry", "74"))
    said = tourney("check", wider)
    assert said.code == 1 and "Ecclesiasticus is a name of two items." in said.text


@pytest.mark.parametrize("first_last", ["call", "leave_out"])
def test_the_first_and_the_last_book_follow_the_rule(tourney: Tourney, wider: Path, first_last: str) -> None:
    settings = wider / "event.toml"
    settings.write_text(settings.read_text(encoding="utf-8") + f'first_last = "{first_last}"\n', encoding="utf-8")
    assert tourney("plan", wider).code == 0
    found = called(wider)
    if first_last == "call":
        assert found["GEN"]["answer"] == ["none", "Genesis", "Exodus"]
        assert found["REV"]["answer"] == ["Jude", "Revelation", "none"]
    else:
        assert not {"GEN", "REV"} & set(found)
        assert found["EXO"]["answer"] == ["Genesis", "Exodus", "Leviticus"]
