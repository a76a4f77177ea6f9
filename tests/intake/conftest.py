"""An event folder written in a few lines, and read; a real score sheet, filled in."""

import shutil
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

import pytest

from tests.intake.zipped import parts_of
from tourney.draw import Draw
from tourney.intake.folder import HandedIn, read_folder
from tourney.model.plan import Plan
from tourney.model.sheet import SheetEntries
from tourney.papers.fill import fill_workbook
from tourney.papers.score_sheets import write_score_sheets
from tourney.planning.plan import plan_day
from tourney.planning.roster import enrol
from tourney.resources import sample_events
from tourney.simulation.rehearsal import simulate

SETTINGS = """\
[event]
name = "Millrace Day"
date = 2027-04-17
[[rooms]]
name = "Barn"
[[divisions]]
name = "Junior"
ages = [8, 10]
minimum = 1
counting = 1
[[divisions]]
name = "Senior"
ages = [11, 13]
minimum = 1
counting = 1
"""
OFFICIALS = "name,cleared_until\nGreta Hollin,2028-01-01\n"
HandIn = Callable[..., HandedIn]


@pytest.fixture
def hand_in(tmp_path: Path) -> HandIn:
    """Write files over a base and read all: entries by name in `entries`; None leaves a file of the base out."""

    def read(
        entries: dict[str, str] | str = "",
        settings: str = "",
        officials: str | None = OFFICIALS,
        event: str | None = SETTINGS,
        **others: str | bytes,
    ) -> HandedIn:
        files = {"a.csv": entries} if isinstance(entries, str) else entries
        shutil.rmtree(tmp_path / "entries", ignore_errors=True)
        (tmp_path / "entries").mkdir()
        for name, text in files.items():
            (tmp_path / "entries" / name).write_text(text, encoding="utf-8")
        for name, content in (("event.toml", event and event + settings), ("officials.csv", officials)):
            if content is not None:
                (tmp_path / name).write_text(content, encoding="utf-8")
        for name, extra in others.items():
            content_bytes = extra.encode() if isinstance(extra, str) else extra
            (tmp_path / ".".join(name.rsplit("_", 1))).write_bytes(content_bytes)
        return read_folder(tmp_path)

    return read


@dataclass(frozen=True)
class Filled:
    """A workbook of one score sheet, filled in, and the plan that it belongs to."""

    plan: Plan
    content: bytes

    @property
    def parts(self) -> dict[str, bytes]:
        return parts_of(self.content)


def filled_sheet(folder: Path) -> Filled:
    """One heat of the small sample with one judge, played by the rehearsal. folder: an empty one."""
    handed = read_folder(sample_events() / "small_hall")
    assert handed.event
    roster = enrol(handed.teams, handed.officials, handed.event, None)
    plan, book = plan_day(handed.event, roster, handed.syllabus, "fuzz", "")
    plan = replace(plan, heats=(replace(plan.heats[0], judges=plan.heats[0].judges[:1]),))
    (path,) = write_score_sheets(folder, plan, book, roster)
    (played,) = simulate(plan, book, roster, Draw("fuzz")).entries
    cells = {(1, 1): "L", (2, 3): "w s", (3, 2): "h", **{at: text for at, text in played.cells.items() if at[0] > 3}}
    fill_workbook(path, path, {played.code: SheetEntries(played.code, cells, played.ticked, "AB")})
    return Filled(plan, path.read_bytes())


@pytest.fixture(scope="session")
def filled(tmp_path_factory: pytest.TempPathFactory) -> Filled:
    return filled_sheet(tmp_path_factory.mktemp("sheet"))
