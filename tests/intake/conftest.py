"""An event folder written in a few lines, and read."""

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from tourney.intake.folder import HandedIn, read_folder

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
