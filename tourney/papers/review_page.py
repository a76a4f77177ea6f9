"""The coach's review as pages: a division's children in a row each, then a strip for each child to take home."""

from collections.abc import Iterator
from dataclasses import dataclass

from tourney.model.documents import exact_text
from tourney.model.standing import Results
from tourney.papers.file_names import file_names
from tourney.papers.page_writer import Page, Writer
from tourney.papers.paging import LEADING, Sheet, Words, in_pages
from tourney.papers.review_drawings import bars, strip
from tourney.papers.review_views import ChildView, ClubReview, DivisionView, TeamView
from tourney.papers.review_words import percent_words, place_words
from tourney.papers.text_cells import MM_PER_POINT

LINE, TINY = 11 * LEADING * MM_PER_POINT, 9 * LEADING * MM_PER_POINT
NOTE_MM, KEY_MM, HEAD_MM, SEAL_MM = 17.0, 22.0, 33.0, 11.0
CHILD_MM, TEAM_ROW_MM = 10.5, 10.5
SECTION_MM, TABLE_MM = 6.3, 86.0  # a section on a strip, and how wide they are with the gap beside them
SHOWN_ITEMS = 12  # names of items on a strip: more is no help on a Tuesday


@dataclass(frozen=True, slots=True)
class Block:
    """A team with some of its children, as one table. first: the sentences about the team stand here too."""

    team: TeamView
    children: tuple[ChildView, ...]
    first: bool


def review_pages(reviews: tuple[ClubReview, ...], write: Writer, results: Results) -> Iterator[Page]:
    """A page a club; paths are below results/review/clubs/."""
    final = results.state == "final"
    by_club = {review.club: review for review in reviews}
    for club, name in file_names(by_club).items():
        views = tuple(
            (
                division,
                in_pages(_blocks(division), lambda block: _block_mm(block, write.wide), _room(write, final=final)),
                in_pages(_children(division), lambda child: strip_mm(child, write.tall), write.tall.room),
            )
            for division in by_club[club].divisions
        )
        yield write(
            f"{name}.html", "review.html", club, turn="landscape", views=views, provisional=not final,
            place=_place, percent=percent_words, strip=strip, bars=bars, most=SHOWN_ITEMS, items=items_to_practise,
        )  # fmt: skip


def items_to_practise(child: ChildView) -> tuple[str, ...]:
    """Names of items that the child missed, each once, in the order of the day."""
    return tuple(dict.fromkeys(one.item for one in child.missed))


def strip_mm(child: ChildView, sheet: Sheet) -> float:
    """Height of the strip that a child takes home."""
    left = sheet.width - TABLE_MM
    said = sum(Words(f"✓ {words}", left, 13).mm + 1 for words in child.strengths)
    said += Words(f"→ {child.target}", left, 13).mm
    names = ", ".join(items_to_practise(child)[:SHOWN_ITEMS])
    said += Words(f"Look these up once more: {names} and 99 more.", left).mm if names else 0
    sections = sum(max(SECTION_MM, Words(name, 30).mm + 1.8) for name in child.sections)
    return 25 + max(said + 16, sections)


def _room(write: Writer, *, final: bool) -> float:
    return write.wide.room - NOTE_MM - KEY_MM - HEAD_MM - (0 if final else SEAL_MM)


def _blocks(division: DivisionView) -> Iterator[Block]:
    """Teams, long ones in parts, so that a page holds a whole part."""
    for team in division.teams:
        for start in range(0, max(1, len(team.children)), 8):
            yield Block(team, team.children[start : start + 8], start == 0)


def _block_mm(block: Block, sheet: Sheet) -> float:
    said = (_place(block.team), *block.team.closer, *block.team.strengths, block.team.target) if block.first else ()
    half = sheet.width / 2 - 6
    return 12 + sum(Words(words, half).mm for words in said) + TEAM_ROW_MM + CHILD_MM * len(block.children)


def _children(division: DivisionView) -> tuple[ChildView, ...]:
    return tuple(child for team in division.teams for child in team.children)


def _place(team: TeamView) -> str:
    """Where the team stands, in a sentence with its reason."""
    row = team.standing
    if row is None:
        return "The team takes no place."
    made, available = str(exact_text(row.points)), str(exact_text(row.available))
    return f"{place_words(row, team.ranked, made, available)}. {row.reason}".strip()
