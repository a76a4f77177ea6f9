"""What a re-check says of one property."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

Value = int | float | str | None
Status = Literal["kept", "broken", "noted", "told"]
SHOWN = 4  # offences named in one line


@dataclass(frozen=True, slots=True)
class Line:
    """One property of a planned day, by its name. scope: a division, or "all".

    measured, bound, limit: counts, unless the name says a unit. bound: the best that counting proves possible.
    ok: None where a figure is only told. rule: when it is not ok, the plan is broken, not merely less than perfect.
    worst: where it is so.
    """

    name: str
    scope: str
    measured: Value
    bound: Value = None
    limit: Value = None
    ok: bool | None = True
    rule: bool = True
    worst: str = ""

    @property
    def status(self) -> Status:
        """kept, broken (a rule is), noted (a figure is beyond its limit or bound), or told."""
        if self.ok is None:
            return "told"
        if self.ok:
            return "kept"
        return "broken" if self.rule else "noted"


def rule(name: str, scope: str, offences: Iterable[str]) -> Line:
    """A rule that nothing may offend against: measured counts the offences, worst names the first ones."""
    found = list(offences)
    more = f" and {len(found) - SHOWN} more" if len(found) > SHOWN else ""
    return Line(name, scope, len(found), None, 0, not found, True, "; ".join(found[:SHOWN]) + more)


def figure(name: str, scope: str, value: float | None, bound: float | None = None, worst: str = "") -> Line:
    """A figure that should be as low as its bound."""
    return Line(
        name, scope, value, bound, None, None if value is None or bound is None else value <= bound, False, worst
    )


def told(name: str, scope: str, value: Value, worst: str = "") -> Line:
    """A figure without a limit."""
    return Line(name, scope, value, None, None, None, False, worst)
