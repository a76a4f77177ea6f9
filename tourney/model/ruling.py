"""Rulings: what the chief judge or the coordinator decides about the day, each a noun of its own.

A ruling changes no sheet: it stands beside what came in, and can be taken back by another one.
"""

from dataclasses import dataclass
from datetime import datetime
from typing import Annotated, Literal

from pydantic import Field

from tourney.model.sheet import Letter

Letters = tuple[Letter, ...]  # in the order of LETTERS; () for clean


@dataclass(frozen=True, slots=True)
class Correct:
    """One cell of one sheet reads otherwise. before: what the sheet says there, None where it says nothing."""

    code: str
    line: int
    call: int
    letters: Letters
    before: Letters | None
    kind: Literal["correct"] = "correct"


@dataclass(frozen=True, slots=True)
class Void:
    """A call that went wrong in these heats. reserve: number of the reserve call read instead, None for none.

    rejudged: sheets that came in before the ruling hold the marks of the reserve call already. Otherwise their column
    is not judged, until a sheet comes in that was handed in anew.
    """

    heats: tuple[str, ...]
    call: int
    reserve: int | None
    rejudged: bool = False
    kind: Literal["void"] = "void"


@dataclass(frozen=True, slots=True)
class Swap:
    """Two contestants of a heat stood on each other's line numbers."""

    heat: str
    line: int
    other: int
    kind: Literal["swap"] = "swap"


@dataclass(frozen=True, slots=True)
class Substitute:
    """A contestant stood on a line number of a heat in place of another one of the team."""

    heat: str
    line: int
    contestant: str
    instead_of: str
    kind: Literal["substitute"] = "substitute"


@dataclass(frozen=True, slots=True)
class NoShow:
    """A contestant, or all of a team, did not stand in these heats: absent for every call, whatever sheets say."""

    who: str
    heats: tuple[str, ...]
    kind: Literal["no_show"] = "no_show"


@dataclass(frozen=True, slots=True)
class Disqualify:
    """A contestant whose points count nowhere, or a team that takes no place."""

    who: str
    kind: Literal["disqualify"] = "disqualify"


@dataclass(frozen=True, slots=True)
class CountVersion:
    """Of the versions of one sheet this one counts. version: 1 for the first that came in."""

    code: str
    version: int
    kind: Literal["count_version"] = "count_version"


@dataclass(frozen=True, slots=True)
class LostSheet:
    """A sheet will not come in: the other judges decide without it."""

    code: str
    kind: Literal["lost_sheet"] = "lost_sheet"


@dataclass(frozen=True, slots=True)
class SettleCall:
    """The panel's word on one call of one contestant, whatever the single judges wrote."""

    heat: str
    line: int
    call: int
    letters: Letters
    kind: Literal["settle_call"] = "settle_call"


@dataclass(frozen=True, slots=True)
class Reopen:
    """An earlier ruling is taken back. number: of its row in the record."""

    number: int
    kind: Literal["reopen"] = "reopen"


@dataclass(frozen=True, slots=True)
class Started:
    """When a wave really started. at: "HH:MM", on the clock of the hall."""

    wave: str
    at: str
    kind: Literal["started"] = "started"


@dataclass(frozen=True, slots=True)
class DrillOff:
    """What level teams made in one reading of a drill-off. heat: of the finals; "" for the rounds. reading: from 1."""

    points: tuple[tuple[str, int], ...]
    heat: str = ""
    reading: int = 1
    kind: Literal["drill_off"] = "drill_off"


@dataclass(frozen=True, slots=True)
class Withdraw:
    """A team that goes on in no finals: whoever it was to meet moves on without it."""

    who: str
    kind: Literal["withdraw"] = "withdraw"


Ruling = Annotated[
    Correct
    | Void
    | Swap
    | Substitute
    | NoShow
    | Disqualify
    | CountVersion
    | LostSheet
    | SettleCall
    | Reopen
    | Started
    | DrillOff
    | Withdraw,
    Field(discriminator="kind"),
]


@dataclass(frozen=True, slots=True)
class RulingBody:
    """A ruling as a document of the record holds it."""

    ruling: Ruling


@dataclass(frozen=True, slots=True)
class Ruled:
    """A ruling in the record. number: of its row. at: aware. stands: it was not taken back."""

    number: int
    at: datetime
    by: str
    why: str
    ruling: Ruling
    stands: bool = True


def heats_of(ruling: Ruling) -> tuple[str, ...]:
    """The heats that a ruling is about; none where it is about all of the day."""
    match ruling:
        case Correct(code) | CountVersion(code) | LostSheet(code):
            return (code.rsplit(".", 2)[0],)
        case Void(heats) | NoShow(_, heats):
            return heats
        case Swap(heat) | Substitute(heat) | SettleCall(heat) | DrillOff(_, heat, _):
            return (heat,) if heat else ()
    return ()


def mark_words(letters: Letters | None) -> str:
    """Letters as people write them: "L S", "clean", or "open" for None."""
    return "open" if letters is None else " ".join(letters) or "clean"


def ruling_words(ruling: Ruling) -> str:
    """What was decided, in a sentence."""
    match ruling:
        case Correct(code, line, call, letters, before):
            return f"Sheet {code}, line {line}, call {call}: {mark_words(letters)} instead of {mark_words(before)}."
        case Void(heats, call, None):
            return f"Call {call} does not count in {', '.join(heats)}."
        case Void(heats, call, reserve):
            return f"Reserve call {reserve} takes the place of call {call} in {', '.join(heats)}."
        case Swap(heat, line, other):
            return f"{heat}: lines {line} and {other} had changed places."
        case Substitute(heat, line, contestant, instead_of):
            return f"{heat}: {contestant} stood on line {line} in place of {instead_of}."
        case NoShow(who, heats):
            return f"{who} did not stand in {', '.join(heats)}."
        case Disqualify(who):
            return f"{who} is disqualified."
        case CountVersion(code, version):
            return f"Of sheet {code} version {version} counts."
        case LostSheet(code):
            return f"Sheet {code} is lost: the other judges decide without it."
        case SettleCall(heat, line, call, letters):
            return f"{heat}, line {line}, call {call}: settled as {mark_words(letters)}."
        case Reopen(number):
            return f"The ruling of row {number} is taken back."
        case DrillOff(points, heat, reading):
            made = ", ".join(f"{team} {number}" for team, number in points)
            return f"Drill-off{f' after {heat}' if heat else ''}, reading {reading}: {made}."
        case Withdraw(who):
            return f"{who} withdraws from the finals."
        case Started(wave, at):
            return f"Wave {wave} started at {at}."
