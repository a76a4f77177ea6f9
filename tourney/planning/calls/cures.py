"""The smallest changes of a division's settings under which its call sets can be drawn, each one tried."""

from collections.abc import Iterator

from tourney.canon.syllabus import Syllabus
from tourney.model.event import Division
from tourney.planning.calls.exact import APART
from tourney.planning.calls.growing import Works, growth

EASY = 2 * APART  # calls from which on any neighbours can be called far apart


def cures(division: Division, syllabus: Syllabus, works: Works) -> Iterator[str]:
    """Changes of one setting that help, in words, the mildest first; then a longer list.

    works: whether all sets exist under such rules.
    """

    def helps(**change: object) -> bool:
        return works(division.model_copy(update=change), syllabus)

    name, rule = division.name, division.sections
    now = division.no_repeat_gap or 0
    gap = next((n for n in range(now - 1, -1, -1) if helps(no_repeat_gap=n)), None)
    if gap is not None:
        yield f"Set no_repeat_gap = {gap} for {name} (now {now})."
    if division.first_last == "leave_out" and helps(first_last="call"):
        yield f'Set first_last = "call" for {name}: the first and the last item may be called too.'
    kept = next((n for n in range(division.reserve_sets - 1, -1, -1) if helps(reserve_sets=n)), None)
    if kept is not None:
        yield f"Set reserve_sets = {kept} for {name} (now {division.reserve_sets})."
    filled = {item.section: 1.0 for item in syllabus.allowed(name, division.first_last)}
    if rule == "equal" and len(filled) < len(syllabus.sections) and helps(sections=filled):
        weights = ", ".join(f"{_key(section)} = 1" for section in filled)
        yield f"Set sections = {{ {weights} }} for {name}: equal over the sections that it may hear."
    if rule != "by_size" and helps(sections="by_size"):
        yield f'Set sections = "by_size" for {name}: large sections are called more often.'
    if rule not in ("equal", "by_size") and helps(sections="equal"):
        yield f'Set sections = "equal" for {name}: every section is called as often as every other.'
    calls = next((n for n in _other_calls(division.calls) if helps(calls=n)), None)
    if calls is not None:
        yield f"Set calls = {calls} for {name} (now {division.calls})."
    longer = growth(division, syllabus, works)
    if longer is not None:
        yield longer


def _key(section: str) -> str:
    """A section's name as a key of the settings."""
    return section if section.isidentifier() and section.isascii() else f'"{section}"'


def _other_calls(now: int) -> Iterator[int]:
    """Fewer calls in a set, one by one; then as many as make any order possible."""
    yield from range(now - 1, 0, -1)
    if now < EASY:
        yield EASY
