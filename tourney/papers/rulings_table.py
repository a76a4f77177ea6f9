"""Every ruling of the day as a row: what was decided, by whom, why."""

from collections.abc import Iterable, Iterator
from zoneinfo import ZoneInfo

from tourney.model.plan import Plan
from tourney.model.ruling import Ruled, Started, ruling_words
from tourney.papers.cells import Content
from tourney.papers.table_sheet import Field, number

RULINGS_FIELDS = (
    Field("Row", 14, number(bold=True)),
    Field("Time", 18),
    Field("What was decided", 115),
    Field("By", 45),
    Field("Why", 75),
    Field("Stands", 20),
)


def rulings_rows(rulings: Iterable[Ruled], plan: Plan) -> Iterator[tuple[Content, ...]]:
    """In the order of the record; times by the hall's clock. Starts of waves change no marks and are left out."""
    zone = ZoneInfo(plan.event.timezone)
    for ruled in rulings:
        if not isinstance(ruled.ruling, Started):
            stands = "yes" if ruled.stands else "taken back"
            at = f"{ruled.at.astimezone(zone):%H:%M}"
            yield ruled.number, at, ruling_words(ruled.ruling), ruled.by, ruled.why, stands
