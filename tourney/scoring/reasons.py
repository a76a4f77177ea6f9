"""The sentence beside each place: what separates it, and on what the teams were level before."""

from collections.abc import Mapping, Sequence

from tourney.scoring.chain import Finding, Level
from tourney.scoring.words import listing, ordinal

NAMED = 3  # more teams than this on one place are counted, not named


def decided_by(levels: Sequence[Level], at: int, first: str) -> str:
    """The criterion between this level and the next one below (the last: the one above), or "shared".

    first: what ranks first, named where a division has one team alone.
    """
    if len(levels[at].teams) > 1:
        return "shared"
    decided = levels[at].decided or (levels[at - 1].decided if at else None)
    return decided.name if decided else first


def sentence(team: str, levels: Sequence[Level], at: int, places: Sequence[int], names: Mapping[str, str]) -> str:
    """Why this team stands where it does. places: of each level. names: team id -> name."""
    level = levels[at]
    if len(level.teams) > 1:
        others = [names[other] for other in level.teams if other != team]
        who = listing(others) if len(others) <= NAMED else f"{len(others)} other teams"
        end = "" if level.pending else "; nothing in the rules separates them"
        return f"{ordinal(places[at])}, shared with {who}: {_before(team, level.equal)}{end}"
    if level.decided:
        return _against(team, levels[at + 1].teams[0], level.decided, level.above, (places[at], places[at + 1]))
    if at:
        above = levels[at - 1]
        decided = above.decided or level.equal[-1]
        return _against(team, above.teams[0], decided, above.above, (places[at], places[at - 1]))
    return "1st: the only team of the division"


def _against(team: str, other: str, decided: Finding, equal: Sequence[Finding], places: tuple[int, int]) -> str:
    before = f"{_before(team, equal)}; " if equal else ""
    own, theirs = _reading(team, decided), decided.shown[other]
    return f"{ordinal(places[0])} not {ordinal(places[1])}: {before}{own} against {theirs}"


def _before(team: str, equal: Sequence[Finding]) -> str:
    """On what they are level, then what could not be asked."""
    level = [_reading(team, finding) for finding in equal if finding.values]
    notes = list(dict.fromkeys(finding.note for finding in equal if finding.note))
    return "; ".join([*([f"level on {listing(level)}"] if level else []), *notes])


def _reading(team: str, finding: Finding) -> str:
    shown = finding.shown[team]
    return f"{shown} {finding.one if shown in ('1', '-1') else finding.many}"
