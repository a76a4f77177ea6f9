"""What differs between two results of one day: who moved, and from where to where."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from tourney.model.documents import Exact
from tourney.model.standing import ContestantStanding, Results, TeamStanding

Standing = TeamStanding | ContestantStanding


@dataclass(frozen=True, slots=True)
class PlaceThen:
    """Where somebody stood at one moment."""

    place: int
    shared: bool
    points: Exact
    available: Exact


@dataclass(frozen=True, slots=True)
class Change:
    """One team or contestant whose place or points changed. before, after: None where it took no place."""

    division: str
    kind: Literal["team", "contestant"]
    id: str
    before: PlaceThen | None
    after: PlaceThen | None

    @property
    def moved(self) -> bool:
        """Whether the place itself is another one, or is shared now and was not."""
        return _place(self.before) != _place(self.after)


def changes_between(before: Results, after: Results) -> tuple[Change, ...]:
    """Everyone whose place or points changed, division by division, teams first, in the order of the new places."""
    earlier = {(change.kind, change.id): change.after for change in _everyone(before)}
    later = {(change.kind, change.id): change for change in _everyone(after)}
    gone = [change for change in _everyone(before) if (change.kind, change.id) not in later]
    found = [
        Change(change.division, change.kind, change.id, earlier.get((change.kind, change.id)), change.after)
        for change in later.values()
    ]
    found += [Change(change.division, change.kind, change.id, change.after, None) for change in gone]
    names = [division.division for division in after.divisions]
    changed = [change for change in found if change.before != change.after]
    return tuple(sorted(changed, key=lambda change: (names.index(change.division), change.kind != "team")))


def _everyone(results: Results) -> Iterator[Change]:
    for division in results.divisions:
        for team in division.teams:
            yield Change(division.division, "team", team.team, None, _then(team))
        for child in division.contestants:
            yield Change(division.division, "contestant", child.contestant, None, _then(child))


def _then(row: Standing) -> PlaceThen:
    return PlaceThen(row.place, row.shared, row.points, row.available)


def _place(then: PlaceThen | None) -> tuple[int, bool] | None:
    return (then.place, then.shared) if then else None
