"""The record on a real PostgreSQL server: two tabulators at once, a kill, a purge, a copy, a whole day."""

import hashlib
import itertools
import json
import shutil
import signal
import subprocess
import sys
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from tourney.errors import FileTrouble
from tourney.record.journal import Journal
from tourney.record.row import Entry
from tourney.record.sealing import Private
from tourney.resources import sample_events
from tourney.verify.record import check_record

Tourney = Callable[..., Any]  # the fixture of tests/conftest.py
AT = datetime(2027, 4, 17, 9, tzinfo=UTC)

TABULATOR = """
import sys
from datetime import datetime, UTC
from tourney.record.journal import Journal
address, name, count = sys.argv[1], sys.argv[2], int(sys.argv[3])
with Journal.open(address) as journal:
    for n in range(count):
        print(journal.append("ruling", {"by": name, "n": n}, at=datetime.now(UTC), why="a slip"), flush=True)
"""


def tabulator(address: str, name: str, count: int) -> subprocess.Popen[str]:
    command = [sys.executable, "-c", TABULATOR, address, name, str(count)]
    return subprocess.Popen(command, stdout=subprocess.PIPE, text=True)


def sound(journal: Journal) -> bool:
    return all(line.ok for line in check_record(journal.stored(), "", journal.kept_file, purged=False))


def test_rows_and_files_come_back_as_they_went_in(database: str) -> None:
    body = {"name": "Zoë 王", "n": [1, None, True, 0.5], "odd": "\udce9\x00"}
    content = bytes(range(256)) * 20
    with Journal.open(database) as journal:
        assert journal.rows() == () and journal.stored() == ()
        journal.append_all([Entry("ruling", body, "Ada", "she saw it")], at=AT, files=[content, content])
        (row,) = journal.rows()
        assert (row.body, row.by, row.why, row.at) == (body, "Ada", "she saw it", AT)
        assert journal.kept_file(hashlib.sha256(content).hexdigest()) == content
        assert sound(journal)


def test_two_tabulators_at_once_lose_nothing(database: str) -> None:
    """Both begin on an empty database, where even the tables are still to be made."""
    both = [tabulator(database, name, 40) for name in ("one", "two")]
    acknowledged = [[int(line) for line in each.communicate()[0].split()] for each in both]
    assert [each.returncode for each in both] == [0, 0]
    with Journal.open(database) as journal:
        rows = journal.rows()
        assert sound(journal)
    assert sorted(itertools.chain(*acknowledged)) == [row.seq for row in rows] == list(range(1, 81))
    for name in ("one", "two"):
        assert [row.body["n"] for row in rows if row.body["by"] == name] == list(range(40))


def test_what_was_acknowledged_survives_a_kill(database: str) -> None:
    process = tabulator(database, "killed", 10_000)
    assert process.stdout is not None
    acknowledged = [int(process.stdout.readline()) for _ in range(15)]
    process.send_signal(signal.SIGKILL)
    acknowledged += [int(line) for line in process.stdout.read().splitlines() if line]
    process.wait()
    process.stdout.close()
    with Journal.open(database) as journal:
        assert set(acknowledged) <= {row.seq for row in journal.rows()}
        assert sound(journal)
        assert journal.append("ruling", {}, at=AT) > max(acknowledged), "the desk that is left goes on"


def test_a_purge_destroys_the_keys(database: str) -> None:
    with Journal.open(database) as journal:
        journal.append_all([Entry("plan", {"child": Private("contestant J01-1", "Zoë")})], at=AT, files=[b"hers"])
        assert journal.purge(at=AT) == 2
        assert journal.rows()[0].body == {"child": {"$removed": "contestant J01-1"}}
        assert journal.kept_file(hashlib.sha256(b"hers").hexdigest()) is None
        assert all(line.ok for line in check_record(journal.stored(), "", journal.kept_file, purged=True))


def test_a_copy_is_a_file_of_the_folder(database: str, tmp_path: Path) -> None:
    with Journal.open(database) as journal:
        journal.append_all([Entry("sheet", {"n": n}) for n in range(3)], at=AT, files=[b"content"])
        assert journal.copy_to(tmp_path / "copy.sqlite") == 3
        with Journal.open(tmp_path / "copy.sqlite") as copy:
            assert copy.rows() == journal.rows() and sound(copy)
            assert copy.kept_file(hashlib.sha256(b"content").hexdigest()) == b"content"


def test_a_server_that_is_not_there_is_named() -> None:
    with (
        Journal.open("postgresql+psycopg://desk@/day?host=/nowhere") as journal,
        pytest.raises(FileTrouble, match="can't be reached"),
    ):
        journal.rows()


def test_a_password_does_not_belong_into_the_settings() -> None:
    with pytest.raises(FileTrouble, match="holds a password") as trouble:
        Journal.open("postgresql+psycopg://desk:hush@/day?host=/nowhere")
    assert "hush" not in trouble.value.message + trouble.value.hint


def test_a_whole_day_with_its_record_on_the_server(tourney: Tourney, database: str, tmp_path: Path) -> None:
    source = Path(shutil.copytree(sample_events() / "small_hall", tmp_path / "source"))
    settings = source / "event.toml"
    text = settings.read_text(encoding="utf-8")
    assert tourney("rehearse", source, "--into", tmp_path / "file").code == 0
    settings.write_text(text.replace("[day]\n", f'[day]\nrecord = "{database}"\n'), encoding="utf-8")
    assert tourney("rehearse", source, "--into", tmp_path / "server").code == 0
    assert not (tmp_path / "server" / "record.sqlite").exists()
    results = [
        json.loads((tmp_path / name / "results" / "results.json").read_text("utf-8")) for name in ("file", "server")
    ]
    assert results[0]["divisions"] == results[1]["divisions"]
    assert tourney("verify", tmp_path / "server").code == 0
