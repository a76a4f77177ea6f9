"""What to say when officials are too few: where, how many, and the least that would help."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace

from tourney.errors import Refusal, Shortage
from tourney.model.event import Event
from tourney.model.people import Official, Roster
from tourney.planning.officials import Gap, find_gaps
from tourney.planning.seats import Bench, duties, needed
from tourney.planning.ties import Ties

NAMED = 4  # clubs, at most, to which those who would help must have no tie; beyond that, to none at all


def hopeless_heat(event: Event, roster: Roster, some_wave: Bench) -> Gap | None:
    """A team that no panel can serve at all, whoever it meets and whenever: proof that no draw helps."""
    all_day = [replace(official, start="", end="", step_free_only=False) for official in roster.officials]
    ties = Ties(all_day)
    looked: set[tuple[str, frozenset[int]]] = set()
    for team in roster.teams:
        alike = team.division, frozenset(ties.to([team]))
        if alike in looked:
            continue
        looked.add(alike)
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


def people_missing(gaps: Sequence[Gap]) -> int:
    """Fewest people who fill all these gaps, each of them at work in every wave.

    As many as the worst wave lacks, if they can take any seat of a cut and have no tie to its teams: by the deficiency
    form of Hall's theorem (Ore 1955), since the cut is the least set of seats that lacks most.
    """
    return max((gap.missing for gap in gaps), default=0)


def too_few_officials(
    gaps: Sequence[Gap], tries: int, proven: bool, fewer_rooms: str | None, drawn: Sequence[Gap] = ()
) -> Refusal:
    """The refusal for these gaps, those of the best of so many draws.

    proven: the gaps would remain without any tie. fewer_rooms: the cure that leaves out a room, where there is one.
    drawn: where ties leave more gaps than these, all gaps of the best draw, which the cure has to fill.
    """
    worst = max(gaps, key=lambda gap: gap.missing)
    looked = "" if proven else f" None of {tries} draws of the rotation could be filled; this is the best of them."
    return Refusal(
        f"There are not enough officials{'' if proven else ' without a tie'}: {_place(worst)}.{looked}",
        tuple(_shortage(gap) for gap in gaps),
        (_cure(drawn or gaps), *([fewer_rooms] if fewer_rooms else [])),
        proven,
        tuple(f"{_place(gap)}. {_who(gap)}" for gap in gaps),
    )


def team_without_officials(gap: Gap, drawn: Sequence[Gap]) -> Refusal:
    """The refusal for a team that can never drill. drawn: all gaps of the best draw, which the cure has to fill."""
    team = gap.benches[0].teams[0]
    return Refusal(
        f"{team.name} of {team.club} ({team.id}) can't drill at all: a heat needs {_seats(gap.benches)}, "
        f"and only {len(gap.people)} of the officials may serve it.",
        (Shortage(f"{_seats(gap.benches)} for {team.id}", len(gap.people), needed(gap.benches)),),
        (_cure(drawn),),
    )


def _place(gap: Gap) -> str:
    heats = _series(list(dict.fromkeys(bench.heat for bench in gap.benches)), "and")
    seats = f"{gap.missing} seat{'s' * (gap.missing > 1)}"
    return f"at {gap.benches[0].start:%H:%M} (wave {gap.wave}) nobody is left for {seats} of {heats}"


def _who(gap: Gap) -> str:
    return f"They need {_seats(gap.benches)}, and only {len(gap.people)} people may take any of these seats."


def _shortage(gap: Gap) -> Shortage:
    return Shortage(_seats(gap.benches), len(gap.people), needed(gap.benches), _place(gap))


def _seats(benches: Sequence[Bench]) -> str:
    """As 2 judges and 1 caller."""
    seats: Counter[str] = Counter()
    for bench in benches:
        seats[bench.duty] += bench.seats
    return _series([f"{number} {duty}{'s' * (number > 1)}" for duty, number in seats.items()], "and")


def _series(words: Sequence[str], last: str) -> str:
    """A, B and C."""
    return f" {last} ".join([*([", ".join(words[:-1])] if len(words) > 1 else []), words[-1]])


def _clubs(gap: Gap) -> list[str]:
    return sorted({team.club for bench in gap.benches for team in bench.teams})


def _cure(gaps: Sequence[Gap]) -> str:
    """Who fills all these gaps."""
    number = people_missing(gaps)
    kinds = list(dict.fromkeys(bench.duty for gap in gaps for bench in gap.benches))
    clubs = sorted({club for gap in gaps for club in _clubs(gap)})
    people = f"{number} more {kinds[0] if len(kinds) == 1 else 'helper'}{'s' * (number > 1)}"
    able = f" who can be {_series(kinds, 'and')}" if len(kinds) > 1 else ""
    tie = _series(clubs, "or") if 0 < len(clubs) <= NAMED else "any club"
    return f"{people}{able} without a tie to {tie} {'are' if number > 1 else 'is'} enough."
