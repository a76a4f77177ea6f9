"""Problems in what people handed in, as values: gathered over all files and shown together, never raised one by one."""

from dataclasses import dataclass
from enum import StrEnum


class Code(StrEnum):
    """Every kind of fault, question and note. tests/broken holds one minimal event for each."""

    # files
    MISSING_FILE = "missing-file"
    TWO_SETTINGS = "two-settings"
    UNREADABLE_FILE = "unreadable-file"
    NOT_TOML = "not-toml"
    # settings
    UNKNOWN_KEY = "unknown-key"
    MISSING_KEY = "missing-key"
    BAD_VALUE = "bad-value"
    DIVISIONS_OVERLAP = "divisions-overlap"
    DIVISIONS_GAP = "divisions-gap"
    DUPLICATE_NAME = "duplicate-name"
    LINE_TOO_LONG = "line-too-long"
    # tables: entries, officials, syllabus
    UNKNOWN_COLUMN = "unknown-column"
    MISSING_COLUMN = "missing-column"
    EXTRA_COLUMNS = "extra-columns"
    MISSING_VALUE = "missing-value"
    NO_ENTRIES = "no-entries"
    # entries
    UNKNOWN_DIVISION = "unknown-division"
    WRONG_DIVISION = "wrong-division"
    BAD_DATE = "bad-date"
    AMBIGUOUS_DATE = "ambiguous-date"
    SAME_CHILD = "same-child"
    MAYBE_SAME_CHILD = "maybe-same-child"
    SHORT_TEAM = "short-team"
    LARGE_TEAM = "large-team"
    SIMILAR_CLUBS = "similar-clubs"
    # officials
    UNKNOWN_CLUB = "unknown-club"
    UNKNOWN_PERSON = "unknown-person"
    NOT_CLEARED = "not-cleared"
    NAMESAKES = "namesakes"
    SHARED_SURNAME = "shared-surname"
    # answers and syllabus
    UNUSED_ANSWER = "unused-answer"
    UNKNOWN_SECTION = "unknown-section"
    UNKNOWN_ITEM = "unknown-item"
    TELLING_CALL = "telling-call"
    MEASURED_DIFFICULTY = "measured-difficulty"


@dataclass(frozen=True, slots=True, order=True)
class Fault:
    """One problem at one place.

    file: path relative to the event folder. where: "line 7", a cell such as "Entries!C7", or a key.
    message: what is wrong. hint: what would be right.
    """

    file: str
    where: str
    code: Code
    message: str
    hint: str = ""


@dataclass(frozen=True, slots=True, order=True)
class Question:
    """Something that only a person can decide; answered by mending the entry or by [[answers]] with this id."""

    id: str
    file: str
    where: str
    code: Code
    message: str
    hint: str = ""
