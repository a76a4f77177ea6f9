"""The append-only journal of a day, in any database; a file of the event folder by default."""

import hashlib
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from types import TracebackType
from typing import Any, Self, TypeVar

from sqlalchemy import Connection, Engine, Table, insert, inspect, select, update
from sqlalchemy.exc import IntegrityError, SQLAlchemyError

from tourney.errors import FileTrouble
from tourney.model.journal_row import StoredRow
from tourney.record.row import FIRST, Entry, Row, chained
from tourney.record.sealing import REMOVED, WORDS, Private, file_key, new_key, seal, seal_bytes, unseal, unseal_bytes
from tourney.record.tables import FILES, JOURNAL, KEYS, TABLES, open_engine
from tourney.record.trouble import database_trouble

T = TypeVar("T")

_TRIES = 50
_AT_ONCE = 200  # rows that a copy carries over together
PURGE = "purge"


class Journal:
    """An open journal. Use it in a with statement. Every method raises FileTrouble when the database can't do it."""

    def __init__(self, engine: Engine, place: str) -> None:
        self._engine = engine
        self._place = place

    @classmethod
    def open(cls, where: Path | str) -> Self:
        """The journal in a file (Path) or at a database address (str). Nothing is made before the first append."""
        engine = open_engine(where)
        return cls(engine, str(where) if isinstance(where, Path) else engine.url.render_as_string())

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

        at: aware. A file is kept byte for byte under its SHA-256, once. Nothing is taken after a purge.
        """
        moment = at.astimezone(UTC)
        wanted, received = tuple(entries), tuple(files)

        def write(connection: Connection) -> tuple[int, ...]:
            TABLES.create_all(connection)
            if _purged(connection):
                raise FileTrouble(
                    "The children's details of this event were removed, and the record is closed.",
                    "Nothing more can be taken in.",
                )
            for content in received:
                _keep(connection, content)
            return _add(connection, wanted, moment)

        return self._written(write)

    def rows(self) -> tuple[Row, ...]:
        """All rows in order; none where nothing was ever written."""
        with self._reading(JOURNAL) as connection:
            if connection is None:
                return ()
            found, keys = _stored(connection), _keys(connection)
        try:
            return tuple(_opened(row, keys) for row in found)
        except (ValueError, TypeError, KeyError) as reason:
            raise FileTrouble(f"{self._place} is damaged: a row can't be read.", "Take it from a copy.") from reason

    def stored(self) -> tuple[StoredRow, ...]:
        """All rows as they are kept, sealed."""
        with self._reading(JOURNAL) as connection:
            return _stored(connection) if connection else ()

    def kept_file(self, sha256: str) -> bytes | None:
        """The received file of that SHA-256; None when there is none, or a purge took it away."""
        with self._reading(FILES) as connection:
            if not connection:
                return None
            name = file_key(sha256)
            content: bytes | None = connection.scalar(select(FILES.c.content).where(FILES.c.sha256 == sha256))
            key: bytes | None = connection.scalar(select(KEYS.c.key).where(KEYS.c.name == name))
        try:
            return unseal_bytes(content, name, key) if content and key else None
        except ValueError as reason:
            raise FileTrouble(f"{self._place} is damaged: a kept file was altered.", "Take it from a copy.") from reason

    def purge(self, *, at: datetime) -> int:
        """Destroy every key, and write that down; how many there were. Done again, it does nothing."""
        moment = at.astimezone(UTC)

        def write(connection: Connection) -> int:
            TABLES.create_all(connection)
            names = connection.scalars(select(KEYS.c.name).where(KEYS.c.key.is_not(None))).all()
            if not _purged(connection):
                _add(connection, [Entry(PURGE, {"keys": len(names)})], moment)
            connection.execute(update(KEYS).values(key=None))
            return len(names)

        count = self._written(write)
        if self._engine.dialect.name == "postgresql":  # which leaves the old rows in its file until then
            with self._engine.connect().execution_options(isolation_level="AUTOCOMMIT") as connection:
                connection.exec_driver_sql("VACUUM FULL keys")
        return count

    def copy_to(self, path: Path) -> int:
        """Write all of it into a new SQLite file, as it is at this moment, while others go on writing; rows copied."""
        target, copied = open_engine(path), 0
        with self._reading(JOURNAL, snapshot=True) as connection:
            try:
                with target.connect() as new, new.execution_options(writing=True).begin():
                    TABLES.create_all(new)
                    for table in TABLES.sorted_tables if connection else ():
                        assert connection is not None
                        for part in connection.execute(select(table)).mappings().partitions(_AT_ONCE):
                            new.execute(insert(table), [dict(row) for row in part])
                            copied += len(part) if table is JOURNAL else 0
            except SQLAlchemyError as reason:
                raise database_trouble(str(path), reason) from reason
            finally:
                target.dispose()
        return copied

    @contextmanager
    def _reading(self, table: Table, *, snapshot: bool = False) -> Iterator[Connection | None]:
        """A connection, or None where the journal was not begun. Looking must not make a file."""
        file = self._engine.url.database
        if self._engine.dialect.name == "sqlite" and file and not Path(file).exists():
            yield None
            return
        try:
            with self._engine.connect() as connection:
                if snapshot and self._engine.dialect.name != "sqlite":
                    connection.execution_options(isolation_level="REPEATABLE READ")
                yield connection if inspect(connection).has_table(table.name) else None
        except SQLAlchemyError as reason:
            raise database_trouble(self._place, reason) from reason

    def _written(self, write: Callable[[Connection], T]) -> T:
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


def _stored(connection: Connection) -> tuple[StoredRow, ...]:
    return tuple(StoredRow(*row) for row in connection.execute(select(JOURNAL).order_by(JOURNAL.c.seq)))


def _keys(connection: Connection) -> Mapping[str, bytes | None]:
    return {row.name: row.key for row in connection.execute(select(KEYS))}


def _opened(row: StoredRow, keys: Mapping[str, bytes | None]) -> Row:
    document = unseal(row.document, keys)
    why = document["why"]
    words = "" if isinstance(why, dict) and REMOVED in why else str(why)
    return Row(
        row.seq, datetime.fromisoformat(row.at), row.kind, row.by, words, document["body"], row.previous, row.hash
    )


def _purged(connection: Connection) -> bool:
    return connection.scalar(select(JOURNAL.c.kind).order_by(JOURNAL.c.seq.desc()).limit(1)) == PURGE


def _add(connection: Connection, entries: Iterable[Entry], at: datetime) -> tuple[int, ...]:
    last = connection.execute(select(JOURNAL.c.seq, JOURNAL.c.hash).order_by(JOURNAL.c.seq.desc()).limit(1)).first()
    before, previous = (last.seq, last.hash) if last else (0, FIRST)
    known: dict[str, bytes] = {}
    added = []
    for seq, entry in enumerate(entries, before + 1):
        document = {"body": entry.body, "why": Private(WORDS, entry.why) if entry.why else ""}
        text = seal(document, lambda name: _key(connection, name, known))
        added.append(chained(seq, at, entry.kind, entry.by, text, previous))
        previous = added[-1].hash
    if added:
        connection.execute(insert(JOURNAL), [row.values for row in added])
    return tuple(row.seq for row in added)


def _keep(connection: Connection, content: bytes) -> None:
    sha256 = hashlib.sha256(content).hexdigest()
    if not connection.scalar(select(FILES.c.sha256).where(FILES.c.sha256 == sha256)):
        name = file_key(sha256)
        sealed = seal_bytes(content, name, _key(connection, name, {}))
        connection.execute(insert(FILES).values(sha256=sha256, content=sealed))


def _key(connection: Connection, name: str, known: dict[str, bytes]) -> bytes:
    """The key of that name, made when it is first needed."""
    if name not in known:
        found: bytes | None = connection.scalar(select(KEYS.c.key).where(KEYS.c.name == name))
        if found is None:
            found = new_key()
            connection.execute(insert(KEYS).values(name=name, key=found))
        known[name] = found
    return known[name]
