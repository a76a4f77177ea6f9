"""Days with finals for stories: judges who fill sheets, and a clock that is turned on."""

import json
import shutil
from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from tourney import clock
from tourney.day.papers import papers
from tourney.day.plan import plan
from tourney.day.state import read_day
from tourney.draw import Draw
from tourney.papers.fill import fill_workbook
from tourney.resources import sample_events
from tourney.simulation.rehearsal import simulate

Tourney = Callable[..., Any]  # the fixture of tests/conftest.py


def read(path: Path) -> Any:
    return json.loads(path.read_text(encoding="utf-8"))


class Hands:
    """The clock of a test, and judges who fill whatever sheets are to be filled."""

    def __init__(self, folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        self.folder = folder
        self.now = read_day(folder).plan.waves[0].start
        monkeypatch.setattr(clock, "now", lambda: self.now)

    def after(self, minutes: int = 5) -> None:
        """So many minutes after the last wave, or after now when that is later."""
        self.now = max(self.now, read_day(self.folder).plan.waves[-1].end) + timedelta(minutes=minutes)

    def fill(self, heats: set[str], words: str = "a test", but: int = 0) -> None:
        """The sheets of these heats, all but the last few, into returned/."""
        day = read_day(self.folder)
        played = simulate(day.plan, day.called, day.roster, Draw(words))
        entries = {sheet.code: sheet for sheet in (*played.entries, *played.corrections)}
        wanted = sorted(code for code in entries if code.rsplit(".", 2)[0] in heats)
        kept = {code: entries[code] for code in wanted[: len(wanted) - but]}
        for at, workbook in enumerate(self.workbooks()):
            fill_workbook(workbook, self.folder / "returned" / f"{self.now:%H%M%S} {words} {at}.xlsx", kept)

    def fill_late(self, heat: str, late: Mapping[str, int], unticked: int = 0) -> None:
        """All sheets of a heat: each team late in its first so many calls, all else clean but the last, not judged."""
        day = read_day(self.folder)
        played, held = simulate(day.plan, day.called, day.roster, Draw("a test")), day.plan.heat[heat]
        team_of = {child: team.id for team in day.plan.teams for child in team.members}
        calls = range(1, len(day.book.set[held.call_set].calls) + 1)
        marks = {
            (line, n): "L" for line, child in enumerate(held.line, 1) for n in calls[: late.get(team_of[child], 0)]
        }
        sheets = {sheet.code: sheet for sheet in (*played.entries, *played.corrections)}
        ticks = dict.fromkeys(calls[: len(calls) - unticked], "x")
        filled = {
            code: replace(sheet, cells=marks, ticked=ticks, initials=sheet.initials or "AW")
            for code, sheet in sheets.items()
            if code.rsplit(".", 2)[0] == heat
        }
        for at, workbook in enumerate(self.workbooks()):
            fill_workbook(workbook, self.folder / "returned" / f"{self.now:%H%M%S} {heat} {at}.xlsx", filled)

    def workbooks(self) -> Iterator[Path]:
        stages = sorted((self.folder / "papers" / "finals").glob("*/judges/*.xlsx"))
        yield from stages or sorted((self.folder / "papers" / "judges").glob("*.xlsx"))

    def play_finals(self, tourney: Tourney) -> None:
        """Fill and collect what is open, stage after stage, until every place is decided."""
        while heats := self.open_heats():
            self.after()
            self.fill(heats)
            assert tourney("collect", self.folder).code == 0
            said = tourney("finals", self.folder)
            assert said.code == 0, said.out

    def open_heats(self) -> set[str]:
        """Heats that are drawn and still to be decided."""
        heats = read(self.folder / "results" / "finals.json")["divisions"][0]["heats"]
        return {heat["id"] for heat in heats if heat["wave"] and not heat["winner"]}


def fill_so(folder: Path, faults: Callable[[str], int], handed_out: str = "judges") -> None:
    """Every sheet handed out into returned/: a team is late in so many calls, from round 1 on; else all is clean.

    Teams that are late in whole rounds are level, however hard their calls are.
    """
    day = read_day(folder)
    played = simulate(day.plan, day.called, day.roster, Draw("a test"))
    sheets = {sheet.code: sheet for sheet in (*played.entries, *played.corrections)}
    team_of = {child: team.id for team in day.plan.teams for child in team.members}
    for code, sheet in sheets.items():
        heat = day.plan.heat[code.rsplit(".", 2)[0]]
        calls = range(1, len(day.book.set[heat.call_set].calls) + 1)
        late = {team: max(0, faults(team) - (heat.round - 1) * len(calls)) for team in heat.teams}
        cells = {(line, call): "L" for line, child in enumerate(heat.line, 1) for call in calls[: late[team_of[child]]]}
        sheets[code] = replace(sheet, cells=cells, ticked=dict.fromkeys(calls, "x"), initials=sheet.initials or "AW")
    for workbook in sorted((folder / "papers").glob(f"{handed_out}/*.xlsx")):
        fill_workbook(workbook, folder / "returned" / workbook.name, sheets)


def collected(tourney: Tourney, hands: Hands, late: dict[str, int]) -> None:
    """The rounds are over and the time for protests too; in round 1 teams were late in so many calls."""
    fill_so(hands.folder, lambda team: late.get(team, 0))
    hands.after(11)
    assert tourney("collect", hands.folder).code == 0
    hands.now += timedelta(minutes=11)


def drilled(tourney: Tourney, hands: Hands, heat: str, late: dict[str, int]) -> None:
    hands.after()
    hands.fill_late(heat, late)
    assert tourney("collect", hands.folder).code == 0


def finals_heats(folder: Path) -> set[str]:
    return {heat["id"] for heat in read(folder / "plan.json")["heats"] if "-F" in heat["id"]}


def planned(folder: Path, finals: str, line_limit: int = 8, source: Path | None = None) -> Path:
    """The small sample, or a folder like it: six teams and these finals, in a room of that width, with its papers."""
    shutil.copytree(source or sample_events() / "small_hall", folder)
    settings = folder / "event.toml"
    text = settings.read_text(encoding="utf-8")
    text = text.replace("advance = 2", finals).replace("line_limit = 8", f"line_limit = {line_limit}")
    settings.write_text(text, encoding="utf-8")
    (folder / "draw_secret.txt").write_text("a secret of this test\n", encoding="utf-8")
    plan(folder, datetime.fromisoformat("2027-03-06T12:00:00+00:00"))
    papers(folder)
    return folder


def made(points: dict[str, int]) -> list[str]:
    """The words for what teams made in a drill-off."""
    return [word for team, count in points.items() for word in ("--drill-off", f"{team}={count}")]
