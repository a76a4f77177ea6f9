"""The 66 books against packages that are not ours.

Identifiers and names: usfm-references (USFM 3.1 book identifiers). Chapters, verses and groups: pythonbible.
"""

from collections import Counter
from itertools import accumulate, pairwise

import pytest
import pythonbible
import usfm_references

from tourney.canon.books import BOOKS, COVERAGE, SECTION_NAMES, Book

OLD, NEW = BOOKS[:39], BOOKS[39:]
PEER = dict(zip((book.id for book in BOOKS), list(pythonbible.Book)[:66], strict=True))
GROUPS = {
    "law": pythonbible.BookGroup.OLD_TESTAMENT_LAW,
    "history": pythonbible.BookGroup.OLD_TESTAMENT_HISTORY,
    "poetry": pythonbible.BookGroup.OLD_TESTAMENT_POETRY_WISDOM,
    "major_prophets": pythonbible.BookGroup.OLD_TESTAMENT_MAJOR_PROPHETS,
    "minor_prophets": pythonbible.BookGroup.OLD_TESTAMENT_MINOR_PROPHETS,
    "gospels": pythonbible.BookGroup.NEW_TESTAMENT_GOSPELS,
    "acts": pythonbible.BookGroup.NEW_TESTAMENT_HISTORY,
    "paul": pythonbible.BookGroup.NEW_TESTAMENT_PAUL_EPISTLES,
    "general": pythonbible.BookGroup.NEW_TESTAMENT_GENERAL_EPISTLES,
    "revelation": pythonbible.BookGroup.NEW_TESTAMENT_APOCALYPTIC,
}


def test_identifiers_are_the_first_66_of_usfm() -> None:
    assert [book.id for book in BOOKS] == usfm_references.BOOKS[:66]


@pytest.mark.parametrize("book", BOOKS, ids=lambda book: book.id)
def test_name_chapters_and_verses(book: Book) -> None:
    peer = PEER[book.id]
    chapters = pythonbible.get_number_of_chapters(peer)
    verses = sum(pythonbible.get_number_of_verses(peer, chapter) for chapter in range(1, chapters + 1))
    assert (book.name, book.chapters, book.verses) == (peer.title, chapters, verses)
    assert usfm_references.convert_book_name_to_usfm(book.name) == book.id


def test_totals_of_the_king_james_text() -> None:
    """1,189 chapters and 31,102 verses: 929 and 23,145 in the Old Testament, 260 and 7,957 in the New.

    Counted from the text of pythonbible and, apart from these tests, from a plain text of the King James Version.
    """
    assert [(len(part), sum(b.chapters for b in part), sum(b.verses for b in part)) for part in (BOOKS, OLD, NEW)] == [
        (66, 1_189, 31_102),
        (39, 929, 23_145),
        (27, 260, 7_957),
    ]


def test_extremes() -> None:
    """One-chapter books, and the shortest and longest by verses and chapters: from the same count of the text."""
    assert {book.id for book in BOOKS if book.chapters == 1} == {"OBA", "PHM", "2JN", "3JN", "JUD"}
    assert min(BOOKS, key=lambda book: book.verses).id == "2JN"
    assert max(BOOKS, key=lambda book: book.chapters) == max(BOOKS, key=lambda book: book.verses)
    assert max(BOOKS, key=lambda book: book.chapters).id == "PSA"


@pytest.mark.parametrize("section", GROUPS)
def test_taught_sections_are_the_groups_of_pythonbible(section: str) -> None:
    """The ten taught sections are common practice, no source; pythonbible groups the books alike."""
    assert [PEER[book.id] for book in BOOKS if book.section == section] == list(GROUPS[section].books)


def test_eight_coverage_sections() -> None:
    """Sizes 5, 12, 5, 5, 12, 5, 13, 9 in canon order; the two smallest of the ten are joined to a neighbour."""
    assert list(Counter(COVERAGE[book.section] for book in BOOKS).items()) == [
        ("law", 5),
        ("history", 12),
        ("poetry", 5),
        ("major_prophets", 5),
        ("minor_prophets", 12),
        ("gospels_acts", 5),
        ("paul", 13),
        ("general_revelation", 9),
    ]
    assert set(SECTION_NAMES) == set(COVERAGE) | set(COVERAGE.values())


def test_sections_hold_books_that_stand_together() -> None:
    changes = sum(one.section != other.section for one, other in pairwise(BOOKS))
    assert changes == len(COVERAGE) - 1


@pytest.mark.parametrize(("part", "book"), [(1 / 4, "1SA"), (1 / 2, "PSA"), (3 / 4, "MAT")])
def test_halving_the_text_opens_where_children_are_taught(part: float, book: str) -> None:
    """Opening at the middle, then halving each half, lands in Psalms, in 1 Samuel and at the Gospels.

    The rule is common practice, no source; the verse counts confirm it.
    """
    ends = accumulate(found.verses for found in BOOKS)
    opened = next(found for found, end in zip(BOOKS, ends, strict=True) if end > part * 31_102)
    assert opened.id == book


def test_other_names_are_those_of_the_handbooks() -> None:
    """Source: USFM 3 documentation, table of books; SBL Handbook of Style, 2nd ed., list of biblical books.

    Left out here: "1 Kings" for 1 Samuel and so on, which the USFM table gives too, since it would name two books.
    """
    handbooks = {
        **{book: (f"{number} Moses",) for number, book in enumerate(("GEN", "EXO", "LEV", "NUM", "DEU"), start=1)},
        **{book: (f"{number} Kingdoms",) for number, book in enumerate(("1SA", "2SA", "1KI", "2KI"), start=1)},
        "1CH": ("1 Paralipomenon",),
        "2CH": ("2 Paralipomenon",),
        "NEH": ("2 Esdras",),
        "PSA": ("Psalm",),
        "ECC": ("Qoheleth", "Qoholeth"),
        "SNG": ("Song of Solomon", "Canticles", "Canticle of Canticles"),
        "ACT": ("Acts of the Apostles",),
        "REV": ("Apocalypse",),
    }
    ours = {book.id: set(book.other_names) for book in BOOKS}
    assert {book: set(names) - ours[book] for book, names in handbooks.items()} == {book: set() for book in handbooks}
    assert {book for book, names in ours.items() if names} == set(handbooks)
