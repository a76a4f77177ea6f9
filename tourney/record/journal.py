"""The append-only journal of a day, in any database; a file of the event folder by default.

SQLite runs with a write-ahead log and full synchronisation: what was acknowledged survives a kill or a power cut, and
once the journal is closed there is one plain file again.
"""

import hashlib
import json
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from types import TracebackType
from typing import Any, Self

from sqlalchemy import (
    Column,
    Connection,
    Engine,
    Integer,
    LargeBinary,
    MetaData,
    NullPool,
    String,
    Table,
    Text,
    create_engine,
    event,
    insert,
    inspect,
    select,
)
from sqlalchemy.engine import URL, make_url
from sqlalchemy.exc import IntegrityError, SQLAlchemyError

from tourney.errors import FileTrouble
from tourney.record.row import FIRST, Entry, Row, canonical, row_hash
from tourney.record.trouble import database_trouble, unusable_address

_WAIT = 30  # seconds that a writer waits for another one
_TRIES = 50

_TABLES = MetaData()
_JOURNAL = Table(
    "journal",
    _TABLES,
    Column("seq", Integer, primary_key=True, autoincrement=False),
    Column("at", String(40), nullable=False),
    Column("kind", String(40), nullable=False),
    Column("by", Text, nullable=False),
    Column("why", Text, nullable=False),
    Column("body", Text, nullable=False),
    Column("previous", String(64), nullable=False),
    Column("hash", String(64), nullable=False),
)
_FILES = Table(
    "files",
    _TABLES,
    Column("sha256", String(64), primary_key=True),
    Column("content", LargeBinary, nullable=False),
)


class Journal:
    """An open journal. Use it in a with statement. Every method raises FileTrouble when the database can't do it."""

    def __init__(self, engine: Engine, place: str) -> None:
        self._engine = engine
        self._place = place

    @classmethod
    def open(cls, where: Path | str) -> Self:
        """The journal in a file (Path) or at a database address (str). Nothing is made before the first append."""
        try:
            url = URL.create("sqlite", database=str(where)) if isinstance(where, Path) else make_url(where)
            waiting = {"timeout": _WAIT} if url.get_backend_name() == "sqlite" else {}
            engine = create_engine(url, poolclass=NullPool, connect_args=waiting)
        except (SQLAlchemyError, ImportError, ValueError) as reason:
            raise unusable_address(str(where)) from reason
        if engine.dialect.name == "sqlite":
            _prepare_sqlite(engine)
        return cls(engine, str(where) if isinstance(where, Path) else url.render_as_string())

    def __enter__(self) -> Self:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, at: TracebackType | None) -> None:
        self.close()

    def close(self) -> None:
        """Let go of the database."""
        self._engine.dispose()

    def append(self, kind: str, body: dict[str, Any], *, at: datetime, by: str = "", why: str = "") -> int:
        """Write one row down; its seq."""
        return self.append_all([Entry(kind, body, by, why)], at=at)[0]

    def append_all(self, entries: Iterable[Entry], *, at: datetime, files: Iterable[bytes] = ()) -> tuple[int, ...]:
        """Write rows down, and keep the received files they speak of, all or nothing; their seqs.

        at: aware. A file is kept byte for byte under its SHA-256, once.
        """
        moment = at.astimezone(UTC)
        wanted, received = tuple(entries), tuple(files)

        def write(connection: Connection) -> tuple[int, ...]:
            _TABLES.create_all(connection)
            for content in received:
                _keep(connection, content)
            return _add(connection, wanted, moment)

        return self._written(write)

    def rows(self) -> tuple[Row, ...]:
        """All rows in order; none where nothing was ever written."""
        with self._reading(_JOURNAL) as connection:
            found = connection.execute(select(_JOURNAL).order_by(_JOURNAL.c.seq)).all() if connection else ()
        try:
            return tuple(
                Row(seq, datetime.fromisoformat(at), kind, by, why, json.loads(body), previous, hash_)
                for seq, at, kind, by, why, body, previous, hash_ in found
            )
        except (ValueError, TypeError) as reason:
            raise FileTrouble(f"{self._place} is damaged: a row can't be read.", "Take it from a copy.") from reason

    def kept_file(self, sha256: str) -> bytes | None:
        """The received file of that SHA-256, None when there is none."""
        with self._reading(_FILES) as connection:
            if not connection:
                return None
            content: bytes | None = connection.scalar(select(_FILES.c.content).where(_FILES.c.sha256 == sha256))
            return content

    @contextmanager
    def _reading(self, table: Table) -> Iterator[Connection | None]:
        """A connection, or None where the journal was not begun. Looking must not make a file."""
        file = self._engine.url.database
        if self._engine.dialect.name == "sqlite" and file and not Path(file).exists():
            yield None
            return
        try:
            with self._engine.connect() as connection:
                yield connection if inspect(connection).has_table(table.name) else None
        except SQLAlchemyError as reason:
            raise database_trouble(self._place, reason) from reason

    def _written(self, write: Callable[[Connection], tuple[int, ...]]) -> tuple[int, ...]:
        """What `write` gives in a transaction of its own, tried anew when another writer took the same number."""
        for _ in range(_TRIES):
            try:
                with self._engine.connect() as connection, connection.execution_options(writing=True).begin():
                    return write(connection)
            except IntegrityError:
                continue
            except SQLAlchemyError as reason:
                raise database_trouble(self._place, reason) from reason
        raise FileTrouble(f"{self._place} is busy: others write without pause.", "Nothing was taken. Run this again.")


def _prepare_sqlite(engine: Engine) -> None:
    """Transactions of our own making: a writer takes the file's lock before it looks for the last row."""

    @event.listens_for(engine, "connect")
    def connected(raw: Any, _record: Any) -> None:
        raw.isolation_level = None
        raw.execute("PRAGMA synchronous = FULL")

    @event.listens_for(engine, "begin")
    def begun(connection: Connection) -> None:
        writing = connection.get_execution_options().get("writing")
        if writing:
            connection.exec_driver_sql("PRAGMA journal_mode = WAL")
        connection.exec_driver_sql("BEGIN IMMEDIATE" if writing else "BEGIN")


def _add(connection: Connection, entries: Iterable[Entry], at: datetime) -> tuple[int, ...]:
    last = connection.execute(select(_JOURNAL.c.seq, _JOURNAL.c.hash).order_by(_JOURNAL.c.seq.desc()).limit(1)).first()
    before, previous = (last.seq, last.hash) if last else (0, FIRST)
    added = []
    for seq, entry in enumerate(entries, before + 1):
        words = {"kind": entry.kind, "by": entry.by, "why": entry.why, "body": canonical(entry.body)}
        chained = {"previous": previous, "hash": row_hash(seq, at, entry, previous)}
        added.append({"seq": seq, "at": at.isoformat(), **words, **chained})
        previous = chained["hash"]
    if added:
        connection.execute(insert(_JOURNAL), added)
    return tuple(range(before + 1, before + 1 + len(added)))


def _keep(connection: Connection, content: bytes) -> None:
    sha256 = hashlib.sha256(content).hexdigest()
    if not connection.scalar(select(_FILES.c.sha256).where(_FILES.c.sha256 == sha256)):
        connection.execute(insert(_FILES).values(sha256=sha256, content=content))
