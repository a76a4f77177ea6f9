"""The steward's list: which child needs what, and where. Nothing of it goes anywhere else but the bare seconds."""

from dataclasses import dataclass

from tourney.model.people import Contestant
from tourney.papers.views import Hall, HeatView, TeamLabel

# An entry asks for large print by one of these, in its needs or as its edition, in whatever case.
LARGE_PRINT = ("large print", "large-print", "largeprint", "large type", "large letters", "big print", "giant print")


@dataclass(frozen=True, slots=True)
class AccessStop:
    """Where the child stands, and whether steps lead there."""

    heat: HeatView
    line: int
    steps: bool

    @property
    def start(self) -> str:
        """When the heat starts."""
        return self.heat.start


@dataclass(frozen=True, slots=True)
class AccessRow:
    """One child who asked for something. seconds: the time limit of their own, None for the division's.

    large_print: the file, in the steward's folder, of an itinerary in large print; empty for none.
    """

    id: str
    name: str
    shown_as: str
    team: TeamLabel
    seconds: int | None
    needs: str
    seat: str
    edition: str
    large_print: str
    stops: tuple[AccessStop, ...]


def access_rows(hall: Hall) -> tuple[AccessRow, ...]:
    """Children with an access need, in order of their teams. Names are in full: the steward has to find them."""
    steps = {room.name for room in hall.plan.event.rooms if not room.step_free}
    rows = []
    for team in hall.plan.teams:
        for child in map(hall.roster.contestant.__getitem__, team.members):
            if child.needs or child.seat or child.edition or child.seconds is not None:
                stops = tuple(
                    AccessStop(view, hall.plan.heat[view.id].line.index(child.id) + 1, view.room in steps)
                    for view in hall.heats.values()
                    if child.id in hall.plan.heat[view.id].line
                )
                label = hall.teams[team.id]
                rows.append(
                    AccessRow(
                        child.id,
                        child.name,
                        hall.names[child.id],
                        label,
                        child.seconds,
                        child.needs,
                        child.seat,
                        child.edition,
                        f"large_print/{child.id}.html" if _reads_large_print(child) else "",
                        stops,
                    )
                )
    return tuple(rows)


def _reads_large_print(child: Contestant) -> bool:
    said = " ".join(f"{child.needs} {child.edition}".casefold().split())
    return any(words in said for words in LARGE_PRINT)
