"""The standing of single contestants, each by its own points alone, and the awards they reached."""

from collections import defaultdict
from collections.abc import Collection, Sequence
from fractions import Fraction

from tourney.model.event import Division
from tourney.model.names import shown_names
from tourney.model.people import Roster
from tourney.model.standing import ContestantStanding
from tourney.scoring.bands import band_of, next_band
from tourney.scoring.heats import ContestantHeat, HeatScore
from tourney.scoring.places import places_of


def contestant_standings(
    scores: Sequence[HeatScore], roster: Roster, division: Division, rounds: int, disqualified: Collection[str] = ()
) -> tuple[ContestantStanding, ...]:
    """One row for each contestant who stands in a line and may be ranked, by the exact part of the points available.

    rounds: how many are drawn; a round that a contestant did not stand in shows 0. Names are the shortest that the
    entries allow and that tell the children of the division apart.
    """
    heats: dict[str, list[ContestantHeat]] = defaultdict(list)
    by_round: dict[tuple[str, int], Fraction] = defaultdict(Fraction)
    for score in scores:
        for child in (one for one in score.contestants if one.contestant not in disqualified):
            heats[child.contestant].append(child)
            by_round[child.contestant, score.heat.round] += child.made.points
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
            band=band_of(places[child], points[child], Fraction(available[child]), division.bands_upwards),
            next_band=next_band(places[child], points[child], Fraction(available[child]), division.bands_upwards),
            round_points=tuple(by_round[child, number] for number in range(1, rounds + 1)),
        )
        for child in sorted(heats, key=lambda child: (places[child], child))
    )
