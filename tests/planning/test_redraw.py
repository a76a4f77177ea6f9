"""The same words and secret give the same calls, release after release, or the plan says that another way drew them."""

import hashlib
from typing import Any

from tourney.canon.syllabus import built_in
from tourney.draw import Draw
from tourney.model.event import Division
from tourney.model.plan import Heat
from tourney.planning.calls.draw import draw_call_sets
from tourney.planning.calls.need import SetNeed
from tourney.planning.calls.speakers import draw_speakers
from tourney.planning.redraw import WAY

# What each way drew. Never change a line: when the last one no longer holds, raise WAY and add one.
DRAWN = {1: "39a475ac45c1302c", 2: "29273348127859f3"}


def drawn(**rules: Any) -> str:
    """Fingerprints of sets for four rounds, a final and a drill-off, and who is asked in one heat a set."""
    division = Division(**({"name": "Junior", "ages": (8, 10)} | rules))
    needs = [SetNeed(f"J-W{n + 1:02}", "rotation", 1 + n // 2, n + 1) for n in range(8)]
    needs += [SetNeed("J-FINAL-1", "final", None, None), SetNeed("J-DRILLOFF-1", "drill_off", None, None)]
    draw = Draw("words", "secret")
    sets = draw_call_sets(division, needs, built_in(), draw).sets
    heats = [
        Heat(one.id, "Junior", 1, "W01", "Hall", one.id, ("J01", "J02"), (), "", None, ("J01-1", "J01-2", "J02-1"))
        for one in sets
    ]
    return repr([one.fingerprint() for one in sets] + [row.lines for row in draw_speakers(heats, sets, draw)])


def test_what_is_drawn_changes_only_with_the_number_of_the_way() -> None:
    cases = (drawn(calls=20), drawn(calls=12, sections="by_size"), drawn(calls=6, no_repeat_gap=0))
    assert hashlib.sha256("".join(cases).encode()).hexdigest()[:16] == DRAWN[WAY]
