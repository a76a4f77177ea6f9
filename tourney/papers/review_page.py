"""The coach's review as pages: a division's children in a row each, then a strip for each child to take home."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from math import ceil
from typing import Any

from tourney.model.standing import Results
from tourney.papers.file_names import file_names
from tourney.papers.page_writer import Page, Writer
from tourney.papers.paging import LEADING, Sheet, Words, in_pages
from tourney.papers.review_drawings import bars, strip
from tourney.papers.review_views import ChildView, ClubReview, DivisionView, TeamView
from tourney.papers.review_words import percent_words, place_words
from tourney.papers.text_cells import MM_PER_POINT
from tourney.scoring.words import number

LINE, TINY = 11 * LEADING * MM_PER_POINT, 9 * LEADING * MM_PER_POINT
NOTE_MM, KEY_MM, HEAD_MM, SEAL_MM = 14.0, 21.0, 30.0, 11.0  # what stands once on a page, and the headings
CHILD_MM, TEAM_ROW_MM = 9.6, 9.6
COLUMNS_MM, STRIP_MM, PADDING_MM = 152.0, 13.0, 2.0  # columns before the sections; the longest strip in one of these
SECTION_MM, TABLE_MM = 5.2, 97.0  # a section on a strip, and how wide they are with the gap beside them
NAME_MM = 41.0  # of a section on a strip
SHOWN_ITEMS = 12  # names of items on a strip: more is no help on a Tuesday


@dataclass(frozen=True, slots=True)
class Block:
    """A team with some of its children, as one table. first: the sentences about the team stand here too."""

    team: TeamView
    children: tuple[ChildView, ...]
    first: bool


def review_pages(reviews: tuple[ClubReview, ...], write: Writer, results: Results) -> Iterator[Page]:
    """A page a club; paths are below results/review/clubs/."""
    final, named = results.state == "final", all(review.named for review in reviews)
    room = write.wide.room - NOTE_MM - KEY_MM - HEAD_MM - (0 if named else SEAL_MM)
    by_club = {review.club: review for review in reviews}
    show: dict[str, Any] = {
        "place": _place,
        "percent": percent_words,
        "items": items_to_practise,
        "most": SHOWN_ITEMS,
        "strip": strip,
        "bars": bars,
        "strip_mm": _strip_mm(write),
    }
    for club, name in file_names(by_club).items():
        views = tuple(
            (
                division,
                in_pages(_blocks(division, write.wide, room), lambda block: _block_mm(block, write.wide), room),
                in_pages(_children(division), lambda child: keep_mm(child, write.tall), write.tall.room),
            )
            for division in by_club[club].divisions
        )
        yield write(
            f"{name}.html",
            "review.html",
            club,
            turn="landscape",
            views=views,
            provisional=not final,
            named=named,
            **show,
        )


def items_to_practise(child: ChildView) -> tuple[str, ...]:
    """Names of items that the child missed, each once, in the order of the day."""
    return tuple(dict.fromkeys(one.item for one in child.missed))


def keep_mm(child: ChildView, sheet: Sheet) -> float:
    """Height of the strip that a child takes home."""
    left = sheet.width - TABLE_MM
    said = sum(Words(f"✓ {words}", left, 12).mm for words in child.strengths)
    said += Words(f"→ {child.target}", left, 12).mm
    names = items_to_practise(child)
    more = " and 99 more" * (len(names) > SHOWN_ITEMS)
    said += Words(f"Look these up once more: {', '.join(names[:SHOWN_ITEMS])}{more}.", left).mm if names else 0
    sections = sum(max(SECTION_MM, Words(name, NAME_MM, 10).mm + 1.2) for name in child.sections)
    head = Words(f"{child.shown_as} {child.team.name} {child.team.division.name} {'x' * 6}", sheet.width, 21, bold=True)
    return 12 + max(9, head.mm) + max(said + 13, sections)


def _strip_mm(write: Writer) -> Callable[[DivisionView], float]:
    """How long the strip of a section can be, with so many sections beside each other."""
    left = write.wide.width - COLUMNS_MM
    return lambda view: min(STRIP_MM, left / len(view.sections) - PADDING_MM)


def _blocks(division: DivisionView, sheet: Sheet, room: float) -> Iterator[Block]:
    """Teams, large ones in even parts, so that a page holds a whole part."""
    for team in division.teams:
        fits = max(1, int((room - _about_mm(team, sheet) - TEAM_ROW_MM) / CHILD_MM))
        size = ceil(len(team.children) / ceil(len(team.children) / fits))
        for start in range(0, len(team.children), size):
            yield Block(team, team.children[start : start + size], start == 0)


def _block_mm(block: Block, sheet: Sheet) -> float:
    about = _about_mm(block.team, sheet) if block.first else 12.0
    return about + TEAM_ROW_MM * block.first + CHILD_MM * len(block.children)


def _about_mm(team: TeamView, sheet: Sheet) -> float:
    """What is said of a team: its name and place beside its strengths."""
    half = sheet.width / 2 - 6
    place = 7.5 + sum(Words(words, half).mm + 0.5 for words in _place(team))
    well = sum(Words(f"✓ {words}", half).mm for words in (*team.strengths, team.target))
    return 4.5 + max(place, well)


def _children(division: DivisionView) -> tuple[ChildView, ...]:
    return tuple(child for team in division.teams for child in team.children)


def _place(team: TeamView) -> tuple[str, ...]:
    """Where the team stands, why, and what would have given it a better place; a sentence each."""
    row = team.standing
    if row is None:
        return ("The team takes no place.",)
    made, available = number(row.points), number(row.available)
    said = (f"{place_words(row, team.ranked, made, available)}.", row.reason, row.change)
    return tuple(sentence for sentence in said if sentence)
