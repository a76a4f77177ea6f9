"""The one way to open a workbook that came from outside: in a process beside ours, with limits.

Whatever is in the file, a loop without end, a flood of memory or a crash of a library ends that process and becomes
one sentence; the next file gets a new process. What comes back from it is JSON: data, never code.
"""

import atexit
import json
import os
import struct
import subprocess
import sys
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager, suppress
from datetime import date, datetime, time
from queue import LifoQueue
from threading import Event, Lock, Timer
from typing import IO, Any

from tourney.intake.grid import Grid, Place, Unreadable, too_large

SECONDS = 60  # for one file; the largest workbook of a long day takes one, but the machine may be busy
MEMORY = 1_000_000_000  # bytes, where the system can hold a process to that (Windows can't)

_LENGTH = struct.Struct("<Q")
_MOMENTS: dict[str, Callable[[str], object]] = {
    "datetime": datetime.fromisoformat,
    "date": date.fromisoformat,
    "time": time.fromisoformat,
}


class Worker:
    """The reading process, started when it is first needed, and again after it came to an end.

    It reads one file at a time; several threads may ask. seconds: for one file.
    """

    def __init__(self, seconds: float = SECONDS) -> None:
        self._seconds = seconds
        self._process: subprocess.Popen[bytes] | None = None
        atexit.register(self.close)
        self._one_at_a_time = Lock()

    def start(self) -> None:
        """Start the process if it is not there, without waiting for it."""
        with self._one_at_a_time:
            self._process = self._process or _started()

    def read(self, content: bytes) -> tuple[Grid, ...]:
        """All sheets of a workbook. Unreadable when it is none, or too much for the limits."""
        with self._one_at_a_time:
            words = self._ask(content)
        answer = json.loads(words, object_hook=_moment)
        if "message" in answer:
            raise Unreadable(answer["message"], answer["hint"])
        return tuple(_grid(*plain) for plain in answer["sheets"])

    def _ask(self, content: bytes) -> bytes:
        process = self._process = self._process or _started()
        assert process.stdin and process.stdout
        late = Event()

        def stop() -> None:
            late.set()
            process.kill()

        alarm = Timer(self._seconds, stop)
        alarm.start()
        try:
            _send(process.stdin, content)
            return _received(process.stdout)
        except (OSError, EOFError) as reason:
            self.close()
            if late.is_set():
                raise too_large() from reason
            raise Unreadable("can't be read: it is damaged or far larger than it should be.") from reason
        finally:
            alarm.cancel()

    def close(self) -> None:
        """End the process, if there is one."""
        if self._process:
            self._process.kill()
            self._process.communicate()
            self._process = None


AT_ONCE = 2  # files; each is read in a process of its own
_FREE: LifoQueue[Worker] = LifoQueue()  # who read last reads next: a second process starts when two files are asked for
for _ in range(AT_ONCE):
    _FREE.put(Worker())


@contextmanager
def _worker() -> Iterator[Worker]:
    worker = _FREE.get()
    try:
        yield worker
    finally:
        _FREE.put(worker)


def start_reading() -> None:
    """Start a process now: it is ready when the first file comes."""
    with _worker() as worker:
        worker.start()


def open_workbook(content: bytes) -> tuple[Grid, ...]:
    """All sheets of a workbook: .xlsx, .xlsm, .ods or .xls. Unreadable when it is anything else, or too much."""
    with _worker() as worker:
        return worker.read(content)


def _started() -> "subprocess.Popen[bytes]":
    return subprocess.Popen(
        [sys.executable, "-m", "tourney.intake.reader"],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,  # what a crashing library prints helps nobody
        env={**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)},
    )


def _send(pipe: IO[bytes], content: bytes) -> None:
    pipe.write(_LENGTH.pack(len(content)))
    pipe.write(content)
    pipe.flush()


def _received(pipe: IO[bytes]) -> bytes:
    """The next message. EOFError when the other side has ended."""
    head = pipe.read(_LENGTH.size)
    size = _LENGTH.unpack(head)[0] if len(head) == _LENGTH.size else -1
    content = pipe.read(size) if size >= 0 else b""
    if len(content) != size:
        raise EOFError
    return content


def _plain(grid: Grid) -> list[Any]:
    trouble = [grid.trouble.message, grid.trouble.hint] if grid.trouble else None
    by_place = (list(found.items()) for found in (grid.doubts, grid.comments))
    return [grid.name, grid.rows, grid.merged, *by_place, grid.visible, trouble]


def _grid(
    name: str,
    rows: list[list[object]],
    merged: Iterable[tuple[Place, Place]],
    doubts: Iterable[tuple[Place, str]],
    comments: Iterable[tuple[Place, str]],
    visible: bool,
    trouble: tuple[str, str] | None,
) -> Grid:
    """The other way round: JSON knows no tuples."""
    return Grid(
        name,
        rows,
        {(row, column): what for (row, column), what in doubts},
        [((top, left), (bottom, right)) for (top, left), (bottom, right) in merged],
        {(row, column): what for (row, column), what in comments},
        visible,
        Unreadable(*trouble) if trouble else None,
    )


def _moment(words: dict[str, Any]) -> Any:
    """The one kind of value that JSON has no form for."""
    return _MOMENTS[words["kind"]](words["iso"]) if "iso" in words else words


def _as_words(value: object) -> Any:
    if isinstance(value, date | time):
        return {"kind": type(value).__name__, "iso": value.isoformat()}
    return str(value)


def _hold_to_limits() -> None:
    with suppress(ImportError, ValueError, OSError):
        import resource

        resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
        resource.setrlimit(resource.RLIMIT_CORE, (0, 0))


def serve() -> None:
    """The worker's side: workbooks in, sheets or the reason out, until the other side ends."""
    from tourney.intake.received_workbook import read_workbook

    _hold_to_limits()
    with suppress(EOFError):
        while True:
            content = _received(sys.stdin.buffer)
            try:
                answer: dict[str, Any] = {"sheets": [_plain(grid) for grid in read_workbook(content)]}
                words = json.dumps(answer, default=_as_words)
            except Unreadable as reason:
                words = json.dumps({"message": reason.message, "hint": reason.hint})
            _send(sys.stdout.buffer, words.encode())


if __name__ == "__main__":
    serve()
