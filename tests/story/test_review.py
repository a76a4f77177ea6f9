"""The review of a played day, through the command line: before results are final and after, and carried on."""

import csv
import re
import shutil
from collections.abc import Callable
from datetime import datetime, timedelta
from html import unescape
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from tourney import clock
from tourney.cli import main
from tourney.day.collect import collect
from tourney.day.papers import papers
from tourney.day.plan import plan
from tourney.day.results import standings
from tourney.day.state import read_day
from tourney.draw import Draw
from tourney.model.spent import heard_before, heard_twice, ledger, unheard
from tourney.papers.fill import fill_workbook
from tourney.resources import sample_events
from tourney.simulation.rehearsal import simulate

Tourney = Callable[..., Any]  # the fixture of tests/conftest.py


@pytest.fixture(scope="module")
def played(tmp_path_factory: pytest.TempPathFactory) -> Path:
    into = tmp_path_factory.mktemp("days") / "played"
    done = CliRunner().invoke(main, ["rehearse", str(sample_events() / "small_hall"), "--into", str(into)])
    assert done.exit_code == 0, done.output
    return into


def at(folder: Path, monkeypatch: pytest.MonkeyPatch, minutes: int) -> None:
    """Let it be so many minutes after the last sheet."""
    last = read_day(folder).state.last_sheet
    assert last is not None
    monkeypatch.setattr(clock, "now", lambda: last + timedelta(minutes=minutes))


def files(folder: Path) -> dict[str, bytes]:
    found = sorted((folder / "results" / "review").rglob("*"))
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in found if path.is_file()}


def test_provisional_then_final_then_named_once_finals_are_decided(
    tourney: Tourney, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    folder = Path(shutil.copytree(sample_events() / "small_hall", tmp_path / "day"))
    plan(folder, clock.now())
    papers(folder)
    day = read_day(folder)
    end = day.plan.waves[-1].end
    hand_in(folder, end)
    moment = end
    monkeypatch.setattr(clock, "now", lambda: moment)
    early = tourney("review", folder, "--json").document
    assert (early["state"], early["calls_named"]) == ("provisional", False)
    moment = end + timedelta(minutes=day.plan.event.day.protest_minutes)
    between = tourney("review", folder, "--json").document
    assert (between["state"], between["calls_named"]) == ("final", False)
    assert "Finals are not decided" in tourney("review", folder).text
    rounds_called = {call.say for one in day.called.sets if one.use == "rotation" for call in one.calls}
    for said in (early, between):
        assert not any("call_writer" in name for name in said["files"])
    for name in between["files"]:
        if name.endswith(".html") and "clubs" in name:
            text = re.sub("<[^>]*>", "\n", unescape((folder / name).read_text(encoding="utf-8"))).splitlines()
            assert not {line.strip() for line in text} & rounds_called and "Look these up" not in "".join(text)
    assert tourney("finals", folder).code == 0
    hand_in(folder, moment)
    assert tourney("finals", folder, "--json").code == 0
    after = tourney("review", folder, "--json").document
    assert (after["state"], after["calls_named"]) == ("final", True)
    heard = read_day(folder).plan.heat["O-F1-1"]
    pages = "".join(unescape(path.read_text("utf-8")) for path in (folder / "results/review/clubs").glob("*.html"))
    assert len(re.findall(r"; in finals, \d+ of \d+ more", pages)) == len(heard.line)


def hand_in(folder: Path, now: datetime) -> None:
    """Every sheet of the plan, as judges hand it in after being asked, collected."""
    day = read_day(folder)
    filled = simulate(day.plan, day.called, day.roster, Draw("a test"))
    sheets = {sheet.code: sheet for sheet in (*filled.entries, *filled.corrections)}
    for workbook in sorted((folder / "papers").rglob("judges/*.xlsx")):
        name = "_".join(workbook.relative_to(folder / "papers").parts)
        fill_workbook(workbook, folder / "returned" / name, sheets)
    collect(folder, (), now)


def test_a_played_day_is_reviewed_twice_alike(tourney: Tourney, played: Path) -> None:
    said = tourney("review", played, "--json").document
    assert (said["format"], said["state"], said["clubs"]) == ("tourney-review/1", "final", 4)
    assert said["calls_named"]  # a rehearsal is over once it has been played, though its date is still to come
    written = files(played)
    assert set(said["files"]) == {name for name in written if "/." not in name} and said["kept"] == []
    assert said["summary"] and all((played / name).stat().st_size for name in said["files"])
    assert tourney("review", played).code == 0
    assert files(played) == written  # the same record gives the same files
    shown = tourney("review", played).text
    assert "Reviews of 4 clubs" in shown and "difficulty.csv" in shown


def test_difficulty_is_carried_on_by_item(tourney: Tourney, played: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    at(played, monkeypatch, 60)
    assert tourney("review", played).code == 0
    table = (played / "results" / "review" / "call_writer" / "difficulty.csv").read_text(encoding="utf-8")
    rows = {row["item"]: row for row in csv.DictReader(table.splitlines())}
    day = read_day(played)
    heard = {call.item for heat in day.plan.heats for call in day.book.set[heat.call_set].calls}
    assert len(rows) == 66 and {key for key, row in rows.items() if int(row["heard"])} == heard
    assert float(rows["PSA"]["difficulty"]) < float(rows["PHM"]["difficulty"])


def test_the_next_event_draws_by_what_was_measured(
    tourney: Tourney, played: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    at(played, monkeypatch, 60)
    assert tourney("review", played).code == 0
    monkeypatch.undo()
    books = {}
    for name in ("as expected", "as measured"):
        folder = tmp_path / name
        shutil.copytree(sample_events() / "small_hall", folder)
        (folder / "draw_secret.txt").write_text("one secret for both\n", encoding="utf-8")
        if name == "as measured":
            shutil.copy(played / "results" / "review" / "call_writer" / "difficulty.csv", folder)
        said = tourney("check", folder)
        assert said.code == 0
        assert ("Difficulties of 66 items are those of difficulty.csv" in said.text) == (name == "as measured")
        assert tourney("plan", folder).code == 0
        books[name] = read_day(folder).book
    with (tmp_path / "as measured" / "difficulty.csv").open(encoding="utf-8") as table:
        measured = {row["item"]: float(row["difficulty"]) for row in csv.DictReader(table)}
    for one in books["as measured"].sets:
        for call in one.calls:
            assert call.difficulty == pytest.approx(measured[call.item], abs=6e-4)  # calls keep thousandths of a bit
    called = [[[call.item for call in one.calls] for one in book.sets] for book in books.values()]
    assert called[0] != called[1]


def test_each_club_is_told_what_would_have_changed_its_place(
    tourney: Tourney, played: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    at(played, monkeypatch, 60)
    assert tourney("review", played).code == 0 and tourney("results", played).code == 0
    day, clubs = read_day(played), played / "results" / "review" / "clubs"
    pages = [unescape(path.read_text(encoding="utf-8")) for path in sorted(clubs.glob("*.html"))]
    told = 0
    for division in standings(day, clock.now()).divisions:
        for row in division.teams:
            mine = [page for page in pages if f"{row.change}</p>" in re.sub("</?bdi>", "", page)]
            assert not row.change or any(day.plan.team[row.team].name in page for page in mine), row
            told += bool(row.change)
    assert told >= 3


def test_nobody_hears_a_call_set_twice_not_in_finals_either(
    tourney: Tourney, played: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    day = read_day(played)
    assert day.finals, "the day had finals"
    start = {wave.id: wave.start for wave in day.plan.waves}
    for heat in day.plan.heats:
        earlier = {other.id for other in day.plan.heats if start[other.wave] < start[heat.wave]}
        before = [one for one in day.spent if one.heat in earlier]
        assert before or heat.round == 1
        assert heard_before(heat.call_set, heat.line, before) == ()
    clean, use = unheard(day.book, day.spent), {one.id: one.use for one in day.book.sets}
    assert {use[key] for key in clean} >= {"drill_off", "reserve"}, (
        "a drill-off or a heat held anew has sets of its own"
    )
    assert not set(clean) & {heat.call_set for heat in day.plan.heats}
    at(played, monkeypatch, 60)
    assert tourney("review", played).code == 0
    page = (played / "results" / "review" / "call_writer" / "who_heard_what.html").read_text(encoding="utf-8")
    assert "No child heard a call set in two heats" in page
    assert all(
        f'<td class="strong">{key}</td>' in page for key in {*clean, *(heat.call_set for heat in day.plan.heats)}
    )
    assert not [one.name for one in day.roster.contestants if one.name in page]


def test_what_a_coach_wrote_stays(tourney: Tourney, played: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    at(played, monkeypatch, 60)
    first = next(name for name in tourney("review", played, "--json").document["files"] if name.endswith(".html"))
    (played / first).write_text("my own notes", encoding="utf-8")
    said = tourney("review", played, "--json").document
    assert (played / first).read_text(encoding="utf-8") == "my own notes"
    assert said["kept"] == [first] and first.replace(".html", " (2).html") in said["files"]
    (played / first).unlink()


def test_without_a_sheet_there_is_nothing_to_review(tourney: Tourney, played: Path, tmp_path: Path) -> None:
    for name in ("event.toml", "event.xlsx", "officials.xlsx", "draw_secret.txt"):
        if (played / name).exists():
            (tmp_path / name).write_bytes((played / name).read_bytes())
    (tmp_path / "entries").mkdir()
    for path in (played / "entries").iterdir():
        (tmp_path / "entries" / path.name).write_bytes(path.read_bytes())
    assert tourney("plan", tmp_path).code == 0
    said = tourney("review", tmp_path)
    assert said.code == 1 and "No score sheet is in yet" in said.text and "tourney collect" in said.text
    assert not (tmp_path / "results" / "review").exists()


def test_a_final_that_is_held_once_more_was_heard_both_times(tourney: Tourney, played: Path, tmp_path: Path) -> None:
    folder = Path(shutil.copytree(played, tmp_path / "again"))
    line = read_day(folder).plan.heat["O-F1-1"].line
    asked = ("--replay", "O-F1-1", "--by", "Ada Wren", "--why", "a fire alarm", "--confirm")
    assert tourney("finals", folder, *asked).code == 0
    spent = read_day(folder).spent
    heard = {row.contestant: row.sets for row in ledger(spent)}
    assert all(heard[child][-2:] == ("O-FINAL-1", "O-FINAL-2") for child in line) and heard_twice(spent) == ()
