"""The journal's tables, and how databases are opened.

SQLite runs with a write-ahead log and full synchronisation: what was acknowledged survives a kill or a power cut, and
once the journal is closed there is one plain file again. What is deleted there is overwritten with zeros.
"""

import os
import sqlite3
from functools import partial
from pathlib import Path
from typing import Any

from sqlalchemy import (
    Column,
    Connection,
    Engine,
    Integer,
    LargeBinary,
    MetaData,
    String,
    Table,
    Text,
    create_engine,
    event,
)
from sqlalchemy.engine import URL, make_url
from sqlalchemy.exc import SQLAlchemyError

from tourney.record.trouble import password_in_address, unusable_address

WAIT = 30  # seconds that a writer waits for another one
_LOCK = 7_620_261  # any number: the advisory lock that writers of one PostgreSQL database take in turn

TABLES = MetaData()
JOURNAL = Table(
    "journal",
    TABLES,
    Column("seq", Integer, primary_key=True, autoincrement=False),
    Column("at", String(40), nullable=False),
    Column("kind", String(40), nullable=False),
    Column("by", Text, nullable=False),
    Column("document", Text, nullable=False),
    Column("previous", String(64), nullable=False),
    Column("hash", String(64), nullable=False),
)
FILES = Table(
    "files",
    TABLES,
    Column("sha256", String(64), primary_key=True),
    Column("content", LargeBinary, nullable=False),
)
KEYS = Table(
    "keys",
    TABLES,
    Column("name", String(100), primary_key=True),
    Column("key", LargeBinary, nullable=True),  # null: destroyed
)


def open_engine(where: Path | str) -> Engine:
    """An engine for a file (Path) or a database address (str). FileTrouble when it can't be used."""
    try:
        url = URL.create("sqlite", database=str(where)) if isinstance(where, Path) else make_url(where)
        waiting = {"timeout": WAIT} if url.get_backend_name() == "sqlite" else {}
        if isinstance(where, Path) and _only_to_look_at(where):
            engine = create_engine(url, creator=partial(_connect_looking, where))
        else:
            engine = create_engine(url, connect_args=waiting)
    except (SQLAlchemyError, ImportError, ValueError) as reason:
        raise unusable_address(str(where)) from reason
    if url.password:
        raise password_in_address()
    if engine.dialect.name == "sqlite":
        _prepare_sqlite(engine)
    elif engine.dialect.name == "postgresql":
        _prepare_postgresql(engine)
    return engine


def _only_to_look_at(file: Path) -> bool:
    """Is a record in a folder that nobody writes in: a read-only disk, or somebody else's folder.

    SQLite can't set up its write-ahead log there, which it would need even for reading.
    """
    return file.exists() and not os.access(file.parent, os.W_OK) and not file.with_name(f"{file.name}-wal").exists()


def _connect_looking(file: Path) -> sqlite3.Connection:
    """A connection that asks for no log: the file does not change (sqlite.org/uri.html, immutable)."""
    return sqlite3.connect(f"{file.absolute().as_uri()}?immutable=1", uri=True, check_same_thread=False)


def _prepare_sqlite(engine: Engine) -> None:
    """Transactions of our own making: a writer takes the file's lock before it looks for the last row."""

    @event.listens_for(engine, "connect")
    def connected(raw: Any, _record: Any) -> None:
        raw.isolation_level = None
        raw.execute("PRAGMA synchronous = FULL")
        raw.execute("PRAGMA secure_delete = ON")

    @event.listens_for(engine, "begin")
    def begun(connection: Connection) -> None:
        writing = connection.get_execution_options().get("writing")
        if writing:
            connection.exec_driver_sql("PRAGMA journal_mode = WAL")
        connection.exec_driver_sql("BEGIN IMMEDIATE" if writing else "BEGIN")


def _prepare_postgresql(engine: Engine) -> None:
    """Writers take turns, so that no two look for the last row or make the tables at once."""

    @event.listens_for(engine, "begin")
    def begun(connection: Connection) -> None:
        if connection.get_execution_options().get("writing"):
            connection.exec_driver_sql(f"SELECT pg_advisory_xact_lock({_LOCK})")
