"""Puts fresh papers in the place of old ones, and never over a file that somebody changed."""

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from pydantic import ValidationError

from tourney.errors import FileTrouble
from tourney.files import read_bytes, read_json, trouble, write_json
from tourney.model.documents import dump, load

LEDGER = ".tourney-papers.json"
FINALS = "finals"  # what is printed stage by stage, and stays when the other papers are made anew


@dataclass(frozen=True, slots=True)
class Written:
    """What a run wrote; paths are relative to the event folder, with "/".

    kept: files that somebody had changed; the new one lies beside each under a number.
    left: files that somebody had changed and that the present plan no longer has.
    """

    files: tuple[str, ...]
    kept: tuple[str, ...]
    left: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Ledger:
    """What earlier runs wrote: path below papers/ -> hashes of the contents that are ours."""

    files: Mapping[str, tuple[str, ...]]
    format: str = "tourney-papers-ledger/1"


def shelve(fresh: Path, papers: Path, *, whole: bool = True) -> Written:
    """Move every file below `fresh` to its place below `papers`; remove earlier papers that have no successor.

    whole: is `fresh` all there is to print, but for the finals; otherwise earlier papers stay beside it. FileTrouble
    when a file is open elsewhere or the folder is read-only; running it again then finishes the work.
    """
    known = _read_ledger(papers).files
    sources = {path.relative_to(fresh).as_posix(): path for path in sorted(fresh.rglob("*")) if path.is_file()}
    hashes = {name: _hash(path) for name, path in sources.items()}
    places = {name: _free_name(papers, name, {**known, name: (*known.get(name, ()), hashes[name])}) for name in sources}
    ours = {places[name]: (hashes[name],) for name in sources}
    # Old and new hashes first: a run that breaks off half-way must not take its own files for somebody's.
    both = {name: (*known.get(name, ()), *ours.get(name, ())) for name in sorted({*known, *ours})}
    write_json(papers / LEDGER, dump(Ledger(both)))
    for name, source in sources.items():
        _move(source, papers / places[name])
    kept = [name for name, place in places.items() if place != name]
    staying = {name: known[name] for name in known if not whole or name.startswith(f"{FINALS}/")}
    stale = [name for name in sorted({*known} - {*ours, *kept, *staying}) if (papers / name).is_file()]
    left = [name for name in stale if not _is_ours(papers, name, known)]
    for name in stale:
        if name not in left:
            _remove(papers / name)
    write_json(papers / LEDGER, dump(Ledger({**staying, **ours})))
    return Written(*(tuple(f"{papers.name}/{name}" for name in names) for names in (ours, kept, left)))


def _read_ledger(papers: Path) -> Ledger:
    path = papers / LEDGER
    if not path.exists():
        return Ledger({})
    try:
        return load(Ledger, read_json(path))
    except ValidationError as reason:
        raise FileTrouble(
            f"{path.name} in {papers.name} is damaged.",
            "Delete it and run this again: papers that are there already stay, the new ones are written beside them.",
        ) from reason


def _free_name(papers: Path, name: str, known: Mapping[str, tuple[str, ...]]) -> str:
    """The name itself, or the first numbered one beside it at which nobody's work is lost."""
    number, free = 2, name
    stem, dot, ending = name.rpartition(".")
    while not _is_ours(papers, free, known):
        free, number = f"{stem} ({number}){dot}{ending}", number + 1
    return free


def _is_ours(papers: Path, name: str, known: Mapping[str, tuple[str, ...]]) -> bool:
    return not (papers / name).exists() or _hash(papers / name) in known.get(name, ())


def _hash(path: Path) -> str:
    return "sha256:" + hashlib.sha256(read_bytes(path)).hexdigest()


def _move(source: Path, target: Path) -> None:
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        source.replace(target)
    except OSError as reason:
        raise trouble(target, reason, "write") from reason


def _remove(path: Path) -> None:
    try:
        path.unlink()
    except OSError as reason:
        raise trouble(path, reason, "write") from reason
