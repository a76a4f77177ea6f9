"""The reading process: whatever happens to it becomes a sentence, and the next file is read all the same."""

import io
import subprocess
import sys
from collections.abc import Callable, Iterator
from datetime import date, datetime, time
from typing import Any

import pytest
from openpyxl import Workbook

from tourney.intake.grid import Unreadable
from tourney.intake.reader import SECONDS, Worker

Start = Callable[..., Worker]

# A process that does something else at a file with these bytes, and reads every other file.
BAD = b"bad"
MISHAP = f"""
from tourney.intake import reader, received_workbook
read = received_workbook.read_workbook
def changed(content):
    if content == {BAD!r}:
        {{}}
    return read(content)
received_workbook.read_workbook = changed
reader.serve()
"""


@pytest.fixture
def worker(monkeypatch: pytest.MonkeyPatch) -> Iterator[Start]:
    """Makes workers that are ended after the test. mishap: what happens at BAD."""
    made: list[Worker] = []
    start: Any = subprocess.Popen

    def make(mishap: str = "", seconds: float = SECONDS) -> Worker:
        one = Worker(seconds)
        if mishap:
            words = [sys.executable, "-c", MISHAP.format(mishap)]
            monkeypatch.setattr(subprocess, "Popen", lambda _, **how: start(words, **how))
        made.append(one)
        return one

    yield make
    for one in made:
        one.close()


def workbook(*values: Any) -> bytes:
    book = Workbook()
    for column, value in enumerate(values, 1):
        book.worksheets[0].cell(1, column).value = value
    target = io.BytesIO()
    book.save(target)
    return target.getvalue()


def test_values_of_every_kind_come_back_as_they_were(worker: Start) -> None:
    values = (
        "L\N{CYRILLIC CAPITAL LETTER EN}\N{GRINNING FACE}",
        4,
        4.5,
        True,
        date(2016, 5, 3),
        time(9, 30),
        datetime.fromisoformat("2016-05-03T09:30:15"),
    )
    (grid,) = worker().read(workbook(*values))
    assert list(grid.rows[0]) == list(values)
    assert [type(value) for value in grid.rows[0]] == [str, float, float, bool, date, time, datetime]


def test_a_reason_comes_back_and_the_process_stays(worker: Start) -> None:
    one = worker()
    for _ in range(2):
        with pytest.raises(Unreadable) as refused:
            one.read(b"")
        assert (refused.value.message, bool(refused.value.hint)) == ("is empty.", True)
    assert one.read(workbook("L"))[0].rows == [["L"]]


@pytest.mark.parametrize(
    ("mishap", "seconds", "said"),
    [
        ("import os; os.abort()", SECONDS, "damaged or far larger"),
        ("raise SystemExit(0)", SECONDS, "damaged or far larger"),
        ("raise RuntimeError('nobody must see this')", SECONDS, "damaged or far larger"),
        ("while True: pass", 0.3, "is far larger"),
    ],
)
def test_an_end_of_the_process_is_a_sentence(
    worker: Start, capfd: pytest.CaptureFixture[str], mishap: str, seconds: float, said: str
) -> None:
    one = worker(mishap, seconds)
    with pytest.raises(Unreadable, match=said):
        one.read(BAD)
    assert capfd.readouterr() == ("", "")


def test_after_a_mishap_the_next_file_is_read(worker: Start) -> None:
    one = worker("import os; os.abort()")
    for _ in range(2):
        with pytest.raises(Unreadable):
            one.read(BAD)
        assert one.read(workbook("L"))[0].rows == [["L"]]


@pytest.mark.skipif(sys.platform != "linux", reason="only some systems can hold a process to a limit")
def test_a_flood_of_memory_is_stopped(worker: Start) -> None:
    with pytest.raises(Unreadable, match="far larger"):
        worker("kept = [bytearray(100_000_000) for _ in range(40)]").read(BAD)
