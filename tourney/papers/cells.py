"""Cells as a worksheet's XML holds them (SpreadsheetML: ECMA-376 part 1, 18.3.1.4, and 18.4 for text).

Written here rather than by openpyxl, which takes many times as long and leaves out what a formula comes to: programs
that show workbooks without working them out would show nothing there.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date as Date
from xml.sax.saxutils import escape

from openpyxl.utils import get_column_letter

from tourney.papers.sheet_style import FONT
from tourney.papers.text_cells import clean

Run = tuple[str, float, bool]  # text, points, bold

_DAY_ZERO = Date(1899, 12, 30)  # days count from here, as spreadsheet programs have it since their 1900
_GAP = re.compile("⟦([^⟧|]*)(?:[|]([^⟧]*))?⟧")


@dataclass(frozen=True, slots=True)
class Formula:
    """A formula, beginning with `=`, and what it comes to as the sheet stands."""

    text: str
    value: str | float


@dataclass(frozen=True, slots=True)
class Runs:
    """Text in several sizes within one cell."""

    parts: tuple[Run, ...]


@dataclass(frozen=True, slots=True)
class Gap:
    """A place in a finished sheet that is filled later: the text of a cell, its look, or a printed corner."""

    key: str

    def mark(self, otherwise: str = "") -> str:
        """What stands there until then. otherwise: what it is filled with if nothing else comes."""
        return f"⟦{self.key}|{otherwise}⟧" if otherwise else f"⟦{self.key}⟧"


Content = str | int | float | Date | Formula | Runs | Gap | None


def fill_gaps(xml: str, gaps: Mapping[str, str]) -> str:
    """XML with its gaps filled in one pass, so that nothing filled in is ever taken for a gap.

    gaps: by key, each as XML already: text_xml of a cell's text, the number of a look, or an escaped corner.
    """
    return _GAP.sub(lambda gap: gaps[gap[1]] if gap[2] is None else gaps.get(gap[1], gap[2]), xml)


def cell_name(row: int, column: int) -> str:
    """Such as F9; row and column from 1."""
    return f"{get_column_letter(column)}{row}"


def cell_xml(place: str, style: str, content: Content) -> str:
    """One cell. style: the number of its look, or a mark for it. Text stays text, whatever it begins with."""
    start = f'<c r="{place}" s="{style}"'
    if content is None or content == "":
        return f"{start}/>"
    if isinstance(content, str | Runs | Gap):
        return f'{start} t="inlineStr"><is>{text_xml(content)}</is></c>'
    if isinstance(content, Formula):
        kind = ' t="str"' if isinstance(content.value, str) else ""
        return f"{start}{kind}><f>{escape(content.text[1:])}</f><v>{escape(str(content.value))}</v></c>"
    return f"{start}><v>{(content - _DAY_ZERO).days if isinstance(content, Date) else content}</v></c>"


def text_xml(text: str | Runs | Gap) -> str:
    """What stands between <is> and </is>."""
    if isinstance(text, Gap):
        return text.mark()
    if isinstance(text, Runs):
        return "".join(map(_run_xml, text.parts))
    return f'<t xml:space="preserve">{escape(clean(text))}</t>'


def _run_xml(run: Run) -> str:
    text, points, bold = run
    look = f'{"<b/>" if bold else ""}<sz val="{points}"/><rFont val="{FONT}"/>'
    return f"<r><rPr>{look}</rPr>{text_xml(text)}</r>" if text else ""
