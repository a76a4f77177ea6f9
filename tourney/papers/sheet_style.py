"""The look that all workbooks share: one typeface, greys that copy well, rules instead of colours."""

from dataclasses import dataclass
from typing import Literal

FONT = "Arial"  # on every machine, or with a stand-in of the same widths; so columns are as wide everywhere
PALE, SOFT, MIDDLE, DARK = "F2F2F2", "D9D9D9", "A6A6A6", "262626"
PAPER_CODE = {"A4": 9, "Letter": 1}  # ECMA-376 part 1, 18.3.1.63 (pageSetup, paperSize)
PAPER_MM = {"A4": (297.0, 210.0), "Letter": (279.4, 215.9)}  # landscape, ISO 216 and ANSI/ASME Y14.1
HALF = {"A4": "half A4", "Letter": "half Letter"}  # what is laid out on half the paper is printed LARGER on all of it
PAPER_MM |= {HALF[name]: (width / 2**0.5, height / 2**0.5) for name, (width, height) in PAPER_MM.items()}
LARGER = 2**0.5
MM_PER_INCH = 25.4
_PIXELS_PER_CHARACTER = 7  # the widest digit of Arial 10 at 96 dots an inch

Rule = Literal["", "light", "thin", "medium", "thick"]
Rules = tuple[Rule, Rule, Rule, Rule]


@dataclass(frozen=True, slots=True)
class Look:
    """How a cell looks. size: points. rules: left, right, top, bottom. entry: may be typed into when protected.

    hatched: struck through with slanting lines besides its fill, where nothing belongs.
    """

    size: float = 10
    bold: bool = False
    ink: str = DARK
    fill: str = ""
    hatched: bool = False
    across: Literal["left", "center", "right"] = "left"
    up: Literal["top", "center", "bottom"] = "center"
    wrap: bool = False
    shrink: bool = False
    indent: int = 0
    number: str = "General"
    rules: Rules = ("", "", "", "")
    entry: bool = False


def column_width(mm: float) -> float:
    """A column's width in the unit of workbooks, from mm on paper, in whole screen dots."""
    return round(mm / MM_PER_INCH * 96) / _PIXELS_PER_CHARACTER


def row_height(mm: float) -> float:
    """A row's height in points, from mm on paper, in whole screen dots."""
    return round(mm / MM_PER_INCH * 96) * 0.75
