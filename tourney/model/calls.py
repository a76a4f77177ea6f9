"""What is called: single calls, and the sets in which they are heard."""

import hashlib
import json
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

from tourney.model.documents import dump

BAND = 1.0  # bits by which a reserve call may be easier or harder than the call that it replaces

Use = Literal["rotation", "final", "drill_off", "reserve", "practice"]


@dataclass(frozen=True, slots=True)
class Call:
    """One call. difficulty: in bits. answer: what is spoken, part by part. also: further names that count as right."""

    no: int
    kind: str
    item: str
    section: str
    difficulty: float
    say: str
    answer: tuple[str, ...]
    also: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class CallSet:
    """The ordered calls of one wave. order: the place in which a division hears its sets, from 1.

    reserves: spare calls, each of the section of a call that it may replace. salt: drawn with the calls, so that nobody
    finds them by trying out which calls have the fingerprint that the plan shows.
    """

    id: str
    division: str
    use: Use
    round: int | None
    order: int | None
    seconds: int
    calls: tuple[Call, ...]
    reserves: tuple[Call, ...] = ()
    salt: str = ""

    def replaceable(self, reserve: Call) -> tuple[int, ...]:
        """Numbers of the calls that a reserve call may replace: of its section, of its kind, about as hard."""
        return tuple(
            call.no
            for call in self.calls
            if (call.section, call.kind) == (reserve.section, reserve.kind)
            and abs(call.difficulty - reserve.difficulty) <= BAND
        )

    def fingerprint(self) -> str:
        """SHA-256 over the set's canonical JSON: tells whether a script and a sheet belong together."""
        text = json.dumps(dump(self), sort_keys=True, separators=(",", ":"), ensure_ascii=False)
        return "sha256:" + hashlib.sha256(text.encode()).hexdigest()


@dataclass(frozen=True, slots=True)
class Speakers:
    """Who is asked in one heat: for each call the line number of the contestant who answers aloud."""

    heat: str
    lines: tuple[int, ...]


@dataclass(frozen=True)
class CallBook:
    """All of calls.json: for callers alone until the day is over."""

    sets: tuple[CallSet, ...]
    speakers: tuple[Speakers, ...] = ()
    format: str = "tourney-calls/1"

    @cached_property
    def set(self) -> dict[str, CallSet]:
        """Sets by id."""
        return {found.id: found for found in self.sets}

    @cached_property
    def speakers_of(self) -> dict[str, tuple[int, ...]]:
        """Line numbers of the speakers, call by call, by heat id."""
        return {row.heat: row.lines for row in self.speakers}
