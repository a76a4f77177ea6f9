"""Days that go wrong, played through the command line and real files: what was printed, what comes in, what counts."""

import json
import shutil
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from tourney import clock
from tourney.day.papers import papers
from tourney.day.plan import plan
from tourney.day.state import read_day
from tourney.draw import Draw
from tourney.papers.fill import fill_workbook
from tourney.simulation.rehearsal import simulate

Tourney = Callable[..., Any]  # the fixture of tests/conftest.py

SETTINGS = """
[event]
name = "Three Barns Morning"
date = 2027-05-08
timezone = "Europe/Oslo"
start = "09:00"
draw_words = "a rope, a ladder and six swallows"

[day]
pauses = [{ after_wave = 4, minutes = 20, label = "Juice" }]

[[rooms]]
name = "Oat Barn"
[[rooms]]
name = "Rye Barn"
[[rooms]]
name = "Hay Loft"
line_limit = 10

[[divisions]]
name = "Open"
ages = [9, 13]
rounds = 3
judges = 1
timekeeper = "caller"
"""
CLUBS = ("Alderfen", "Bruntmoor", "Corrieholt", "Dunnagarth")
FIRST = ("Ada", "Bo", "Cai", "Dov", "Eli", "Fay", "Gus", "Hal", "Ina", "Jo", "Kit", "Liv")
HELPERS = ("Ulla", "Viggo", "Wilma", "Xeno", "Yrsa", "Zeno", "Agda", "Birk", "Caja", "Didrik")
HEAD = "club,team,division,name,birth_date"


def read(path: Path) -> Any:
    return json.loads(path.read_text(encoding="utf-8"))


def entry(club: str, team: str, children: tuple[str, ...], year: int) -> list[str]:
    return [f"{club},{team},Open,{first} {team.split()[0]}son,{year}-03-1{n}" for n, first in enumerate(children)]


@pytest.fixture(scope="module")
def printed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Eight teams of four clubs, three rounds, three rooms: planned and printed."""
    folder = tmp_path_factory.mktemp("barns") / "three barns"
    (folder / "entries").mkdir(parents=True)
    (folder / "event.toml").write_text(SETTINGS, encoding="utf-8")
    (folder / "draw_secret.txt").write_text("a secret of this test\n", encoding="utf-8")
    for n, club in enumerate(CLUBS):
        larks, wrens = FIRST[:3], FIRST[3 + n : 6 + n]
        rows = [HEAD, *entry(club, f"{club} Larks", larks, 2015), *entry(club, f"{club} Wrens", wrens, 2016)]
        (folder / "entries" / f"{club}.csv").write_text("\n".join(rows) + "\n", encoding="utf-8")
    people = [f"{name} Tarnholt,judge;caller,{CLUBS[n] if n < 2 else ''},2028-01-01" for n, name in enumerate(HELPERS)]
    text = "\n".join(["name,roles,clubs,cleared_until", *people]) + "\n"
    (folder / "officials.csv").write_text(text, encoding="utf-8")
    plan(folder, datetime(2027, 5, 1, tzinfo=UTC))
    papers(folder)
    return folder


@pytest.fixture
def day(printed: Path, tmp_path: Path) -> Path:
    """The day before anything goes wrong."""
    return Path(shutil.copytree(printed, tmp_path / "barns"))


def fill(folder: Path, printed: Path, heats: set[str], name: str) -> None:
    """Judges fill the sheets of these heats in the workbooks of `papers`, and drop them into returned/."""
    known = read_day(folder)
    played = simulate(known.plan, known.called, known.roster, Draw("a test"))
    entries = {
        sheet.code: sheet for sheet in (*played.entries, *played.corrections) if sheet.code.split(".")[0] in heats
    }
    for workbook in sorted((printed / "judges").glob("*.xlsx")):
        fill_workbook(workbook, folder / "returned" / f"{name} {workbook.name}", entries)


def heats_before(day: Any, clock: str) -> set[str]:
    begun = {wave["id"] for wave in day["waves"] if wave["start"][11:16] <= clock}
    return {heat["id"] for heat in day["heats"] if heat["wave"] in begun}


def play_on(tourney: Tourney, folder: Path, at: str, *what: object) -> tuple[Any, Any]:
    """Play until `at`, replan, print, play the rest with whatever papers hold; the replan's document and the results.

    Old sheets are used wherever nothing says that they must be printed anew.
    """
    before = read(folder / "plan.json")
    early = heats_before(before, at)
    fill(folder, folder / "papers", early, "morning")
    assert tourney("collect", folder).code == 0
    preview = tourney("replan", folder, *what, "--at", at, "--json")
    assert preview.code == 0, preview.out
    assert not preview.document["confirmed"] and read(folder / "plan.json") == before
    old = Path(shutil.copytree(folder / "papers", folder.parent / "old papers"))
    said = tourney("replan", folder, *what, "--at", at, "--confirm", "--json").document
    assert {**preview.document, "confirmed": True} == said
    assert all(need["made"] >= need["bound"] for need in said["bound"])
    after = read(folder / "plan.json")
    assert after["revision"] == 2 == said["revision"]
    assert {heat["id"]: heat for heat in after["heats"] if heat["id"] in early} == {
        heat["id"]: heat for heat in before["heats"] if heat["id"] in early
    }
    assert tourney("verify", folder).code == 0
    assert tourney("papers", folder).code == 0
    for paper in said["reprint"]:
        assert (folder / "papers" / paper["file"]).exists(), paper
    anew = {paper["of"] for paper in said["reprint"] if paper["paper"] == "score sheets" and paper["needed"]}
    rest = {heat["id"] for heat in after["heats"]} - early
    fill(folder, old, rest - anew, "old")
    fill(folder, folder / "papers", anew, "new")
    taken = tourney("collect", folder, "--json").document
    assert taken["refused"] == 0 and taken["missing"] == [], taken
    results = tourney("results", folder, "--json").document
    assert not {matter["kind"] for matter in results["open_matters"]} & {
        "missing_sheet",
        "outdated_sheet",
        "not_judged",
    }
    assert tourney("plan", folder).code == 1  # sheets came in: the plan stands
    return said, results


def standing(results: Any, team: str) -> Any:
    (division,) = results["divisions"]
    return next(row for row in division["teams"] if row["team"] == team)


def test_an_absent_team(tourney: Tourney, day: Path) -> None:
    said, results = play_on(tourney, day, "09:30", "--absent", "alderfen larks")
    assert said["moved"] == [] and not any(paper["needed"] for paper in said["reprint"] if "sheet" in paper["paper"] and
                                           paper["paper"] != "door sheet")  # fmt: skip
    assert standing(results, "O01")["available"] == 16 * 10 * 3  # one round of three
    assert standing(results, "O02")["available"] == 3 * 16 * 10 * 3


def test_a_lost_room(tourney: Tourney, day: Path) -> None:
    before = read(day / "plan.json")
    said, _ = play_on(tourney, day, "09:00", "--room-lost", "Oat Barn")
    late = heats_before(before, "23:59") - heats_before(before, "09:00")
    lost = {heat["id"] for heat in before["heats"] if heat["room"] == "Oat Barn"} & late
    assert {move["heat"] for move in said["moved"]} == lost
    counts = {need["must"]: (need["bound"], need["made"]) for need in said["bound"]}
    assert counts["heats must move"] == (len(lost), len(lost))
    # What was printed for a heat that hears other calls now is refused by name.
    anew = {paper["of"] for paper in said["reprint"] if paper["paper"] == "score sheets"}
    fill(day, day.parent / "old papers", anew, "forgotten")
    taken = tourney("collect", day, "--json").document
    refused = [note["message"] for sheet in taken["sheets"] if sheet["state"] == "refused" for note in sheet["notes"]]
    assert anew and len(refused) == len(anew)
    assert all("hears other calls" in message for message in refused)


def test_an_official_out(tourney: Tourney, day: Path) -> None:
    before = read(day / "plan.json")
    person = before["heats"][-1]["judges"][0]
    name = next(official["name"] for official in before["officials"] if official["id"] == person)
    said, _ = play_on(tourney, day, "09:30", "--official-out", name)
    (need,) = said["bound"]
    assert need["made"] == need["bound"] == len(said["options"]) > 0
    later = {heat["id"] for heat in before["heats"]} - heats_before(before, "09:30")
    for heat in read(day / "plan.json")["heats"]:
        assert heat["id"] not in later or person not in (*heat["judges"], heat["caller"])
    assert {paper["paper"] for paper in said["reprint"]} == {"officials' itineraries"}


def test_a_leaked_set(tourney: Tourney, day: Path) -> None:
    before = read(day / "plan.json")
    leaked = before["heats"][-1]["call_set"]
    said, _ = play_on(tourney, day, "09:30", "--leaked", leaked)
    hit = {heat["id"] for heat in before["heats"] if heat["call_set"] == leaked}
    assert {paper["of"] for paper in said["reprint"]} == hit
    assert {paper["paper"] for paper in said["reprint"]} == {"score sheets", "script"}
    assert leaked not in (day / "calls.json").read_text(encoding="utf-8").replace(f"{leaked}-2", "")


def test_two_rooms_lost_and_a_leaked_set_at_once(tourney: Tourney, day: Path) -> None:
    """Heats move into waves more, with sets of their own, while another set is replaced."""
    before, calls = read(day / "plan.json"), read(day / "calls.json")
    leaked = before["heats"][-1]["call_set"]
    rooms = ("--room-lost", "Oat Barn", "--room-lost", "Rye Barn")
    said, _ = play_on(tourney, day, "09:30", *rooms, "--leaked", leaked)
    after, sets = read(day / "plan.json"), read(day / "calls.json")
    waves = {wave["id"] for wave in before["waves"]}
    assert {wave["id"] for wave in after["waves"]} - waves
    counts = {need["must"]: (need["bound"], need["made"]) for need in said["bound"]}
    late = {heat["id"] for heat in before["heats"]} - heats_before(before, "09:30")
    lost = {heat["id"] for heat in before["heats"] if heat["room"] in ("Oat Barn", "Rye Barn")} & late
    assert counts["heats must move"] == (len(lost), len(lost)) and {move["heat"] for move in said["moved"]} == lost
    known = {one["id"]: one for one in calls["sets"]}
    heard = {heat["call_set"] for heat in after["heats"]}
    assert leaked not in heard and leaked not in {one["id"] for one in sets["sets"]}
    # Every set is heard in one wave, and those that were sealed before have the calls that they had.
    assert len({(heat["call_set"], heat["wave"]) for heat in after["heats"]}) == len(heard)
    assert all(one["calls"] == known[one["id"]]["calls"] for one in sets["sets"] if one["id"] in known)
    for one in sets["sets"]:
        if one["id"] in heard - set(known):
            now = {call["item"] for call in one["calls"]}
            assert len(now & {call["item"] for call in known[leaked]["calls"]}) <= len(now) // 2


def test_a_delay_and_fewer_calls(tourney: Tourney, day: Path) -> None:
    said, results = play_on(tourney, day, "09:30", "--delay", "20", "--fewer-calls", "8", "--round", "3")
    assert "score sheets" not in {paper["paper"] for paper in said["reprint"]}
    assert "script" in {paper["paper"] for paper in said["reprint"]}
    for team in range(1, 9):  # all alike: two rounds of sixteen calls, one of eight
        assert standing(results, f"O0{team}")["available"] == (16 + 16 + 8) * 10 * 3
    assert len(said["waves"]) == len(read(day / "plan.json")["waves"]) - 2


def test_a_late_team(tourney: Tourney, day: Path, tmp_path: Path) -> None:
    late = tmp_path / "late.csv"
    late.write_text(
        "\n".join([HEAD, *entry("Quillmere", "Quillmere Finches", ("Mo", "Ned", "Oda"), 2015)]) + "\n", "utf-8"
    )
    known = tourney("replan", day, "--late-team", day / "entries" / "Alderfen.csv", "--at", "09:00")
    assert known.code == 1 and "in the plan already" in known.text
    said, results = play_on(tourney, day, "09:00", "--late-team", late)
    (need,) = said["bound"]
    assert (need["bound"], need["made"]) == (3, 3)
    (option,) = said["options"]
    assert [choice["chosen"] for choice in option["choices"]] == [True, False]
    assert (day / "entries" / "late.csv").exists()
    assert standing(results, "O09")["available"] == 3 * 16 * 10 * 3


def test_a_child_who_leaves(tourney: Tourney, day: Path) -> None:
    said, results = play_on(tourney, day, "09:30", "--contestant-out", "O03-2")
    assert not any(paper["needed"] for paper in said["reprint"] if paper["paper"] == "score sheets")
    children = {row["contestant"]: row for row in results["divisions"][0]["contestants"]}
    assert children["O03-2"]["available"] == 160 and children["O03-1"]["available"] == 480


def test_before_the_day_no_heat_has_begun_whatever_the_clock(
    tourney: Tourney, day: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    evening = datetime(2027, 1, 5, 23, tzinfo=UTC)
    monkeypatch.setattr(clock, "now", lambda: evening)
    said = tourney("replan", day, "--absent", "O03", "--json").document
    assert said["at"] == "00:00" and said["told"]
    assert "from the start" in tourney("replan", day, "--absent", "O03").text


@pytest.mark.parametrize(
    ("what", "says"),
    [
        ((), "Nothing was said"),
        (("--absent", "O99"), "no team"),
        (("--contestant-out", "Zzyzx"), "Name it by its id, such as O01-1."),
        (("--official-out", "Ulla Tarnhold"), 'nearest is "Ulla Tarnholt"'),
        (("--fewer-calls", "8"), "belong together"),
        (("--delay", "5", "--at", "noon"), "no time of the day"),
        (("--delay", "5", "--at", "23:00"), "nothing left to change"),
        (("--room-lost", "Oat Barn", "--room-lost", "Rye Barn", "--room-lost", "Hay Loft"), "No room is left"),
        (("--leaked", "O-W01", "--at", "09:30"), "heard already"),
        (("--late-team", "nowhere.csv"), "does not exist"),
        (("--late-apart",), "belongs to --late-team"),
    ],
)  # fmt: skip
def test_what_can_not_be_done_is_said_and_nothing_is_written(
    tourney: Tourney, day: Path, what: tuple[str, ...], says: str
) -> None:
    files = {path: path.read_bytes() for path in (day / "plan.json", day / "calls.json", day / "record.sqlite")}
    said = tourney("replan", day, *what, *([] if "--at" in what else ["--at", "09:00"]), "--confirm")
    assert said.code == 1 and says in said.text
    assert {path: path.read_bytes() for path in files} == files


def test_a_replanned_day_is_not_drawn_anew(tourney: Tourney, day: Path) -> None:
    assert tourney("replan", day, "--absent", "O02", "--at", "08:00", "--confirm").code == 0
    said = tourney("plan", day)
    assert said.code == 1 and "would undo that" in said.text
    written = (day / "plan.json").read_bytes()
    (day / "plan.json").unlink()
    assert tourney("plan", day).code == 0 and (day / "plan.json").read_bytes() == written
    rows = tourney("record", day, "--json").document["rows"]
    assert rows[-1]["why"] == "absent: O02"


def test_rounds_drawn_by_standing_go_on_after_a_change(tourney: Tourney, printed: Path, tmp_path: Path) -> None:
    folder = Path(
        shutil.copytree(printed, tmp_path / "barns", ignore=shutil.ignore_patterns("*.json", "record*", "papers"))
    )
    settings = SETTINGS.replace("rounds = 3", 'rounds = 3\ndraw = "by_standing"')
    (folder / "event.toml").write_text(settings, encoding="utf-8")
    assert tourney("plan", folder).code == 0
    kept = read(folder / "plan.json")["reserved"]
    assert tourney("replan", folder, "--absent", "O03", "--delay", "15", "--at", "09:01", "--confirm").code == 0
    assert tourney("papers", folder).code == 0
    after = read(folder / "plan.json")
    assert after["reserved"] == kept
    fill(folder, folder / "papers", {heat["id"] for heat in after["heats"]}, "first")
    assert tourney("collect", folder).code == 0
    said = tourney("plan", folder)
    assert said.code == 0, said.out
    second = [heat for heat in read(folder / "plan.json")["heats"] if heat["round"] == 2]
    assert "O03" not in {team for heat in second for team in heat["teams"]}
    assert {heat["wave"] for heat in second} <= {slot["wave"] for slot in kept if slot["round"] == 2}
    assert tourney("verify", folder).code == 0


def test_a_room_lost_between_rounds_by_standing_makes_a_wave_more(
    tourney: Tourney, printed: Path, tmp_path: Path
) -> None:
    """Round 2 waits for round 1, so a heat of round 1 without a room can't go to the end of the day."""
    folder = Path(
        shutil.copytree(printed, tmp_path / "stalls", ignore=shutil.ignore_patterns("*.json", "record*", "papers"))
    )
    settings = SETTINGS.replace("rounds = 3", 'rounds = 3\ndraw = "by_standing"')
    (folder / "event.toml").write_text(settings, encoding="utf-8")
    assert tourney("plan", folder).code == 0
    before, calls = read(folder / "plan.json"), read(folder / "calls.json")
    lost = ("Oat Barn", "Rye Barn")
    rooms = (word for room in lost for word in ("--room-lost", room))
    said = tourney("replan", folder, *rooms, "--at", "08:00", "--confirm")
    assert said.code == 0, said.text
    after, sets = read(folder / "plan.json"), read(folder / "calls.json")
    extra = [wave["id"] for wave in after["waves"] if wave["id"] not in {wave["id"] for wave in before["waves"]}]
    assert len(extra) >= 3  # at least one after each round
    starts = [wave["start"] for wave in after["waves"]]
    assert starts == sorted(starts)
    start = {wave["id"]: wave["start"] for wave in after["waves"]}
    held = [*after["heats"], *after["reserved"]]
    assert {heat["room"] for heat in held} == {"Hay Loft"}
    times = {number: [start[heat["wave"]] for heat in held if heat["round"] == number] for number in (1, 2, 3)}
    assert max(times[1]) < min(times[2]) and max(times[2]) < min(times[3])
    heard = {heat["call_set"]: start[heat["wave"]] for heat in held}
    order = {found["id"]: found["order"] for found in sets["sets"] if found["id"] in heard}
    assert sorted(heard, key=lambda one: heard[one]) == sorted(order, key=lambda one: order[one])
    assert len(set(order.values())) == len(order) == len({f["id"] for f in calls["sets"] if f["order"]}) + len(extra)
    assert tourney("verify", folder).code == 0
    for number in (1, 2, 3):
        assert tourney("papers", folder).code == 0
        heats = {heat["id"] for heat in read(folder / "plan.json")["heats"] if heat["round"] == number}
        fill(folder, folder / "papers", heats, f"round {number}")
        assert tourney("collect", folder).code == 0
        if number < 3:
            drawn = tourney("plan", folder)
            assert drawn.code == 0, drawn.text
    assert tourney("verify", folder).code == 0


def test_a_team_that_nobody_is_left_of_drills_no_more(tourney: Tourney, day: Path) -> None:
    team = read(day / "plan.json")["teams"][0]
    words = [word for child in team["members"] for word in ("--contestant-out", child)]
    said = tourney("replan", day, *words, "--at", "08:00", "--confirm")
    assert said.code == 0 and f"Nobody is left of {team['name']} ({team['id']})" in said.text
    now = read(day / "plan.json")
    assert team["id"] in now["gone"] and all(team["id"] not in heat["teams"] for heat in now["heats"])
    assert tourney("verify", day).code == 0
