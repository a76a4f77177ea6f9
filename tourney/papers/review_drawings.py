"""Small pictures of the coach's review, in SVG 1.1: greys alone, with what they show in words. Measures are in mm."""

from collections.abc import Mapping, Sequence
from functools import lru_cache

from tourney.review.contestants import RoundShare
from tourney.review.parts import Part

BOXES = 16  # calls that are drawn box by box
INK, FILL, BAR, RULE = "#161616", "#4a4a4a", "#9a9a9a", "#7d7d7d"
BARS_WIDTH, BARS_HEIGHT = 24.0, 7.0


@lru_cache(maxsize=4096)
def strip(part: Part, width: float, height: float) -> str:
    """So many of so many: a box a call, filled where it was found; one bar where there are too many for boxes."""
    inner = height - 0.3
    cell = (width - 0.3) / part.calls
    shapes = (
        f'<rect x="0.15" y="0.15" width="{cell * part.hits:.2f}" height="{inner:.2f}" fill="{FILL}"/>'
        f'<rect x="0.15" y="0.15" width="{width - 0.3:.2f}" height="{inner:.2f}" fill="none" stroke="{INK}" '
        'stroke-width="0.25"/>'
    )
    if part.calls <= BOXES:
        for ends, ink in ((range(1, part.hits), "#fff"), (range(max(1, part.hits), part.calls), INK)):
            path = "".join(f"M{0.15 + cell * n:.2f} 0.2V{height - 0.2:.2f}" for n in ends)
            shapes += f'<path d="{path}" stroke="{ink}" stroke-width="0.25"/>' if path else ""
    return _picture(width, height, f"{part.hits} of {part.calls}", shapes)


def bars(shares: Sequence[RoundShare], numbers: Sequence[int], middle: Mapping[int, float] | None) -> str:
    """Part of the points of each round as a bar, with a line where the middle child of the division stands.

    numbers: of all rounds that were heard, so that a round without a bar keeps its place.
    """
    cell, full = BARS_WIDTH / len(numbers), BARS_HEIGHT - 0.4
    shapes = [f'<path d="M0 {BARS_HEIGHT - 0.1}H{BARS_WIDTH}" stroke="{RULE}" stroke-width="0.2"/>']
    for one in shares:
        x, up = numbers.index(one.round) * cell, full * float(one.points)
        shapes.append(
            f'<rect x="{x + 0.12 * cell:.2f}" y="{BARS_HEIGHT - 0.1 - up:.2f}" width="{0.76 * cell:.2f}" '
            f'height="{up:.2f}" fill="{BAR}"/>'
        )
        if middle and one.round in middle:
            y = BARS_HEIGHT - 0.1 - full * middle[one.round]
            shapes.append(f'<path d="M{x:.2f} {y:.2f}h{cell:.2f}" stroke="{INK}" stroke-width="0.35"/>')
    said = ", ".join(f"round {one.round}: {100 * float(one.points):.0f} of 100 points" for one in shares)
    return _picture(BARS_WIDTH, BARS_HEIGHT, said, "".join(shapes))


def _picture(width: float, height: float, words: str, shapes: str) -> str:
    """words: without anything that a name could hold."""
    return (
        f'<svg width="{width:.2f}mm" height="{height:.2f}mm" viewBox="0 0 {width:.2f} {height:.2f}" role="img" '
        f'aria-label="{words}">{shapes}</svg>'
    )
