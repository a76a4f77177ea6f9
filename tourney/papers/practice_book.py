"""What a coach takes home: a plan of ten minutes a day, and cards to cut out and fold."""

from dataclasses import dataclass
from math import ceil

from tourney.canon.openings import openings
from tourney.canon.syllabus import Syllabus
from tourney.model.event import Event
from tourney.model.plan import Plan
from tourney.papers.caller_page import opening_words
from tourney.papers.page_writer import Page, Writer
from tourney.papers.paging import Words, in_pages

CARDS_A_PAGE = 7
TABLE_MM, FOOT_MM, DAY_MM, TODO_MM = 12.0, 10.0, 3.0, 24.0  # a table's head; the last remark; air of a day; what to do
SECTIONS_A_LINE, SECTION_MM, SECTIONS_MM = 3, 6.0, 9.0
CALLS_WIDTH, PAIRS_WIDTH = 96.0, 55.0  # mm
TINY = 9.0  # points


@dataclass(frozen=True, slots=True)
class PlanCall:
    """One call of a day, by name. kind: new, again or mixed."""

    name: str
    kind: str


@dataclass(frozen=True, slots=True)
class PlanDay:
    """One day of the plan. pairs: the names of two neighbours each."""

    day: int
    section: str
    calls: tuple[PlanCall, ...]
    pairs: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class SectionLine:
    """What is known of a section: misses among the calls noted; calls may be 0."""

    name: str
    missed: int
    calls: int


@dataclass(frozen=True, slots=True)
class Card:
    """One card. day: of the plan on which it is new."""

    say: str
    answer: tuple[str, ...]
    also: tuple[str, ...]
    section: str
    open: str
    day: int


@dataclass(frozen=True)
class PracticeBook:
    """All that the pages say. group: whom it is for. basis: what the choice rests on, in sentences."""

    group: str
    division: str
    basis: tuple[str, ...]
    sections: tuple[SectionLine, ...]
    days: tuple[PlanDay, ...]
    cards: tuple[Card, ...]


def card_of(syllabus: Syllabus, key: str, say: str, answer: tuple[str, ...], day: int) -> Card:
    """An item as a card."""
    section = syllabus.section_name(syllabus.item(key).section)
    return Card(say, answer, syllabus.also(key), section, opening_words(syllabus, openings(syllabus)[key]), day)


def practice_pages(made_from: Plan | Event, book: PracticeBook) -> tuple[Page, Page]:
    """The plan and the cards."""
    write = Writer(made_from)
    intro = TODO_MM + sum(Words(sentence, write.tall.width).mm for sentence in book.basis)
    if book.sections:
        intro += SECTIONS_MM + SECTION_MM * ceil(len(book.sections) / SECTIONS_A_LINE)
    room = write.tall.room - TABLE_MM - FOOT_MM
    sheets = in_pages((None, *book.days), lambda day: _day_mm(day) if day else intro, room)
    cards = tuple(book.cards[at : at + CARDS_A_PAGE] for at in range(0, len(book.cards), CARDS_A_PAGE))
    return (
        write("plan.html", "practice_plan.html", "Ten minutes a day", book=book, sheets=sheets),
        write("cards.html", "practice_cards.html", "Practice cards", book=book, sheets=cards),
    )


def _day_mm(day: PlanDay) -> float:
    calls = Words(", ".join(call.name for call in day.calls), CALLS_WIDTH, bold=True).mm
    pairs = sum(Words(f"{one} – {other}", PAIRS_WIDTH, TINY).mm for one, other in day.pairs)
    return DAY_MM + max(calls, Words(day.section, PAIRS_WIDTH, bold=True).mm + pairs)
