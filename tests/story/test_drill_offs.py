"""Drill-offs through the command line: on sheets like every heat, or by hand where no line is long enough."""

import shutil
from pathlib import Path

import pytest

from tests.story.finals_days import Hands, Tourney, collected, drilled, finals_heats, made, planned, read
from tourney.day.state import read_day
from tourney.model.plan import Plan
from tourney.resources import sample_events


@pytest.fixture
def day(line_of_two: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(line_of_two, tmp_path / "day"))


@pytest.fixture
def hands(day: Path, monkeypatch: pytest.MonkeyPatch) -> Hands:
    return Hands(day, monkeypatch)


@pytest.fixture
def teams(day: Path) -> list[str]:
    """Ids of the six teams."""
    return [team.id for team in read_day(day).plan.teams]


def plan_of(folder: Path) -> Plan:
    return read_day(folder).plan


def test_two_at_the_cut_drill_on_sheets_set_after_set(
    tourney: Tourney, day: Path, hands: Hands, teams: list[str]
) -> None:
    best, one, other, *rest = teams
    collected(tourney, hands, {one: 16, other: 16} | {team: 17 + at for at, team in enumerate(rest)})
    said = tourney("finals", day)
    assert said.code == 0 and "are level at the last place of the finals" in said.text, said.out
    assert "Set 1 is heat O-D1" in said.text and "Drawn now" in said.text and not finals_heats(day)
    plan = plan_of(day)
    heat = plan.heat["O-D1"]
    assert set(heat.teams) == {one, other} and heat.call_set == "O-DRILLOFF-1"
    panel = {official for _, official in heat.seats}
    clubs = {plan.team[team].club for team in heat.teams}
    assert len(panel) == len(heat.seats) and not any(clubs & {*plan.official[key].clubs} for key in panel)
    assert plan.wave[heat.wave].minutes == 10 and heat.id not in {row.id for row in plan.rotation}
    papers = day / "papers" / "finals" / heat.wave
    script = (papers / "callers" / "Small_Hall.html").read_text(encoding="utf-8")
    assert "drill-off for the finals, set 1" in script and plan.official[heat.caller].name in script
    assert all(plan.official[judge].name in script for judge in heat.judges)
    assert (papers / "judges" / "Small_Hall.xlsx").stat().st_size

    said = tourney("finals", day)
    assert said.code == 1 and "O-D1: " in said.text and "has not come in" in said.text
    assert tourney("results", day, "--json").document["divisions"][0]["drill_off"] == {}

    drilled(tourney, hands, "O-D1", {one: 1, other: 1})
    said = tourney("finals", day)
    assert said.code == 0 and "Set 2 is heat O-D2" in said.text, said.out
    assert plan_of(day).heat["O-D2"].call_set == "O-DRILLOFF-2" and not finals_heats(day)

    drilled(tourney, hands, "O-D2", {one: 1})
    said = tourney("finals", day)
    assert said.code == 0 and "Drawn now" in said.text, said.out
    assert read(day / "plan.json")["finals"][0]["seeds"] == [best, other]
    standing = tourney("results", day, "--json").document["divisions"][0]
    assert standing["drill_off"] == {one: [60, 60], other: [60, 90]}
    assert [row["team"] for row in standing["teams"][:3]] == [best, other, one]
    assert standing["teams"][1]["decided_by"] == "drill_off"
    assert "60, then 90" in standing["teams"][1]["reason"]
    assert tourney("verify", day, "--json").document["sound"]
    drilled(tourney, hands, "O-F1-1", {best: 1, other: 1})
    assert tourney("finals", day).code == 0
    drilled(tourney, hands, "O-F1-1-D1", {best: 1})
    said = tourney("finals", day)
    name = plan_of(day).team[other].name
    assert f"Final: {name} is 1st not 2nd: level on 450 points" in said.text, said.out
    assert "; 90 points in the drill-off against 60." in said.text


def test_a_mark_of_a_drill_off_is_corrected_like_any_other(
    tourney: Tourney, day: Path, hands: Hands, teams: list[str]
) -> None:
    best, one, other, *rest = teams
    collected(tourney, hands, {one: 16, other: 16} | dict.fromkeys(rest, 20))
    assert tourney("finals", day).code == 0
    drilled(tourney, hands, "O-D1", {one: 1})
    assert tourney("finals", day).code == 0
    assert read(day / "plan.json")["finals"][0]["seeds"] == [best, other]
    heat = plan_of(day).heat["O-D1"]
    hers = [line for line, child in enumerate(heat.line, 1) if child in plan_of(day).team[other].members]
    for line in hers:
        for call in (1, 2):
            words = ("--line", line, "--call", call, "--to", "L", "--by", "Ada Wren", "--why", "the panel saw it")
            said = tourney("rule", day, "settle", "O-D1", *words)
            assert said.code == 0, said.out
    said = tourney("finals", day)
    assert "The rounds have changed" in said.text and "comes in" in said.text


def test_after_three_level_sets_the_cut_is_read_on_call_by_call(
    tourney: Tourney, day: Path, hands: Hands, teams: list[str]
) -> None:
    best, one, other, *rest = teams
    collected(tourney, hands, {one: 16, other: 16} | dict.fromkeys(rest, 20))
    for number in (1, 2, 3):
        assert tourney("finals", day).code == 0
        drilled(tourney, hands, f"O-D{number}", {})
    said = tourney("finals", day)
    assert said.code == 1 and "after 3 sets of their drill-off too" in said.text
    assert "read on, call by call, until one is ahead" in said.text
    assert f"--drill-off {one}=N --drill-off {other}=N" in said.text
    assert tourney("finals", day, *made({one: 10, other: 0})).code == 0
    assert read(day / "plan.json")["finals"][0]["seeds"] == [best, one]
    standing = tourney("results", day, "--json").document["divisions"][0]
    assert standing["drill_off"] == {one: [90, 90, 90, 10], other: [90, 90, 90, 0]}


def test_the_lot_waits_for_the_last_set(tourney: Tourney, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    rules = 'advance = 2\nadvance_per_club = 2\ntie_breaks = ["drill_off", "lot"]'
    hands = Hands(planned(tmp_path / "day", rules), monkeypatch)
    best, one, other, *rest = (team.id for team in plan_of(hands.folder).teams)
    collected(tourney, hands, {one: 16, other: 16} | {team: 17 + at for at, team in enumerate(rest)})
    for number in (1, 2, 3):
        said = tourney("finals", hands.folder)
        assert said.code == 0 and f"Set {number} is heat O-D{number}" in said.text, said.out
        drilled(tourney, hands, f"O-D{number}", {})
    assert tourney("finals", hands.folder).code == 0
    rows = tourney("results", hands.folder, "--json").document["divisions"][0]["teams"]
    assert {rows[1]["team"], rows[2]["team"]} == {one, other} and rows[1]["decided_by"] == "lot"
    assert read(hands.folder / "plan.json")["finals"][0]["seeds"] == [best, rows[1]["team"]]


def test_an_award_is_shared_after_three_level_sets(tourney: Tourney, day: Path, hands: Hands, teams: list[str]) -> None:
    collected(tourney, hands, dict.fromkeys(teams[2:], 3))
    assert tourney("finals", day).code == 0
    drilled(tourney, hands, "O-F1-1", {})
    for number in (1, 2, 3):
        said = tourney("finals", day)
        assert said.code == 0 and f"Set {number} is heat O-F1-1-D{number}" in said.text, said.out
        heat = plan_of(day).heat[f"O-F1-1-D{number}"]
        assert set(heat.teams) == set(teams[:2]) and heat.call_set == f"O-DRILLOFF-{number}"
        drilled(tourney, hands, heat.id, {})
    said = tourney("finals", day)
    assert said.code == 0 and "Every place is decided" in said.text, said.out
    places = read(day / "results" / "finals.json")["divisions"][0]["places"]
    assert [row["place"] for row in places] == [1, 1]
    assert tourney("verify", day, "--json").document["sound"]


def test_more_than_a_line_holds_drill_by_hand_and_go_on_with_sets_that_nobody_heard(
    tourney: Tourney, day: Path, hands: Hands, teams: list[str]
) -> None:
    best, level, behind, *rest = teams
    collected(tourney, hands, {team: 3 + at for at, team in enumerate(rest)})
    said = tourney("finals", day)
    name = {team.id: team.name for team in plan_of(day).teams}
    assert said.code == 1 and "are level at the last place of the finals" in said.text
    assert all(f"{team} {name[team]} (" in said.text for team in (best, level, behind))
    assert "No room has a line that takes them all" in said.text
    assert "Read them O-DRILLOFF-1 of papers/callers/drill_off in turn, the same people calling" in said.text
    assert f": first {name[best]} (" in said.text and f"), then {name[behind]} (" in said.text
    assert "Who waits is out of hearing, with two cleared adults" in said.text
    assert f"--drill-off {best}=N --drill-off {level}=N --drill-off {behind}=N" in said.text
    assert not plan_of(day).drill_offs

    said = tourney("finals", day, *made({best: 9, level: 6, behind: 6}))
    assert said.code == 0 and "Set 2 is heat O-D1" in said.text, said.out
    assert plan_of(day).heat["O-D1"].call_set == "O-DRILLOFF-2"  # the first one was read by hand
    said = tourney("finals", day)
    assert said.code == 1 and f"{level} {name[level]} (" in said.text
    assert "after 1 set of their drill-off too" in said.text
    said = tourney("finals", day, *made({level: 70, behind: 80}))  # totals alone were kept
    assert said.code == 0, said.out
    assert read(day / "plan.json")["finals"][0]["seeds"] == [best, behind]
    standing = tourney("results", day, "--json").document["divisions"][0]
    assert standing["drill_off"] == {best: [9], level: [6, 70], behind: [6, 80]}
    assert [row["team"] for row in standing["teams"][:3]] == [best, behind, level]


def test_more_than_a_line_holds_hear_the_set_at_once_where_rooms_allow(
    tourney: Tourney, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    source = tmp_path / "source"
    shutil.copytree(sample_events() / "small_hall", source)
    settings = source / "event.toml"
    text = settings.read_text(encoding="utf-8")
    porch = '[[rooms]]\nname = "Porch"\nline_limit = 8\n\n# One division'
    for old, new in (("# One division", porch), ("judges = 2", 'judges = 1\ntimekeeper = "caller"'), ("mean", "chief")):
        text = text.replace(old, new, 1)
    settings.write_text(text, encoding="utf-8")
    hands = Hands(planned(tmp_path / "day", "advance = 2\nadvance_per_club = 2", source=source), monkeypatch)
    best, level, behind, *rest = (team.id for team in plan_of(hands.folder).teams)
    collected(tourney, hands, {team: 3 + at for at, team in enumerate(rest)})

    said = tourney("finals", hands.folder)
    assert said.code == 0, said.out
    assert "Set 1 is heats O-D1 and O-D2, which hear it at once" in said.text
    plan = plan_of(hands.folder)
    one, other = plan.heat["O-D1"], plan.heat["O-D2"]
    assert {*one.teams, *other.teams} == {best, level, behind} and len(one.teams) + len(other.teams) == 3
    assert one.wave == other.wave and one.call_set == other.call_set == "O-DRILLOFF-1" and one.room != other.room
    assert all(len(heat.line) <= 8 for heat in (one, other))
    assert tourney("verify", hands.folder, "--json").document["sound"]

    hands.after()
    hands.fill_late("O-D1", {behind: 1, level: 1})
    assert tourney("collect", hands.folder).code == 0
    assert tourney("results", hands.folder).code == 0
    assert "A drill-off is on" in tourney("next", hands.folder).text
    assert tourney("finals", hands.folder).code == 1, "the other part has not come in"
    hands.fill_late("O-D2", {behind: 1, level: 1})
    assert tourney("collect", hands.folder).code == 0
    said = tourney("finals", hands.folder)
    assert said.code == 0 and "Set 2 is heat O-D3" in said.text, said.out
    assert plan_of(hands.folder).heat["O-D3"].call_set == "O-DRILLOFF-2"
    drilled(tourney, hands, "O-D3", {level: 1})
    assert tourney("finals", hands.folder).code == 0
    assert read(hands.folder / "plan.json")["finals"][0]["seeds"] == [best, behind]
