"""Results that were final are kept, and what is amended later is shown as a difference."""

import json
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path
from typing import Any

from tourney.day.results import results
from tourney.day.state import read_day

Tourney = Callable[..., Any]


def test_amended_results_keep_the_published_ones(played: Path, tourney: Tourney) -> None:
    day, folder = read_day(played), played / "results"
    last = day.state.last_sheet
    assert last is not None
    later = last + timedelta(hours=3)
    assert results(played, later).results.state == "final"
    published = (folder / "results.json").read_bytes()
    assert results(played, later).files == results(played, later).files, "running it again amends nothing"
    assert not (folder / "amended.html").exists() and not list(folder.glob("published_*"))

    first = json.loads(published)["divisions"][0]["teams"][0]["team"]
    told = ("--by", "Chief judge", "--why", "found out late", "--override")
    assert tourney("rule", played, "disqualify", first, *told).code == 0
    files = results(played, later + timedelta(minutes=5)).files
    assert "results/amended.html" in files
    assert (folder / "published_1.json").read_bytes() == published
    page = (folder / "amended.html").read_text(encoding="utf-8")
    assert "none" in page and "Amended results" in page

    results(played, later + timedelta(minutes=6))
    assert [path.name for path in folder.glob("published_*")] == ["published_1.json"], "nothing new was published"
