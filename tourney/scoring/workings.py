"""How ties were broken: groups level on what ranks first, with everything that was asked of them."""

from collections.abc import Iterator, Sequence

from tourney.model.standing import Asked, LevelGroup
from tourney.scoring.chain import Finding, Level

Key = tuple[str, int]  # a criterion, and how often it had been asked before


def level_groups(levels: Sequence[Level]) -> tuple[LevelGroup, ...]:
    """Every group of at least two teams that the first criterion leaves level, best first."""
    runs: list[list[Level]] = []
    for at, level in enumerate(levels):
        if at and levels[at - 1].above:  # level on something with the one above
            runs[-1].append(level)
        else:
            runs.append([level])
    return tuple(_group(run) for run in runs if len(run) > 1 or len(run[0].teams) > 1)


def _group(run: Sequence[Level]) -> LevelGroup:
    asked: dict[Key, list[tuple[Level, Finding]]] = {}
    latest: dict[Key, int] = {}
    for level in run:
        for at, (key, finding) in enumerate(_numbered(level.asked)):
            asked.setdefault(key, []).append((level, finding))
            latest[key] = max(at, latest.get(key, 0))
    # Asked in the order of the chain: what comes later in it was asked later of everybody.
    columns = [_column(run, key, asked[key]) for key in sorted(asked, key=lambda key: (latest[key], key))]
    first = {column.criterion: column for column in columns if not column.again}
    return LevelGroup(
        tuple(team for level in run for team in level.teams),
        tuple(column for column in columns if not column.again or _new(column, first[column.criterion])),
    )


def _numbered(asked: Sequence[Finding]) -> Iterator[tuple[Key, Finding]]:
    times: dict[str, int] = {}
    for finding in asked:
        again = times[finding.name] = times.get(finding.name, -1) + 1
        yield (finding.name, again), finding


def _column(run: Sequence[Level], key: Key, asked: Sequence[tuple[Level, Finding]]) -> Asked:
    """One criterion. asked: of which levels, each with the finding that looked at it."""
    shown = {team: finding.shown[team] for level, finding in asked for team in level.teams if finding.shown}
    deciding = [
        team
        for at, level in enumerate(run)
        for team in level.teams
        if any(level is one and _decides(run, at) is finding for one, finding in asked)
    ]
    notes = dict.fromkeys(finding.note for _, finding in asked if finding.note)
    unit = next((finding.many for _, finding in asked if finding.many), "")
    return Asked(*key, shown, unit, tuple(deciding), "; ".join(notes))


def _decides(run: Sequence[Level], at: int) -> Finding | None:
    """What separates a level from the next below; the last one from the one above."""
    return run[at].decided if at + 1 < len(run) else run[at - 1].decided if at else None


def _new(column: Asked, first: Asked) -> bool:
    """Whether asking again told anything that was not known."""
    return bool(column.deciding) or any(first.shown.get(team) != text for team, text in column.shown.items())
