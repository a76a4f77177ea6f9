"""A small planned day and its sheets, for the journal and its fold; a real PostgreSQL server."""

import itertools
import os
import shutil
import signal
import subprocess
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import create_engine
from sqlalchemy.exc import OperationalError

from tourney.model.calls import Call, CallBook, CallSet
from tourney.model.event import Division, Event, Room
from tourney.model.people import Contestant, Roster, Team
from tourney.model.plan import DrawRecord, Heat, Plan, SealedSet, Wave
from tourney.model.sheet import FilledSheet
from tourney.model.sheet_layout import sheet_code

LINE = ("J01-1", "J01-2", "J02-1")


@pytest.fixture
def book() -> CallBook:
    call = Call(1, "book", "MIC", "minor_prophets", 2.9, "Micah", ("Jonah", "Micah", "Nahum"))
    return CallBook((CallSet("J-W01", "Junior", "rotation", 1, 1, 10, (call,)),))


@pytest.fixture
def roster() -> Roster:
    teams = (
        Team("J01", "Larks", "Sandpiper Lane", "Junior", LINE[:2]),
        Team("J02", "Wrens", "Mill Brook", "Junior", LINE[2:]),
    )
    return Roster(teams, tuple(Contestant(key, f"Child {key}") for key in LINE), ())


@pytest.fixture
def plan(roster: Roster, book: CallBook) -> Plan:
    event = Event(
        name="Lantern day",
        date=date(2027, 4, 17),
        rooms=(Room(name="Hall"),),
        divisions=(Division(name="Junior", ages=(8, 10), calls=4),),
    )
    heat = Heat("J-R1-1", "Junior", 1, "W01", "Hall", "J-W01", ("J01", "J02"), ("O01", "O02"), "O04", None, LINE)
    waves = (Wave("W01", datetime(2027, 4, 17, 9, tzinfo=UTC), 15),)
    sealed = tuple(SealedSet(found.id, "Junior", "rotation", found.fingerprint()) for found in book.sets)
    draw = DrawRecord("words", "", "sha256:00")
    return Plan(1, event, draw, roster.teams, {"Junior": 1}, (), waves, (heat,), (), sealed, ())


@pytest.fixture
def sheet() -> Callable[..., FilledSheet]:
    """Makes a sheet of the first judge, with all four calls judged and nothing marked unless told otherwise."""
    clean = FilledSheet(sheet_code("J-R1-1", 1), "J-R1-1", 1, 1, "AB", LINE, (), (1, 2, 3, 4))

    def make(**changes: Any) -> FilledSheet:
        return replace(clean, code=sheet_code("J-R1-1", changes.get("judge", 1)), **changes)

    return make


def postgresql_programs() -> Path | None:
    """Where initdb and postgres are; Debian keeps them out of the path."""
    found = shutil.which("initdb")
    places = [Path(found)] if found else sorted(Path("/usr/lib/postgresql").glob("*/bin/initdb"))
    return places[-1].resolve().parent if places else None


@contextmanager
def running_server(*settings: str) -> Iterator[str]:
    """A PostgreSQL server of our own on a socket in a folder of its own: its address, {} for a database's name."""
    programs = postgresql_programs()
    assert programs is not None
    # It refuses to run as root, as which CI runs: then as a user who may do nothing else.
    runs_as: dict[str, Any] = {"user": "nobody", "group": "nogroup", "extra_groups": []} if os.getuid() == 0 else {}
    folder = Path(tempfile.mkdtemp(prefix="pg"))  # a short path: sockets allow about 100 characters
    if runs_as:
        shutil.chown(folder, runs_as["user"], runs_as["group"])
    subprocess.run(
        [programs / "initdb", "-D", folder / "data", "-U", "desk", "-A", "trust", "-E", "UTF8", "--no-locale", "-N"],
        check=True, stdout=subprocess.DEVNULL, cwd=folder, **runs_as,
    )  # fmt: skip
    server = subprocess.Popen(
        [programs / "postgres", "-D", folder / "data", "-k", folder, "-c", "listen_addresses=", *settings],
        stderr=subprocess.DEVNULL, cwd=folder, **runs_as,
    )  # fmt: skip
    try:
        _wait_for(f"postgresql+psycopg://desk@/postgres?host={folder}")
        yield f"postgresql+psycopg://desk@/{{}}?host={folder}"
    finally:
        server.send_signal(signal.SIGQUIT)  # at once: nothing of it is kept
        server.wait(60)
        shutil.rmtree(folder)


@pytest.fixture(scope="session")
def postgresql() -> Iterator[str]:
    """The address of a server for all tests of this run."""
    if postgresql_programs() is None:
        pytest.skip("PostgreSQL is not installed here")
    with running_server("-c", "fsync=off") as address:
        yield address


def _wait_for(address: str) -> None:
    engine = create_engine(address)
    for _ in range(300):
        try:
            engine.connect().close()
        except OperationalError:
            time.sleep(0.1)
        else:
            break
    engine.dispose()


_numbers = itertools.count(1)


@pytest.fixture
def database(postgresql: str) -> str:
    """The address of a new, empty database."""
    name = f"day_{next(_numbers)}"
    engine = create_engine(postgresql.format("postgres"), isolation_level="AUTOCOMMIT")
    with engine.connect() as connection:
        connection.exec_driver_sql(f"CREATE DATABASE {name}")
    engine.dispose()
    return postgresql.format(name)
