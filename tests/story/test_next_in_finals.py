"""What to do next once the rounds are over: every state of finals and drill-offs, each with the line to type."""

import shutil
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest

from tests.story.finals_days import Hands, Tourney, fill_so, planned
from tourney.day.state import read_day
from tourney.resources import sample_events


def next_of(tourney: Tourney, folder: Path) -> Any:
    """The document, after a look at what people read."""
    said = tourney("next", folder)
    assert said.code == 0
    found = tourney("next", folder, "--json").document
    assert found["what"] in said.text and found["line"] in said.text
    return found


@pytest.fixture(scope="module")
def two_kinds(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """Planned days, by what their finals are."""
    where = tmp_path_factory.mktemp("next")
    return {
        "knockout": planned(where / "knockout", 'advance = 4\nadvance_per_club = 3\nfinals = "knockout"'),
        "line": planned(where / "line", "advance = 2\nadvance_per_club = 2"),
        "none": planned(where / "none", "advance = 1"),
    }


def over(tourney: Tourney, hands: Hands, late: dict[str, int]) -> None:
    """All sheets of the rounds are in, and the time for protests is over."""
    fill_so(hands.folder, lambda team: late.get(team, 0))
    hands.after(11)
    assert tourney("collect", hands.folder).code == 0
    hands.now += timedelta(minutes=11)


@pytest.fixture
def begun(
    request: pytest.FixtureRequest, two_kinds: dict[str, Path], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> Hands:
    return Hands(Path(shutil.copytree(two_kinds[request.param], tmp_path / "day")), monkeypatch)


@pytest.mark.parametrize("begun", ["knockout"], indirect=True)
def test_a_knockout_from_its_draw_to_its_end(tourney: Tourney, begun: Hands) -> None:
    folder = begun.folder
    over(tourney, begun, {f"O0{n}": n for n in range(1, 7)})
    assert next_of(tourney, folder)["state"] == "results"
    assert tourney("results", folder).code == 0
    step = next_of(tourney, folder)
    assert step["state"] == "finals" and step["what"] == "Draw the finals of Open."
    assert tourney("finals", folder).code == 0
    waves = [read_day(folder).plan.wave[read_day(folder).plan.heat[heat].wave] for heat in ("O-F1-1", "O-F1-2")]
    step = next_of(tourney, folder)
    assert step["state"] == "wave" and f"--wave {waves[0].id}" in step["line"]
    begun.now = waves[0].start + timedelta(minutes=3)
    assert f"{waves[1].start:%H:%M}" in next_of(tourney, folder)["what"]  # one room: the other heat comes next
    begun.now = waves[1].start + timedelta(minutes=3)
    step = next_of(tourney, folder)
    assert step["state"] == "wave_running" and f"{waves[1].end:%H:%M}" in step["what"]
    begun.after(3)
    step = next_of(tourney, folder)
    assert step["state"] == "finals_sheets" and any("O-F1-1" in line for line in step["more"])
    begun.fill({"O-F1-1", "O-F1-2"})
    assert tourney("collect", folder).code == 0
    assert next_of(tourney, folder)["state"] == "finals_next"
    assert tourney("finals", folder).code == 0
    begun.after()
    begun.fill({"O-F2-1"})
    assert tourney("collect", folder).code == 0
    step = next_of(tourney, folder)
    assert step["state"] == "finals_protests" and "heard until" in step["what"]
    begun.now += timedelta(minutes=11)
    assert next_of(tourney, folder)["state"] == "finals_end"
    assert tourney("finals", folder).code == 0
    assert next_of(tourney, folder)["state"] == "review"


@pytest.mark.parametrize("begun", ["line"], indirect=True)
def test_matters_of_rounds_and_of_finals_are_named(tourney: Tourney, begun: Hands) -> None:
    folder, given = begun.folder, ("--by", "Ada Wren", "--why", "the caller misread it")
    fill_so(folder, lambda team: int(team[-1]))
    begun.after(11)
    assert tourney("collect", folder).code == 0
    calls = read_day(folder).book.set[read_day(folder).plan.heat["O-R1-1"].call_set]
    call = calls.replaceable(calls.reserves[0])[0]  # its column has to be judged anew
    assert tourney("rule", folder, "void", "--wave", "W01", "--call", call, *given).code == 0
    step = next_of(tourney, folder)
    assert step["state"] == "open_matters" and "to settle" in step["what"] and "O-R1-1" in step["more"][0]
    assert tourney("rule", folder, "reopen", len(read_day(folder).rows), *given).code == 0
    begun.now += timedelta(minutes=11)
    assert tourney("results", folder).code == 0
    assert tourney("finals", folder).code == 0
    begun.after()
    begun.fill_late("O-F1-1", {}, unticked=1)
    assert tourney("collect", folder).code == 0
    step = next_of(tourney, folder)
    assert step["state"] == "finals_matters" and "Finals are on, and 2 matters to settle." in step["what"]
    assert (
        "O-F1-1" in step["more"][0] and step["line"] == f"tourney collect {folder}"
    )  # the judges tick it and hand it in


@pytest.mark.parametrize("begun", ["knockout"], indirect=True)
def test_nobody_waits_for_a_heat_that_needs_not_be_held(tourney: Tourney, begun: Hands) -> None:
    folder = begun.folder
    over(tourney, begun, {f"O0{n}": n for n in range(1, 7)})
    assert tourney("results", folder).code == 0
    assert tourney("finals", folder).code == 0
    first = read_day(folder).plan.heat["O-F1-1"].teams[0]
    words = ("--by", "Ada Wren", "--why", "they drove home", "--confirm")
    assert tourney("finals", folder, "--withdraw", first, *words).code == 0
    plan = read_day(folder).plan
    step = next_of(tourney, folder)
    assert step["state"] == "wave" and plan.heat["O-F1-2"].wave in step["what"]


@pytest.mark.parametrize("begun", ["knockout"], indirect=True)
def test_a_heat_that_others_have_heard_is_held_once_more(tourney: Tourney, begun: Hands) -> None:
    folder = begun.folder
    over(tourney, begun, {f"O0{n}": n for n in range(1, 7)})
    assert tourney("results", folder).code == 0
    assert tourney("finals", folder).code == 0
    begun.after()
    for heat in ("O-F1-1", "O-F1-2"):
        begun.fill_late(heat, {read_day(folder).plan.heat[heat].teams[0]: 1})
    assert tourney("collect", folder).code == 0
    assert tourney("finals", folder).code == 0
    begun.after()
    begun.fill({"O-F2-1"})
    assert tourney("collect", folder).code == 0
    first = read_day(folder).plan.heat["O-F1-1"]
    for line, child in enumerate(first.line, 1):
        if child in read_day(folder).plan.team[first.teams[1]].members:
            for call in (2, 3):
                words = ("--line", line, "--call", call, "--to", "L", "--by", "A", "--why", "seen by all")
                assert tourney("rule", folder, "settle", first.id, *words).code == 0
    step = next_of(tourney, folder)
    assert step["state"] == "finals_again" and "O-F2-1 was heard by others" in step["what"]
    assert step["line"].endswith("--confirm")
    said = tourney("finals", folder)
    assert said.code == 0 and "To be decided" in said.text
    assert tourney("finals", folder, "--confirm").code == 0
    assert next_of(tourney, folder)["state"] == "wave"


@pytest.mark.parametrize("begun", ["knockout"], indirect=True)
def test_no_heat_is_begun_that_others_belong_in_now(tourney: Tourney, begun: Hands) -> None:
    """A correction of the first stage after the second was drawn; then a heat of the first stage is held once more."""
    folder = begun.folder
    over(tourney, begun, {f"O0{n}": n for n in range(1, 7)})
    assert tourney("results", folder).code == 0 and tourney("finals", folder).code == 0
    begun.after()
    for heat in ("O-F1-1", "O-F1-2"):
        begun.fill_late(heat, {read_day(folder).plan.heat[heat].teams[0]: 1})
    assert tourney("collect", folder).code == 0 and tourney("finals", folder).code == 0
    plan = read_day(folder).plan
    first = plan.heat["O-F1-1"]
    for line, child in enumerate(first.line, 1):
        if child in plan.team[first.teams[1]].members:
            for call in (2, 3):
                words = ("--line", line, "--call", call, "--to", "L", "--by", "A", "--why", "seen by all")
                assert tourney("rule", folder, "settle", first.id, *words).code == 0
    step = next_of(tourney, folder)
    assert step["state"] == "finals_next" and "O-F2-1 is drawn for others" in step["what"]
    assert tourney("finals", folder).code == 0
    assert next_of(tourney, folder)["state"] == "wave"

    again = ("--replay", "O-F1-2", "--by", "A", "--why", "a fire alarm", "--confirm")
    said = tourney("finals", folder, *again)
    halted = "O-F2-1: don’t hold it as it is drawn."
    assert said.code == 0 and halted in said.text and "O-F2-1: Sheet" not in said.text
    step = next_of(tourney, folder)
    plan = read_day(folder).plan
    assert step["state"] == "wave" and any(halted in sentence for sentence in step["more"])
    assert f"Wave {plan.heat['O-F1-2'].wave} starts" in step["what"], "not that of the heat that has to wait"


@pytest.mark.parametrize("begun", ["line"], indirect=True)
def test_level_at_the_cut_until_the_last_set(tourney: Tourney, begun: Hands) -> None:
    folder = begun.folder
    over(tourney, begun, dict.fromkeys(("O02", "O03"), 16) | dict.fromkeys(("O04", "O05", "O06"), 20))
    assert tourney("results", folder).code == 0
    step = next_of(tourney, folder)
    assert step["state"] == "drill_off" and "are level at the last place of the finals" in step["what"]
    for number in (1, 2, 3):
        assert tourney("finals", folder).code == 0
        assert next_of(tourney, folder)["state"] == "wave"
        begun.after()
        step = next_of(tourney, folder)
        assert step["state"] == "finals_sheets" and step["what"].startswith("A drill-off is on.")
        begun.fill_late(f"O-D{number}", {})
        assert tourney("collect", folder).code == 0
    step = next_of(tourney, folder)
    assert step["state"] == "drill_off_by_hand" and "read on, call by call" in step["more"][0]
    assert step["line"].endswith("--drill-off O02=N --drill-off O03=N")


@pytest.mark.parametrize("begun", ["line"], indirect=True)
def test_nobody_waits_for_sheets_of_a_drill_off_that_was_typed(tourney: Tourney, begun: Hands) -> None:
    folder = begun.folder
    over(tourney, begun, dict.fromkeys(("O02", "O03"), 16) | dict.fromkeys(("O04", "O05", "O06"), 20))
    assert tourney("results", folder).code == 0
    assert tourney("finals", folder).code == 0
    assert tourney("finals", folder, "--drill-off", "O02=20", "--drill-off", "O03=30").code == 0
    step = next_of(tourney, folder)
    assert step["state"] == "wave" and read_day(folder).plan.heat["O-F1-1"].wave in step["what"]


@pytest.mark.parametrize("begun", ["none"], indirect=True)
def test_finals_of_one_team_are_not_waited_for(tourney: Tourney, begun: Hands) -> None:
    over(tourney, begun, {f"O0{n}": n for n in range(1, 7)})
    assert tourney("results", begun.folder).code == 0
    assert next_of(tourney, begun.folder)["state"] == "review"
    said = tourney("finals", begun.folder)
    assert said.code == 1 and "There will be no finals." in said.text and "fewer than two teams" in said.text
    assert "Collect what is missing" not in said.text


def test_a_rehearsal_is_over_whatever_the_clock_says(tourney: Tourney, tmp_path: Path) -> None:
    folder = tmp_path / "played"
    assert tourney("rehearse", sample_events() / "small_hall", "--into", folder).code == 0
    said = tourney("finals", folder)
    assert said.code == 0 and "Finals, final" in said.text
    assert next_of(tourney, folder)["state"] == "review"
