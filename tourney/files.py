"""The one way to write a file: beside its target, then renamed into place.

A kill at any moment leaves the old file or the new one, never a half.
"""

import json
import os
import secrets
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import Any

from tourney.errors import FileTrouble


def write_bytes(path: Path, content: bytes) -> None:
    """Write a whole file. FileTrouble when the folder is read-only or the target is open elsewhere."""
    save(path, lambda target: _write_synced(target, content))


def write_text(path: Path, content: str) -> None:
    """Write a whole text file as UTF-8 with the line ends given."""
    write_bytes(path, content.encode())


def write_json(path: Path, document: Any) -> None:
    """Write a JSON document that a person can read: indented, names in their own letters, one line end."""
    write_text(path, json.dumps(document, indent=1, ensure_ascii=False) + "\n")


def save(path: Path, writer: Callable[[Path], None]) -> None:
    """Let `writer` write to a new file beside `path`, then rename it into place."""
    beside = path.with_name(f".{path.name[:40]}.{secrets.token_hex(4)}.part")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        writer(beside)
        beside.replace(path)
    except OSError as reason:
        raise trouble(path, reason, "write") from reason
    finally:
        with suppress(OSError):  # what went wrong is told already
            beside.unlink(missing_ok=True)


def _write_synced(path: Path, content: bytes) -> None:
    with path.open("wb") as handle:
        handle.write(content)
        handle.flush()
        os.fsync(handle.fileno())


def read_bytes(path: Path, most: int | None = None) -> bytes:
    """Read a whole file, or its first `most` bytes. FileTrouble when it is missing, locked or not a file."""
    try:
        if most is None:
            return path.read_bytes()
        with path.open("rb") as handle:
            return handle.read(most)
    except OSError as reason:
        raise trouble(path, reason, "read") from reason


def read_json(path: Path) -> Any:
    """Read a JSON document that this program wrote. FileTrouble when it was damaged."""
    try:
        return json.loads(read_bytes(path))
    except ValueError as reason:
        raise FileTrouble(
            f"{path.name} is damaged: it is not the JSON that was written.",
            "Take it from a copy, or delete it and make it again.",
        ) from reason


def trouble(path: Path, reason: OSError, verb: str) -> FileTrouble:
    """The sentence for what the system said about a file."""
    if isinstance(reason, FileNotFoundError):
        return FileTrouble(f"{path} does not exist.", "Check the name of the folder and of the file.")
    if isinstance(reason, PermissionError):
        return FileTrouble(
            f"{path} can't be {'written' if verb == 'write' else 'read'}.",
            "If it is open in another program, close it there and run this again. "
            "If the folder is read-only, copy it to a folder of your own.",
        )
    return FileTrouble(f"{path} can't be {'written' if verb == 'write' else 'read'}: {reason.strerror or reason}.")
