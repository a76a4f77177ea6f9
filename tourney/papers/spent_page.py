"""Who has heard which call set, and which sets nobody has heard: set by set, without a child's name."""

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass

from tourney.model.calls import CallBook
from tourney.model.spent import SpentCall, heard_twice, unheard
from tourney.papers.page_writer import Page, Writer
from tourney.papers.paging import Words, in_pages

PAD_MM, ROW_MM, HEAD_MM = 2.5, 7.5, 58.0  # around the words of a row; a row of one line; what stands above
TEAMS_MM = 64.0
USES = {
    "rotation": "rounds",
    "final": "finals",
    "drill_off": "drill-off",
    "reserve": "in reserve, for a heat held anew",
    "practice": "practice before the first heat",
}


@dataclass(frozen=True, slots=True)
class SetRow:
    """One set. heats: in which it was heard. teams: ids of those whose children heard it. children: how many."""

    id: str
    division: str
    use: str
    heats: tuple[str, ...]
    teams: tuple[str, ...]
    children: int


@dataclass(frozen=True, slots=True)
class SpentView:
    """heard: sets that were called. clean: those that nobody heard.

    twice: (child's number, set) of each who heard one in two heats; none on a clean day.
    """

    heard: tuple[SetRow, ...]
    clean: tuple[SetRow, ...]
    twice: tuple[tuple[str, str], ...]

    @property
    def measured(self) -> str:
        """What was looked at of the sets that have to be clean, as a sentence; empty where none was called."""
        later = [row for row in self.heard if row.use not in (USES["rotation"], USES["practice"])]
        sets = "1 set was" if len(later) == 1 else f"{len(later)} sets were"
        told = (
            f"In finals, drill-offs and heats held anew {sets} called to {sum(row.children for row in later)} children"
        )
        return f"{told}, and none of them had heard theirs before." if later else ""


def spent_view(book: CallBook, spent: Sequence[SpentCall]) -> SpentView:
    """Set by set, in the order of the book."""
    by_set: dict[str, list[SpentCall]] = {}
    for one in spent:
        by_set.setdefault(one.call_set, []).append(one)
    heard = tuple(_rows(book, by_set, by_set))
    return SpentView(heard, tuple(_rows(book, unheard(book, spent), by_set)), heard_twice(spent))


def spent_page(view: SpentView, write: Writer) -> Page:
    """The page; its path is below results/review/call_writer/."""
    heard = in_pages(view.heard, _height, write.tall.room - HEAD_MM)
    clean = in_pages(view.clean, lambda _: ROW_MM, write.tall.room - HEAD_MM)
    return write("who_heard_what.html", "spent.html", "Who heard what", view=view, heard=heard, clean=clean)


def _rows(book: CallBook, wanted: Collection[str], by_set: dict[str, list[SpentCall]]) -> Iterator[SetRow]:
    for one in book.sets:
        if one.id in wanted:
            own = by_set.get(one.id, ())
            heats, teams = (tuple(dict.fromkeys(names)) for names in ((s.heat for s in own), (s.team for s in own)))
            yield SetRow(one.id, one.division, USES[one.use], heats, teams, len({s.contestant for s in own}))


def _height(row: SetRow) -> float:
    return (
        max(Words(" ".join(names), TEAMS_MM / share).mm for names, share in ((row.teams, 1), (row.heats, 2))) + PAD_MM
    )
