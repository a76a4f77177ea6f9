"""Names on a score sheet, as large as their cell allows."""

from itertools import product
from math import ceil, floor

from tourney.papers.cells import Run
from tourney.papers.sheet_facts import Standing
from tourney.papers.text_cells import MM_PER_POINT, text_width

# Points of the name and of the team beneath it: the largest that fit are taken.
_NAME_SIZES, _TEAM_SIZES = (12.0, 11.0, 10.0, 9.0, 8.0, 7.0, 6.0), (8.0, 7.0, 6.0, 5.5)
_LEADING = 1.2


def name_parts(child: Standing, width: float, height: float) -> tuple[Run, ...]:
    """Name, own seconds and team as runs of text, as large as a cell of so many mm allows.

    Where nothing fits, the smallest size is taken and the text is cut short.
    """
    own = f"   {child.seconds}\N{NO-BREAK SPACE}s" if child.seconds else ""
    for size, small in product(_NAME_SIZES, _TEAM_SIZES):
        points = ceil(text_width(child.name + own, size, bold=True) / width) * size
        points += ceil(text_width(child.team, small) / width) * small
        if points * _LEADING * MM_PER_POINT <= height:
            return (child.name, size, True), (own, size, False), (f"\n{child.team}", small, False)
    size, small = _NAME_SIZES[-1], _TEAM_SIZES[-1]
    rows = max(2, floor(height / (_LEADING * MM_PER_POINT * size)))
    name, team = _cut(child.name, size, (rows - 1) * width), _cut(child.team, small, width)
    return (name, size, True), (own, size, False), (f"\n{team}", small, False)


def _cut(text: str, size: float, width: float) -> str:
    """Text that is no wider than `width` mm, with an ellipsis where something is left out."""
    if text_width(text, size) <= width:
        return text
    while text and text_width(f"{text}…", size) > width:
        text = text[:-1]
    return f"{text}…"
