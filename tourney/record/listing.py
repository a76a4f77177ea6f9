"""The journal in plain words."""

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from tourney.model.ruling import ruling_words
from tourney.record.row import Row
from tourney.record.rulings import rulings_of
from tourney.scoring.words import counted


@dataclass(frozen=True, slots=True)
class ListedRow:
    """One row for people. at: aware, in UTC. what: a sentence. who, why: empty where nobody had to decide."""

    row: int
    at: datetime
    kind: str
    what: str
    who: str
    why: str


def listing_of(rows: Iterable[Row]) -> Iterator[ListedRow]:
    """Every row as a sentence, in the order of the record. FileTrouble for a ruling that is damaged."""
    everything = tuple(rows)
    rulings = {ruled.number: ruled for ruled in rulings_of(everything)}
    versions: Counter[str] = Counter()
    for row in everything:
        if row.kind == "ruling":
            ruled = rulings[row.seq]
            what = ruling_words(ruled.ruling) + ("" if ruled.stands else " (Taken back later.)")
        elif row.kind == "sheet":
            code = str(row.body["sheet"]["code"])
            versions[code] += 1
            what = _sheet_words(code, versions[code], row.body["file"])
        elif row.kind == "totals":
            what = _totals_words(row.body["totals"], row.body["file"])
        else:
            what = _other_words(row)
        yield ListedRow(row.seq, row.at, row.kind, what, row.by, row.why)


def _sheet_words(code: str, version: int, file: dict[str, Any]) -> str:
    which = f" (version {version})" if version > 1 else ""
    return f"Sheet {code} came in{which}{_source(file)}."


def _totals_words(totals: list[dict[str, Any]], file: dict[str, Any]) -> str:
    said = "; ".join(f"{total['team']} in {total['heat']} {total['points']}" for total in totals)
    return f"Totals came in{_source(file)}: {said}."


def _source(file: dict[str, Any]) -> str:
    return f", from {file['name']}" if isinstance(file["name"], str) else ""


def _other_words(row: Row) -> str:
    if row.kind == "plan":
        plan = row.body["plan"]
        return (
            f"Plan {plan['revision']}: {counted(len(plan['teams']), 'team')} in {counted(len(plan['heats']), 'heat')}."
        )
    if row.kind == "purge":
        return f"Children's details were removed: {counted(row.body['keys'], 'key')} destroyed. The record is closed."
    return f"{row.kind.replace('_', ' ').capitalize()}."
