"""A rotation that no pattern gives, found by a long search of ours."""

from collections.abc import Mapping
from random import Random

# 25 teams in fives over six rounds, six clubs of four (seats 0 to 23, club by club) and a team alone; a word a round,
# its letters the heats of the seats. Clubs never meet, and 45 meetings are repeats. Found by annealing over swaps.
# Counting proves that 36 are needed; whether fewer than 45 are possible is not known to us.
FIVES = (
    "0431230423103240123421041 3420241331041402213001342 4102130204131432324003124 "
    "2143423014200341321021340 1204143242304103203121034 0321143204210234031412403"
)


def found_rounds(clubs: Mapping[str, str], rounds: int, size: int, random: Random) -> list[list[list[str]]] | None:
    """Rounds of heats of team ids where these clubs are as in a stored rotation, else None. clubs: team -> club."""
    members: dict[str, list[str]] = {}
    for team in sorted(clubs):
        members.setdefault(clubs[team], []).append(team)
    groups = sorted(members.values(), key=len, reverse=True)
    if (rounds, size, [len(group) for group in groups]) != (6, 5, [4] * 6 + [1]):
        return None
    fours = random.sample(groups[:6], 6)
    seats = [team for group in fours for team in random.sample(group, 4)] + groups[6]
    return [
        [[team for team, place in zip(seats, word, strict=True) if place == heat] for heat in "01234"]
        for word in FIVES.split()
    ]
