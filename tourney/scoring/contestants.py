"""The standing of single contestants, each by its own points alone, and the awards they reached."""

from collections import defaultdict
from collections.abc import Collection, Sequence
from fractions import Fraction

from tourney.model.event import Band
from tourney.model.names import shown_names
from tourney.model.people import Roster
from tourney.model.standing import ContestantStanding
from tourney.scoring.heats import ContestantHeat, HeatScore
from tourney.scoring.places import places_of


def contestant_standings(
    scores: Sequence[HeatScore], roster: Roster, bands: Sequence[Band], disqualified: Collection[str] = ()
) -> tuple[ContestantStanding, ...]:
    """One row for each contestant who stands in a line and may be ranked, by the exact part of the points available.

    Names are the shortest that the entries allow and that tell the children of the division apart.
    """
    heats: dict[str, list[ContestantHeat]] = defaultdict(list)
    for score in scores:
        for child in (one for one in score.contestants if one.contestant not in disqualified):
            heats[child.contestant].append(child)
    points = {child: sum((one.made.points for one in own), Fraction()) for child, own in heats.items()}
    available = {child: sum(one.available for one in own) for child, own in heats.items()}
    share = {child: points[child] / available[child] if available[child] else Fraction() for child in heats}
    places, names = places_of(share), shown_names(roster.contestant[child] for child in sorted(heats))
    held = list(places.values())
    return tuple(
        ContestantStanding(
            place=places[child],
            shared=held.count(places[child]) > 1,
            contestant=child,
            shown_as=names[child],
            team=heats[child][0].team,
            points=points[child],
            available=Fraction(available[child]),
            band=band_of(share[child], bands),
        )
        for child in sorted(heats, key=lambda child: (places[child], child))
    )


def band_of(share: Fraction, bands: Sequence[Band]) -> str | None:
    """The highest award reached, compared exactly: 863/960 is not nine tenths. None below all."""
    reached = [band for band in bands if share >= _limit(band)]
    return max(reached, key=_limit).label if reached else None


def _limit(band: Band) -> Fraction:
    """What the settings say, as the decimal that was written there: 0.9 is 9/10."""
    return Fraction(str(band.from_))
