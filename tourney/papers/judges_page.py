"""The chief judge's page: how strict judges were and how sure that is, drawn, with what to make of it in sentences."""

from collections.abc import Iterable
from dataclasses import dataclass
from math import ceil

from tourney.model.standing import Results
from tourney.papers.judges_views import ChiefReview
from tourney.papers.page_writer import Page, Writer
from tourney.papers.paging import Words, in_pages
from tourney.review.additive import Effect
from tourney.review.judges import FAULTS

ROW_MM, HEAD_MM = 7.2, 46.0
PLOT = 70.0  # mm that an interval is drawn in


@dataclass(frozen=True, slots=True)
class Scale:
    """Where values lie on a plot with 0 in its middle. most: points at its end, a whole number."""

    most: int

    @staticmethod
    def of(effects: Iterable[Effect]) -> "Scale":
        """Wide enough for every interval."""
        return Scale(max(1, ceil(max((abs(end) for one in effects for end in one.interval), default=1))))

    def x(self, value: float) -> float:
        """Millimetres from the left."""
        return PLOT / 2 + value / self.most * (PLOT / 2 - 2)


def judges_page(review: ChiefReview, write: Writer, results: Results) -> Page:
    """The page; its path is below results/review/chief_judge/."""
    summary = sum(Words(words, write.tall.width).mm + 2 for words in review.summary)
    sheets = in_pages(review.judges, lambda _: ROW_MM, write.tall.room - HEAD_MM - summary)
    return write(
        "judges.html",
        "judges.html",
        "For the chief judge, in private",
        provisional=results.state != "final",
        review=review,
        sheets=sheets,
        plot=PLOT,
        letters=FAULTS,
        severity=Scale.of(row.review.severity for row in review.judges if row.review.severity),
        rooms=Scale.of(review.rooms),
    )
