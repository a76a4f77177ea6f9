"""What the writer and the reader of a score sheet share: which cell is what.

A hidden first row and a hidden first column carry a tag for every row and column that matters. The reader finds all
by these tags, so that inserted, moved or sorted rows do no harm; other programs use the defined names, which point at
the same cells.
"""

from dataclasses import dataclass

DEFINED_NAMES = ("sheet_code", "line_numbers", "call_numbers", "marks", "judged", "judge_initials")
IDENTITY_PREFIX = "tourney-sheet/1"
JUDGED_TAG = "judged"
INITIALS_TAG = "initials"  # row tag; the entry cell is in the column tagged so too
POINTS = "points"
TICK = "x"

Zone = tuple[int, int]  # the first and the last line that a judge marks

_ALPHABET = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"


@dataclass(frozen=True, slots=True)
class SheetIdentity:
    """What a sheet is, as its hidden corner cell (row 1, column A) says it.

    judge: 1 for the first judge named in the plan. event: twelve characters that tell one event folder from another.
    """

    code: str
    heat: str
    judge: int
    revision: int
    event: str

    def text(self) -> str:
        """The corner cell's content."""
        return "|".join((IDENTITY_PREFIX, self.code, self.heat, str(self.judge), str(self.revision), self.event))


def parse_identity(text: object) -> SheetIdentity | None:
    """The identity in a corner cell, or None when the cell holds no sound one."""
    parts = str(text).strip().split("|")
    if len(parts) != 6 or parts[0] != IDENTITY_PREFIX or not (parts[3].isdecimal() and parts[4].isdecimal()):
        return None
    return SheetIdentity(parts[1], parts[2], int(parts[3]), int(parts[4]), parts[5])


def in_zone(line: int, zone: Zone | None) -> bool:
    """Does a judge with that zone mark a line. None: they mark all of them."""
    return zone is None or zone[0] <= line <= zone[1]


def event_mark(secret_hash: str) -> str:
    """Twelve characters that tell this event folder from any other, from the hash of its secret."""
    return secret_hash.removeprefix("sha256:")[:12]


def sheet_code(heat: str, judge: int) -> str:
    """The code that people type: heat, judge's letter, check character, such as J-R1-1.A.M."""
    stem = f"{heat}.{judge_letter(judge)}"
    return f"{stem}.{check_character(stem)}"


def judge_letter(judge: int) -> str:
    """A for the first judge of a heat."""
    return chr(ord("A") + judge - 1)


def check_character(text: str) -> str:
    """ISO/IEC 7064, MOD 37,36: finds every wrong character, and all but one in 630 swaps of neighbours.

    Characters other than digits and letters are passed over; case does not matter.
    """
    check = 36
    for character in text.upper():
        if character in _ALPHABET:
            check = (check + _ALPHABET.index(character)) % 36 or 36
            check = check * 2 % 37
    return _ALPHABET[(37 - check) % 36]


def call_tag(number: int) -> str:
    """Column tag of a call."""
    return f"call {number}"


def total_tag(what: str) -> str:
    """Tag of the column in which totals are written by hand beside the boxes, or of their row beneath them.

    what: a letter of a mark, or POINTS. Beneath, the totals of line 1 stand under call 1, and so on.
    """
    return f"total {what}"


def line_tag(number: int, contestant: str) -> str:
    """Row tag of a line number, with the contestant who stands there."""
    return f"line {number} {contestant}"
