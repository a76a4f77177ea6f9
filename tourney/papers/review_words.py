"""Sentences of the coach's review: kind, short, and in counts where few calls would make a percentage say too much."""

from tourney.model.standing import TeamStanding
from tourney.review.contestants import Highlight
from tourney.review.parts import Part


def count_words(part: Part) -> str:
    """Such as "7 of 8", or "all 8"."""
    return f"all {part.calls}" if part.hits == part.calls > 1 else f"{part.hits} of {part.calls}"


def percent_words(part: Part) -> str:
    """Such as "88 % (53–98)", with Wilson's interval; empty for fewer calls than carry a percentage."""
    if not part.enough or part.share is None:
        return ""
    low, high = part.interval
    return f"{_percent(part.share)} % ({_percent(low)}–{_percent(high)})"


def highlight_words(one: Highlight, section: str) -> str:
    """What went well. section: its name, where the highlight is one."""
    if one.kind == "section":
        return f"{section}: found {count_words(one.part)}"
    if one.kind == "answers":
        return f"Spoken answers: {count_words(one.part)} right"
    return f"Handling: {count_words(one.part)} calls without a fault"


def target_words(one: Highlight | None, section: str) -> str:
    """The one thing to practise next."""
    if one is None:
        return "Every call was found. Next: find them in less time, or help somebody younger."
    if one.kind == "section":
        return f"{section}: found {count_words(one.part)}. Say its names in order, then find them one by one."
    if one.kind == "answers":
        return f"Spoken answers: {count_words(one.part)} right. Say each name aloud with the ones before and after."
    faults = one.part.calls - one.part.hits
    what = "one fault" if faults == 1 else f"{faults} faults"
    return f"Handling: {what} in {one.part.calls} calls. Begin each call closed and still."


NOTHING_YET = "There is nothing to look back on this time. Come and drill with us again."


def place_words(row: TeamStanding, ranked: int, made: str, available: str) -> str:
    """Where a team stands among so many of its division or pool."""
    lead = "Shared place" if row.shared else "Place"
    pool = f" in pool {row.pool}" if row.pool else ""
    return f"{lead} {row.place} of {ranked}{pool}, with {made} of {available} points"


def _percent(share: float) -> int:
    return round(100 * share)
