"""Two published football groups as whole days through the command line: a goal is a point, a match a heat.

Results and orders as in test_group_tables.py: Euro 2024 group E (copies of Wikipedia's page of the group; CBS Sports,
26 June 2024) and Asian Cup 1996 group C (open data set martj42/international_results; the order under the rule that
asks the meetings again was worked out from it).
"""

import json
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from tourney.resources import sample_events

Tourney = Callable[..., Any]  # the fixture of tests/conftest.py

MATCHES = {
    "Euro 2024 E": "Romania 3-0 Ukraine; Belgium 0-1 Slovakia; Slovakia 1-2 Ukraine; Belgium 2-0 Romania; "
    "Slovakia 1-1 Romania; Ukraine 0-0 Belgium",
    "Asian Cup 1996 C": "China 0-2 Uzbekistan; Japan 2-1 Syria; Japan 4-0 Uzbekistan; Syria 0-3 China; "
    "Japan 1-0 China; Uzbekistan 1-2 Syria",
}
PUBLISHED = {
    "Euro 2024 E": ["Romania", "Belgium", "Slovakia", "Ukraine"],
    "Asian Cup 1996 C": ["Japan", "Uzbekistan", "China", "Syria"],
}
CHAIN = '["head_to_head", "head_to_head_margin", "head_to_head_points", "margin", "points"]'


def goals(group: str) -> dict[frozenset[str], dict[str, str]]:
    """The two teams of a match -> the goals of each."""
    found = {}
    for match in MATCHES[group].split("; "):
        home, score, away = match.split(" ")
        found[frozenset((home, away))] = dict(zip((home, away), score.split("-"), strict=True))
    return found


def played(tourney: Tourney, folder: Path, group: str, after_split: str) -> list[str]:
    """The teams of a group, best first, after a day in which everyone met everyone."""
    shutil.copytree(sample_events() / "small_hall", folder)
    shutil.rmtree(folder / "entries")
    (folder / "entries").mkdir()
    matches = goals(group)
    teams = sorted({team for match in matches for team in match})
    lines = ["club,team,division,name,birth_date"]
    for team in teams:
        lines += [
            f"{team},{team},Open,{name} {team},2016-05-0{day}" for day, name in enumerate(("Ada", "Ben", "Cy"), 1)
        ]
    (folder / "entries" / "entries.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
    settings = folder / "event.toml"
    rules = f'rounds = "all"\nrank_by = "heat_points"\nafter_split = "{after_split}"\ntie_breaks = {CHAIN}'
    text = settings.read_text(encoding="utf-8").replace("rounds = 3", rules).replace("advance = 2", 'finals = "none"')
    settings.write_text(text, encoding="utf-8")
    said = tourney("plan", folder)
    assert said.code == 0, said.out + said.err
    plan = json.loads((folder / "plan.json").read_text(encoding="utf-8"))
    names = {team["id"]: team["name"] for team in plan["teams"]}
    rows = ["heat,team,points"]
    for heat in plan["heats"]:
        two = [names[team] for team in heat["teams"]]
        rows += [f"{heat['id']},{team},{matches[frozenset(two)][names[team]]}" for team in heat["teams"]]
    assert len(rows) == 13, "six matches, each with two teams"
    (folder / "returned").mkdir(exist_ok=True)
    (folder / "returned" / "totals.csv").write_text("\n".join(rows) + "\n", encoding="utf-8")
    said = tourney("collect", folder)
    assert said.code == 0, said.out + said.err
    (division,) = tourney("results", folder, "--json").document["divisions"]
    assert [row["place"] for row in division["teams"]] == [1, 2, 3, 4]
    return [names[row["team"]] for row in division["teams"]]


@pytest.mark.parametrize("group", list(PUBLISHED))
def test_published_orders_where_meetings_are_asked_again(tourney: Tourney, tmp_path: Path, group: str) -> None:
    assert played(tourney, tmp_path / "day", group, "repeat_meetings") == PUBLISHED[group]


def test_going_on_and_beginning_anew_each_miss_one(tourney: Tourney, tmp_path: Path) -> None:
    anew = played(tourney, tmp_path / "anew", "Euro 2024 E", "restart")
    assert anew == ["Belgium", "Romania", "Slovakia", "Ukraine"]
    on = played(tourney, tmp_path / "on", "Asian Cup 1996 C", "continue")
    assert on == ["Japan", "China", "Uzbekistan", "Syria"]
