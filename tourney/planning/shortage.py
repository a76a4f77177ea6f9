"""What to say when officials are too few: where, how many, and the least that would help."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace

from tourney.errors import Refusal, Shortage
from tourney.model.event import Event
from tourney.model.people import Official, Roster
from tourney.planning.officials import Gap, find_gaps
from tourney.planning.seats import Bench, duties, needed


def hopeless_heat(event: Event, roster: Roster, some_wave: Bench) -> Gap | None:
    """A team that no panel can serve at all, whoever it meets and whenever: proof that no draw helps."""
    all_day = [replace(official, start="", end="", step_free_only=False) for official in roster.officials]
    for team in roster.teams:
        wave = tuple(
            replace(some_wave, heat=team.id, duty=duty, seats=seats, teams=(team,))
            for duty, seats in duties(event.division(team.division)).items()
        )
        gaps = find_gaps([wave], all_day)
        if gaps:
            return gaps[0]
    return None


def gaps_without_ties(waves: Sequence[tuple[Bench, ...]], officials: Sequence[Official]) -> list[Gap]:
    """The gaps that would remain if nobody had a tie: no other draw helps."""
    return find_gaps(waves, [replace(official, clubs=(), people=()) for official in officials])


def too_few_officials(gaps: Sequence[Gap], tries: int, proven: bool, fewer_rooms: str | None) -> Refusal:
    """The refusal for these gaps, those of the best of so many draws.

    proven: the gaps would remain without any tie. fewer_rooms: the cure that leaves out a room, where there is one.
    """
    worst = max(gaps, key=lambda gap: gap.missing)
    looked = "" if proven else f" None of {tries} draws of the rotation could be filled; this is the best of them."
    return Refusal(
        f"There are not enough officials{'' if proven else ' without a tie'}: {_place(worst)}.{looked}",
        tuple(_shortage(gap) for gap in gaps),
        (_cure(gaps), *([fewer_rooms] if fewer_rooms else [])),
        proven,
        tuple(f"{_place(gap)}. {_who(gap)}" for gap in gaps),
    )


def team_without_officials(gap: Gap) -> Refusal:
    """The refusal for a team that can never drill."""
    team = gap.benches[0].teams[0]
    return Refusal(
        f"{team.name} of {team.club} ({team.id}) can't drill at all: a heat needs {_seats(gap.benches)}, "
        f"and only {len(gap.people)} of the officials may serve it.",
        (Shortage(f"{_seats(gap.benches)} for {team.id}", len(gap.people), needed(gap.benches)),),
        (_cure([gap]),),
    )


def _place(gap: Gap) -> str:
    heats = ", ".join(dict.fromkeys(bench.heat for bench in gap.benches))
    seats = "1 seat stays" if gap.missing == 1 else f"{gap.missing} seats stay"
    return f"in wave {gap.wave} at {gap.benches[0].start:%H:%M} {seats} empty in {heats}"


def _who(gap: Gap) -> str:
    return f"These need {_seats(gap.benches)}; {len(gap.people)} people can take any of those seats."


def _shortage(gap: Gap) -> Shortage:
    return Shortage(_seats(gap.benches), len(gap.people), needed(gap.benches), _place(gap))


def _seats(benches: Sequence[Bench]) -> str:
    """Two judges and one caller: as 2 judges and 1 caller."""
    seats: Counter[str] = Counter()
    for bench in benches:
        seats[bench.duty] += bench.seats
    return " and ".join(f"{number} {duty}{'s' * (number > 1)}" for duty, number in seats.items())


def _clubs(gap: Gap) -> list[str]:
    return sorted({team.club for bench in gap.benches for team in bench.teams})


def _cure(gaps: Sequence[Gap]) -> str:
    """As many people as the worst wave lacks, who can take any seat of a cut and have no tie to its clubs, fill all.

    By the deficiency form of Hall's theorem (Ore 1955): the cut is the least set that lacks most.
    """
    number = max(gap.missing for gap in gaps)
    kinds = list(dict.fromkeys(bench.duty for gap in gaps for bench in gap.benches))
    clubs = sorted({club for gap in gaps for club in _clubs(gap)})
    who = f"{number} more {kinds[0]}{'s' * (number > 1)}"
    if len(kinds) > 1:
        able = f"{', '.join(kinds[:-1])} and {kinds[-1]}"
        who = f"{number} more {'people' if number > 1 else 'person'} who can be {able}"
    verb = "are" if number > 1 else "is"
    if not 0 < len(clubs) <= 4:
        return f"{who} without a tie to any club {verb} enough."
    return f"{who} without a tie to {' or '.join(clubs)} {verb} enough."
