"""The 66 books as data.

Identifiers: USFM 3.1, book identifiers. Chapters and verses: the King James text, 1,189 chapters and 31,102 verses;
tests compare both with packages that are not ours. The ten taught sections are common practice, no source.
"""

from typing import NamedTuple


class Book(NamedTuple):
    """One book. `section` is one of the ten that are taught; `other_names` are further names that count as right."""

    id: str
    name: str
    section: str
    chapters: int
    verses: int
    other_names: tuple[str, ...]


# The ten taught sections, and the eight over which calls are balanced: the two smallest are joined to a neighbour.
COVERAGE = {
    "law": "law",
    "history": "history",
    "poetry": "poetry",
    "major_prophets": "major_prophets",
    "minor_prophets": "minor_prophets",
    "gospels": "gospels_acts",
    "acts": "gospels_acts",
    "paul": "paul",
    "general": "general_revelation",
    "revelation": "general_revelation",
}

SECTION_NAMES = {
    "law": "Law",
    "history": "History",
    "poetry": "Poetry",
    "major_prophets": "Major Prophets",
    "minor_prophets": "Minor Prophets",
    "gospels": "Gospels",
    "acts": "Acts",
    "gospels_acts": "Gospels and Acts",
    "paul": "Paul",
    "general": "General Letters",
    "revelation": "Revelation",
    "general_revelation": "General Letters and Revelation",
}

# fmt: off
BOOKS = (
    Book("GEN", "Genesis", "law", 50, 1_533, ("1 Moses",)),
    Book("EXO", "Exodus", "law", 40, 1_213, ("2 Moses",)),
    Book("LEV", "Leviticus", "law", 27, 859, ("3 Moses",)),
    Book("NUM", "Numbers", "law", 36, 1_288, ("4 Moses",)),
    Book("DEU", "Deuteronomy", "law", 34, 959, ("5 Moses",)),
    Book("JOS", "Joshua", "history", 24, 658, ()),
    Book("JDG", "Judges", "history", 21, 618, ()),
    Book("RUT", "Ruth", "history", 4, 85, ()),
    Book("1SA", "1 Samuel", "history", 31, 810, ("1 Kingdoms",)),
    Book("2SA", "2 Samuel", "history", 24, 695, ("2 Kingdoms",)),
    Book("1KI", "1 Kings", "history", 22, 816, ("3 Kingdoms",)),
    Book("2KI", "2 Kings", "history", 25, 719, ("4 Kingdoms",)),
    Book("1CH", "1 Chronicles", "history", 29, 942, ("1 Paralipomenon",)),
    Book("2CH", "2 Chronicles", "history", 36, 822, ("2 Paralipomenon",)),
    Book("EZR", "Ezra", "history", 10, 280, ()),
    Book("NEH", "Nehemiah", "history", 13, 406, ("2 Esdras",)),
    Book("EST", "Esther", "history", 10, 167, ()),
    Book("JOB", "Job", "poetry", 42, 1_070, ()),
    Book("PSA", "Psalms", "poetry", 150, 2_461, ("Psalm",)),
    Book("PRO", "Proverbs", "poetry", 31, 915, ()),
    Book("ECC", "Ecclesiastes", "poetry", 12, 222, ("Qoheleth", "Qoholeth")),
    Book("SNG", "Song of Songs", "poetry", 8, 117, ("Song of Solomon", "Canticles", "Canticle of Canticles")),
    Book("ISA", "Isaiah", "major_prophets", 66, 1_292, ()),
    Book("JER", "Jeremiah", "major_prophets", 52, 1_364, ()),
    Book("LAM", "Lamentations", "major_prophets", 5, 154, ()),
    Book("EZK", "Ezekiel", "major_prophets", 48, 1_273, ()),
    Book("DAN", "Daniel", "major_prophets", 12, 357, ()),
    Book("HOS", "Hosea", "minor_prophets", 14, 197, ()),
    Book("JOL", "Joel", "minor_prophets", 3, 73, ()),
    Book("AMO", "Amos", "minor_prophets", 9, 146, ()),
    Book("OBA", "Obadiah", "minor_prophets", 1, 21, ()),
    Book("JON", "Jonah", "minor_prophets", 4, 48, ()),
    Book("MIC", "Micah", "minor_prophets", 7, 105, ()),
    Book("NAM", "Nahum", "minor_prophets", 3, 47, ()),
    Book("HAB", "Habakkuk", "minor_prophets", 3, 56, ()),
    Book("ZEP", "Zephaniah", "minor_prophets", 3, 53, ()),
    Book("HAG", "Haggai", "minor_prophets", 2, 38, ()),
    Book("ZEC", "Zechariah", "minor_prophets", 14, 211, ()),
    Book("MAL", "Malachi", "minor_prophets", 4, 55, ()),
    Book("MAT", "Matthew", "gospels", 28, 1_071, ()),
    Book("MRK", "Mark", "gospels", 16, 678, ()),
    Book("LUK", "Luke", "gospels", 24, 1_151, ()),
    Book("JHN", "John", "gospels", 21, 879, ()),
    Book("ACT", "Acts", "acts", 28, 1_007, ("Acts of the Apostles",)),
    Book("ROM", "Romans", "paul", 16, 433, ()),
    Book("1CO", "1 Corinthians", "paul", 16, 437, ()),
    Book("2CO", "2 Corinthians", "paul", 13, 257, ()),
    Book("GAL", "Galatians", "paul", 6, 149, ()),
    Book("EPH", "Ephesians", "paul", 6, 155, ()),
    Book("PHP", "Philippians", "paul", 4, 104, ()),
    Book("COL", "Colossians", "paul", 4, 95, ()),
    Book("1TH", "1 Thessalonians", "paul", 5, 89, ()),
    Book("2TH", "2 Thessalonians", "paul", 3, 47, ()),
    Book("1TI", "1 Timothy", "paul", 6, 113, ()),
    Book("2TI", "2 Timothy", "paul", 4, 83, ()),
    Book("TIT", "Titus", "paul", 3, 46, ()),
    Book("PHM", "Philemon", "paul", 1, 25, ()),
    Book("HEB", "Hebrews", "general", 13, 303, ()),
    Book("JAS", "James", "general", 5, 108, ()),
    Book("1PE", "1 Peter", "general", 5, 105, ()),
    Book("2PE", "2 Peter", "general", 3, 61, ()),
    Book("1JN", "1 John", "general", 5, 105, ()),
    Book("2JN", "2 John", "general", 1, 13, ()),
    Book("3JN", "3 John", "general", 1, 14, ()),
    Book("JUD", "Jude", "general", 1, 25, ()),
    Book("REV", "Revelation", "revelation", 22, 404, ("Apocalypse", "Revelation of John")),
)
# fmt: on
