"""The chain of tie-breaks: criterion after criterion, until nobody is level or the chain is spent.

Knows nothing of drills: any criteria over any names can be chained, so the tests chain those of published rules.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction

Group = tuple[str, ...]
Worth = tuple[Fraction | int, ...]


@dataclass(frozen=True, slots=True)
class Finding:
    """What a criterion found in a group of level teams.

    values: team -> its worth, more is better; empty where the criterion can't separate anybody, and `note` says why.
    shown, one, many: the values in words, as in "1 clean call" and "5 clean calls". pending: it is still to be held,
    and nothing after it may decide meanwhile.
    """

    name: str
    values: Mapping[str, Worth]
    shown: Mapping[str, str] = field(default_factory=dict)
    one: str = ""
    many: str = ""
    note: str = ""
    pending: bool = False


@dataclass(frozen=True, slots=True)
class Criterion:
    """One link of the chain. meetings: it looks at heats among the tied (the head_to_head family).

    again: whoever it leaves level is asked once more, as the next set of a drill-off is read.
    """

    name: str
    measure: Callable[[Group], Finding]
    meetings: bool = False
    again: bool = False


@dataclass(frozen=True, slots=True)
class Level:
    """Teams that share a place, in the order of their ids, and the findings under which they are level.

    decided: what separates them from the next level below; None for the last. above: the findings in which they and
    that next level are equal. asked: every finding that looked at them, in the order of asking, one that was asked
    again included.
    """

    teams: Group
    equal: tuple[Finding, ...]
    decided: Finding | None = None
    above: tuple[Finding, ...] = ()
    asked: tuple[Finding, ...] = ()

    @property
    def pending(self) -> bool:
        """Whether something still to be held will separate them."""
        return any(finding.pending for finding in self.equal)


def separate(teams: Sequence[str], criteria: Sequence[Criterion], after_split: str = "continue") -> tuple[Level, ...]:
    """Levels, best first. The order in which teams are given does not matter.

    A run of meetings criteria looks at the group as it was when the run began. after_split: "continue" goes on with
    the next criterion for each still-level group; "restart" goes back to the first; "repeat_meetings" asks a spent run
    again of each smaller still-level group, and goes on once that separates nobody.
    """
    return tuple(_settle(tuple(sorted(teams)), 0, (), (), criteria, after_split)) if teams else ()


def _settle(
    group: Group, at: int, base: Group, trail: tuple[Finding, ...], criteria: Sequence[Criterion], after_split: str
) -> list[Level]:
    while len(group) > 1 and at < len(criteria):
        criterion = criteria[at]
        if criterion.meetings and not (at and criteria[at - 1].meetings):
            base = group
        finding = criterion.measure(base if criterion.meetings else group)
        before, trail = trail, (*trail, finding)
        if finding.pending:
            break
        parts = _split(group, finding)
        if len(parts) > 1:
            levels: list[Level] = []
            for part in parts:
                after = at if criterion.again else _next(part, at, base, criteria, after_split)
                on = 0 if after_split == "restart" else after
                below = _settle(part, on, base, trail, criteria, after_split)
                if levels:
                    last = levels[-1]
                    levels[-1] = replace(last, decided=finding, above=_newest(before))
                levels += below
            return levels
        at = _next(group, at, base, criteria, after_split)
    return [Level(group, _newest(trail), asked=trail)]


def _next(group: Group, at: int, base: Group, criteria: Sequence[Criterion], after_split: str) -> int:
    spent = criteria[at].meetings and not (at + 1 < len(criteria) and criteria[at + 1].meetings)
    if after_split != "repeat_meetings" or not spent or len(group) == len(base):
        return at + 1
    start = at
    while start and criteria[start - 1].meetings:
        start -= 1
    return start


def _split(group: Group, finding: Finding) -> list[Group]:
    parts: dict[Worth, list[str]] = {}
    for team in group:
        parts.setdefault(finding.values.get(team, ()), []).append(team)
    return [tuple(parts[worth]) for worth in sorted(parts, reverse=True)]


def _newest(trail: tuple[Finding, ...]) -> tuple[Finding, ...]:
    """The trail with the newest word of each criterion: an earlier one looked at a larger group."""
    return tuple({finding.name: finding for finding in trail}.values())
