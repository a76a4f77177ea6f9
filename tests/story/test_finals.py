"""Days with finals, through the command line and real files: drawn, played stage by stage, corrected, told."""

import re
import shutil
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest

from tests.story.finals_days import Hands, Tourney, fill_so, finals_heats, planned, read
from tourney.day.collect import collect
from tourney.day.results import results
from tourney.day.state import read_day
from tourney.draw import Draw
from tourney.papers.fill import fill_workbook
from tourney.resources import sample_events
from tourney.simulation.rehearsal import simulate


@pytest.fixture(scope="module")
def rounds_over(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Six teams and a knockout of all, with every sheet of the rounds collected."""
    knockout = 'advance = 6\nadvance_per_club = 3\nfinals = "knockout"'
    folder = planned(tmp_path_factory.mktemp("finals") / "day", knockout)
    day = read_day(folder)
    drawn = day.plan
    played = simulate(day.plan, day.called, day.roster, Draw("a test"))
    entries = {sheet.code: sheet for sheet in (*played.entries, *played.corrections)}
    for workbook in (folder / "papers" / "judges").glob("*.xlsx"):
        fill_workbook(workbook, folder / "returned" / workbook.name, entries)
    collect(folder, (), drawn.waves[-1].end)
    shutil.rmtree(folder / "returned")
    return folder


@pytest.fixture
def day(rounds_over: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(rounds_over, tmp_path / "day"))


@pytest.fixture
def hands(day: Path, monkeypatch: pytest.MonkeyPatch) -> Hands:
    found = Hands(day, monkeypatch)
    found.after(11)
    return found


def test_a_knockout_is_played_to_its_end(tourney: Tourney, day: Path, hands: Hands) -> None:
    standing = tourney("results", day, "--json").document["divisions"][0]["teams"]
    before = read(day / "plan.json")
    said = tourney("finals", day)
    assert said.code == 0 and "Quarter-final 1" in said.text and "Drawn now" in said.text
    drawn = read(day / "plan.json")
    assert drawn["revision"] == before["revision"] + 1
    assert [heat for heat in drawn["heats"] if "-F" not in heat["id"]] == before["heats"]
    assert finals_heats(day) == {"O-F1-1", "O-F1-2"}
    hands.play_finals(tourney)

    found = read(day / "results" / "finals.json")["divisions"][0]
    assert found["seeds"] == [{"seed": n, "team": row["team"]} for n, row in enumerate(standing, 1)]
    assert [len([heat for heat in found["heats"] if heat["stage"] == stage]) for stage in (1, 2, 3)] == [2, 2, 1]
    winner = {heat["id"]: heat["winner"] for heat in found["heats"]}
    names = {team.id: team.name for team in read_day(day).plan.teams}
    awards = (day / "results" / "awards.html").read_text(encoding="utf-8")
    called = [names[row["team"]] for row in reversed(found["places"][:4])]
    assert "Provisional" not in awards and awards.index("Third, shared") < awards.index("First")
    assert awards.rindex(called[-2]) < awards.rindex(called[-1])  # second before first, as in the finals
    for heat in found["heats"]:
        for team, source in zip(heat["teams"], heat["from"], strict=True):
            came = winner[source["heat"]] if "heat" in source else standing[source["seed"] - 1]["team"]
            assert team == came
    assert [row["place"] for row in found["places"]] == [1, 2, 3, 3, 5, 5]
    assert found["places"][0]["team"] == winner["O-F3-1"]

    after = read(day / "plan.json")
    assert sum(found["use"] == "final" for found in after["call_sets"]) == 5  # one room: each heat hears its own
    assert tourney("verify", day, "--json").document["sound"]
    results_after = tourney("results", day, "--json").document["divisions"][0]["teams"]
    assert results_after == [{**row, "advances": "certain"} for row in standing]
    page = (day / "results" / "bracket_Open.html").read_text(encoding="utf-8")
    assert "<svg" in page and (day / "papers" / "finals" / "brackets.xlsx").stat().st_size


def test_finals_wait_for_sheets_and_protests(
    tourney: Tourney, rounds_over: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = Path(shutil.copytree(rounds_over, tmp_path / "early"))
    hands = Hands(folder, monkeypatch)
    hands.after(5)
    said = tourney("finals", folder)
    assert said.code == 1 and "protests are heard until 16:15" in said.text
    assert not (folder / "results" / "finals.json").exists()
    assert tourney("finals", folder, "--override").code == 0

    fresh = Path(shutil.copytree(sample_events() / "small_hall", tmp_path / "fresh"))
    assert tourney("plan", fresh).code == 0
    said = tourney("finals", fresh, "--json")
    assert said.code == 1 and "can't be drawn yet" in said.document["message"]
    assert any("has not come in" in detail for detail in said.document["details"])


def test_the_schedule_says_which_heats_are_finals(tourney: Tourney, hands: Hands) -> None:
    folder = hands.folder
    schedule = folder / "papers" / "public" / "schedule.html"
    assert tourney("finals", folder).code == 0 and tourney("papers", folder).code == 0
    named = re.findall(r'head-line soft">([A-Z][a-z-]+ \d)<', schedule.read_text(encoding="utf-8"))
    assert sorted(named) == ["Quarter-final 1", "Quarter-final 2"]


def test_a_withdrawal_is_shown_first_and_moves_the_other_on(tourney: Tourney, day: Path, hands: Hands) -> None:
    assert tourney("finals", day).code == 0
    first = next(h for h in read(day / "results" / "finals.json")["divisions"][0]["heats"] if h["id"] == "O-F1-1")
    leaving, staying = first["teams"]
    record = (day / "record.sqlite").read_bytes()
    said = tourney("finals", day, "--withdraw", leaving, "--by", "Ada Wren", "--why", "they drove home")
    assert said.code == 0 and "wins without a heat" in said.text and "Nothing was recorded" in said.text
    assert (day / "record.sqlite").read_bytes() == record
    said = tourney("finals", day, "--withdraw", leaving)
    assert said.code == 1 and "who decided it and why" in said.text
    called = next(team["name"] for team in read(day / "plan.json")["teams"] if team["id"] == leaving)
    by_name = tourney("finals", day, "--withdraw", called.lower(), "--by", "Ada Wren", "--why", "they drove home")
    assert by_name.code == 0 and "wins without a heat" in by_name.text
    nobody = tourney("finals", day, "--withdraw", "Zebras", "--by", "Ada Wren", "--why", "they drove home")
    assert nobody.code == 1 and "There is no team Zebras." in nobody.text and "or by their names" in nobody.text
    said = tourney("finals", day, "--withdraw", leaving, "--by", "A", "--why", "B", "--confirm")
    assert said.code == 0
    hands.play_finals(tourney)
    found = read(day / "results" / "finals.json")["divisions"][0]
    heats = {heat["id"]: heat for heat in found["heats"]}
    assert heats["O-F1-1"]["order"] == [staying, leaving] and heats["O-F1-1"]["points"] == []
    assert heats["O-F3-1"]["winner"]
    assert {row["team"]: row["place"] for row in found["places"]}[leaving] == 5


def test_a_heat_is_held_once_more_with_other_calls(tourney: Tourney, day: Path, hands: Hands) -> None:
    assert tourney("finals", day).code == 0
    hands.after()
    hands.fill({"O-F1-1", "O-F1-2"})
    assert tourney("collect", day).code == 0
    assert tourney("finals", day).code == 0
    old = {heat["id"]: heat for heat in read(day / "plan.json")["heats"]}
    asked = ("--replay", "O-F1-1", "--by", "Ada Wren", "--why", "a fire alarm")
    said = tourney("finals", day, *asked)
    assert said.code == 0 and "open once more" in said.text
    said = tourney("finals", day, *asked, "--confirm")
    assert said.code == 0, said.out
    new = {heat["id"]: heat for heat in read(day / "plan.json")["heats"]}
    assert new["O-F1-1"]["since"] == read(day / "plan.json")["revision"]
    assert new["O-F1-1"]["call_set"] not in {heat["call_set"] for heat in old.values()}
    assert new["O-F1-2"] == old["O-F1-2"]
    hands.after()
    hands.fill({"O-F1-1"}, "other luck")
    assert tourney("collect", day).code == 0
    assert tourney("finals", day).code == 0
    hands.play_finals(tourney)
    assert len(read(day / "results" / "finals.json")["divisions"][0]["places"]) == 6
    assert tourney("verify", day, "--json").document["sound"]


def test_a_correction_names_the_heats_that_hang_on_it(tourney: Tourney, day: Path, hands: Hands) -> None:
    assert tourney("finals", day).code == 0
    hands.after()
    hands.fill({"O-F1-1", "O-F1-2"})
    assert tourney("collect", day).code == 0
    assert tourney("finals", day).code == 0
    known = read_day(day)
    heat = known.plan.heat["O-F1-1"]
    found = read(day / "results" / "finals.json")["divisions"][0]["heats"]
    winner = next(row["winner"] for row in found if row["id"] == heat.id)
    ruled: list[Any] = []
    for line, child in enumerate(heat.line, 1):
        for call in range(1, 17):
            if child in known.plan.team[winner].members and not any("O-F2" in row.text for row in ruled):
                words = ("--line", line, "--call", call, "--to", "L", "--by", "A", "--why", "seen by all")
                ruled.append(tourney("rule", day, "settle", heat.id, *words))
                assert ruled[-1].code == 0, ruled[-1].out
    assert "Finals: O-F2-1" in ruled[-1].text and "now" in ruled[-1].text
    before = read_day(day).plan.heat["O-F2-1"]
    assert tourney("finals", day).code == 0
    after = read_day(day).plan.heat["O-F2-1"]
    assert set(before.teams) != set(after.teams) and after.since == read_day(day).plan.revision
    assert winner not in after.teams
    results(day, hands.now)


def test_who_goes_on_to_the_next_level_is_entered_in_our_own_form(
    tourney: Tourney, day: Path, hands: Hands, tmp_path: Path
) -> None:
    assert tourney("finals", day).code == 0
    hands.play_finals(tourney)
    assert list((day / "results" / "onward").glob("*.xlsx"))
    onward = Path(shutil.copytree(sample_events() / "small_hall", tmp_path / "onward"))
    shutil.rmtree(onward / "entries")
    shutil.copytree(day / "results" / "onward", onward / "entries")
    (onward / "entries" / ".tourney-papers.json").unlink()
    settings = onward / "event.toml"
    settings.write_text(
        settings.read_text(encoding="utf-8").replace("ages = [9, 13]", "grades = [1, 9]"), encoding="utf-8"
    )
    faults = tourney("check", onward, "--json").document["faults"]
    assert {fault["where"].split("!")[0] for fault in faults} <= {"Entries"}
    assert all("grade" in fault["message"] for fault in faults)  # all that the club still has to add


@pytest.mark.usefixtures("hands")
def test_papers_and_verify_know_the_heats_of_finals(tourney: Tourney, day: Path) -> None:
    assert tourney("finals", day).code == 0
    assert tourney("papers", day).code == 0
    assert "O-F1-1" in (day / "papers" / "judges" / "Small_Hall.html").read_text(encoding="utf-8")
    lines = {line["name"]: line["status"] for line in tourney("verify", day, "--json").document["lines"]}
    assert {lines[name] for name in lines if name.startswith("finals_")} == {"kept"}


@pytest.fixture
def line_day(line_of_two: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(line_of_two, tmp_path / "day"))


def test_a_tie_that_matters_to_nobody_blocks_nothing(
    tourney: Tourney, line_day: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    best, second, *rest = (team.id for team in read_day(line_day).plan.teams)
    hands = Hands(line_day, monkeypatch)
    fill_so(line_day, lambda team: 3 if team in rest else 0)
    hands.after(11)
    assert tourney("collect", line_day).code == 0
    hands.now += timedelta(minutes=11)
    said = tourney("finals", line_day)
    assert said.code == 0, said.out
    drawn = read(line_day / "plan.json")["finals"][0]
    assert set(drawn["seeds"]) == {best, second}
    assert "the lot from the draw words seeds them" in drawn["footnotes"][0]
    hands.after()
    final = read_day(line_day).plan.heat["O-F1-1"]
    assert set(final.teams) == {best, second}


def test_rounds_that_change_after_the_draw_say_who_would_come_in(
    tourney: Tourney, line_day: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    plan = read_day(line_day).plan
    best, second, third, *rest = (team.id for team in plan.teams)
    hands = Hands(line_day, monkeypatch)
    fill_so(line_day, lambda team: 3 if team in rest else int(team == third))
    hands.after(11)
    assert tourney("collect", line_day).code == 0
    hands.now += timedelta(minutes=11)
    said = tourney("finals", line_day)
    assert said.code == 0 and "The rounds have changed" not in said.text
    assert "rounds changed" not in tourney("results", line_day).text

    heat = next(heat for heat in plan.heats if heat.round == 1 and second in heat.teams)
    for line, child in enumerate(heat.line, 1):
        for call in (1, 2) if child in plan.team[second].members else ():
            words = ("--line", line, "--call", call, "--to", "L", "--by", "A", "--why", "a protest")
            assert tourney("rule", line_day, "settle", heat.id, *words).code == 0
    names = {team.id: team.name for team in plan.teams}
    for command in ("results", "finals", "next"):
        said = tourney(command, line_day)
        assert said.code == 0 and "the rounds changed after these finals were drawn" in said.text, said.out
        assert f"{names[third]}" in said.text and "comes in" in said.text and "is out" in said.text
        assert "They stand as they were drawn" in said.text
    assert set(read_day(line_day).plan.heat["O-F1-1"].teams) == {best, second}

    asked = ("--redraw", "Open", "--by", "Ada Wren", "--why", "a protest was upheld")
    said = tourney("finals", line_day, *asked)
    assert said.code == 0 and "Nothing was recorded" in said.text and "O-F1-1" in said.text
    said = tourney("finals", line_day, *asked, "--confirm")
    assert said.code == 0 and "The rounds have changed" not in said.text, said.out
    day = read_day(line_day)
    assert day.plan.finals[0].seeds == (best, third)
    assert set(day.plan.heat["O-F1-1"].teams) == {best, third}
    assert day.plan.heat["O-F1-1"].since == day.plan.revision
    assert tourney("verify", line_day, "--json").document["sound"]
    said = tourney("finals", line_day, "--redraw", "Nobody", "--by", "A", "--why", "B")
    assert said.code == 1 and "No finals of Nobody are drawn" in said.text


def test_finals_do_without_who_left_after_the_last_wave(tourney: Tourney, day: Path, hands: Hands) -> None:
    at = f"{hands.now.astimezone(read_day(day).plan.waves[0].start.tzinfo):%H:%M}"
    said = tourney("replan", day, "--official-out", "O02", "--leaked", "O-FINAL-1", "--at", at, "--confirm")
    assert said.code == 0 and "such as finals, does without O02" in said.text
    late = tourney("replan", day, "--delay", 5, "--at", at)
    assert late.code == 1 and "very wave has begun" in late.text
    assert tourney("finals", day).code == 0
    drawn = [heat for heat in read(day / "plan.json")["heats"] if "-F" in heat["id"]]
    assert drawn and all("O02" not in (*heat["judges"], heat["caller"], heat["timekeeper"]) for heat in drawn)
    assert all(heat["call_set"] != "O-FINAL-1" for heat in drawn)
    assert tourney("verify", day).code == 0


def test_the_lot_decides_a_final_as_it_decides_the_rounds(
    tourney: Tourney, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = planned(tmp_path / "day", 'advance = 2\ntie_breaks = ["lot"]')
    hands = Hands(folder, monkeypatch)
    fill_so(folder, lambda _: 0)
    hands.after()
    assert tourney("collect", folder).code == 0
    hands.after(11)
    assert tourney("finals", folder).code == 0
    fill_so(folder, lambda _: 0, "finals/*/judges")
    hands.after()
    assert tourney("collect", folder).code == 0
    rounds = tourney("results", folder, "--json").document["divisions"][0]["teams"]
    assert {row["decided_by"] for row in rounds} == {"lot"}
    hands.after(11)
    assert tourney("finals", folder).code == 0
    placed = read(folder / "results" / "finals.json")["divisions"][0]
    assert [heat["winner"] for heat in placed["heats"]] == [rounds[0]["team"]]


def test_who_reaches_the_part_asked_for_goes_on_however_many_they_are(
    tourney: Tourney, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Three quarters exactly are enough, one call less is not; who shares the last place above it blocks nothing."""
    asked = 'advance = "all"\nadvance_from = 0.75\nadvance_per_club = 3\nfinals = "knockout"'
    folder = planned(tmp_path / "day", asked)
    assert "Every team with at least 75% of the points available reaches the finals" in tourney("check", folder).text
    best, one, other, *rest = (team.id for team in read_day(folder).plan.teams)
    hands = Hands(folder, monkeypatch)
    fill_so(folder, lambda team: 0 if team == best else 12 if team in (one, other) else 13)
    hands.after(11)
    assert tourney("collect", folder).code == 0
    standing = tourney("results", folder, "--json").document["divisions"][0]["teams"]
    assert {row["team"]: row["advances"] for row in standing} == dict.fromkeys((best, one, other), "certain") | (
        dict.fromkeys(rest, "out")
    )
    hands.now += timedelta(minutes=11)
    said = tourney("finals", folder)
    assert said.code == 0, said.out
    assert set(read(folder / "plan.json")["finals"][0]["seeds"]) == {best, one, other}


@pytest.fixture
def three_reach(tourney: Tourney, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Hands:
    """A knockout drawn for the three teams with three quarters of the points; the fourth has a call less."""
    asked = 'advance = "all"\nadvance_from = 0.75\nadvance_per_club = 3\nfinals = "knockout"'
    hands = Hands(planned(tmp_path / "day", asked), monkeypatch)
    late = {"O01": 0, "O02": 4, "O03": 12, "O04": 13}
    fill_so(hands.folder, lambda team: late.get(team, 16))
    hands.after(11)
    assert tourney("collect", hands.folder).code == 0
    hands.now += timedelta(minutes=11)
    assert tourney("finals", hands.folder).code == 0
    assert read(hands.folder / "plan.json")["finals"][0]["seeds"] == ["O01", "O02", "O03"]
    return hands


def settled(tourney: Tourney, folder: Path, team: str, call: int, to: str) -> None:
    """A call of round 1 reads otherwise, for all of a team."""
    plan = read_day(folder).plan
    heat = next(heat for heat in plan.heats if heat.round == 1 and team in heat.teams)
    for line, child in enumerate(heat.line, 1):
        if child in plan.team[team].members:
            words = ("--line", line, "--call", call, "--to", to, "--by", "A", "--why", "a protest", "--override")
            assert tourney("rule", folder, "settle", heat.id, *words).code == 0


def test_finals_are_drawn_anew_for_more_teams(tourney: Tourney, three_reach: Hands) -> None:
    folder = three_reach.folder
    settled(tourney, folder, "O04", 13, "clean")
    said = tourney("finals", folder)
    assert said.code == 0 and "comes in" in said.text and "Quarter" not in said.text
    assert len(read(folder / "plan.json")["finals"][0]["seeds"]) == 3
    asked = ("--redraw", "Open", "--by", "Ada Wren", "--why", "a protest was upheld")
    before = (folder / "plan.json").read_bytes()
    said = tourney("finals", folder, *asked)
    assert said.code == 0 and "Nothing was recorded" in said.text, said.out
    assert "O-F1-1" in said.text and (folder / "plan.json").read_bytes() == before
    said = tourney("finals", folder, *asked, "--confirm")
    assert said.code == 0 and "The rounds have changed" not in said.text, said.out
    assert set(read(folder / "plan.json")["finals"][0]["seeds"]) == {"O01", "O02", "O03", "O04"}
    assert finals_heats(folder) == {"O-F1-1", "O-F1-2"}
    three_reach.play_finals(tourney)
    assert len(read(folder / "results" / "finals.json")["divisions"][0]["places"]) == 4
    assert tourney("verify", folder, "--json").document["sound"]


def test_fewer_teams_than_drawn_withdraw_instead(tourney: Tourney, three_reach: Hands) -> None:
    folder = three_reach.folder
    settled(tourney, folder, "O03", 16, "L")
    assert "is out" in tourney("finals", folder).text
    asked = ("--by", "Ada Wren", "--why", "a protest was upheld", "--confirm")
    said = tourney("finals", folder, "--redraw", "Open", *asked)
    assert said.code == 1 and "2 teams reach the finals now, and they were drawn for 3" in said.text
    assert "--withdraw TEAM" in said.text
    assert tourney("finals", folder, "--withdraw", "O03", *asked).code == 0
    three_reach.play_finals(tourney)
    places = {row["team"]: row["place"] for row in read(folder / "results" / "finals.json")["divisions"][0]["places"]}
    assert places["O03"] == 3 and {places["O01"], places["O02"]} == {1, 2}


def test_who_does_not_come_to_a_heat_of_finals_loses_it(tourney: Tourney, three_reach: Hands) -> None:
    """A no-show leaves the heat as it is drawn: the team is absent for every call, whatever sheets say."""
    folder = three_reach.folder
    heat = next(iter(finals_heats(folder)))
    absent, there = read_day(folder).plan.heat[heat].teams
    three_reach.after()
    three_reach.fill_late(heat, {there: 3})
    assert tourney("collect", folder).code == 0
    words = ("--heat", heat, "--by", "Ada Wren", "--why", "the bus broke down")
    said = tourney("rule", folder, "no-show", absent, *words, "--preview")
    assert said.code == 0, said.out
    assert tourney("rule", folder, "no-show", absent, *words).code == 0
    assert tourney("finals", folder).code == 0
    rows = read(folder / "results" / "finals.json")["divisions"][0]["heats"]
    assert next(row["winner"] for row in rows if row["id"] == heat) == there
