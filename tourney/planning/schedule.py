"""All but officials and calls: who meets whom, when and where, and how they stand."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from tourney.draw import Draw
from tourney.model.event import Division, Event
from tourney.model.people import Roster, Team
from tourney.model.plan import Bye, Heat, ReservedHeat, Wave
from tourney.planning.clock import Meeting, finish_bound, heat_minutes, moment
from tourney.planning.lines import share_places, stand_in_line, standing
from tourney.planning.pools import by_pool
from tourney.planning.prefixes import division_prefixes
from tourney.planning.rooms import choose_rooms
from tourney.planning.rotation.draw import draw_rotation
from tourney.planning.seats import Bench, duties
from tourney.planning.timetable import set_times


@dataclass(frozen=True, slots=True)
class Schedule:
    """A drawn day without officials: the judges of its heats are empty. finish, its bound: minutes from the start.

    meetings: what the timetable was made of. heats: those without teams wait for the round before.
    rounds: division -> rounds that are drawn.
    """

    waves: tuple[Wave, ...]
    heats: tuple[Heat, ...]
    byes: tuple[Bye, ...]
    rounds: dict[str, int]
    meetings: tuple[Meeting, ...]
    finish: int
    finish_bound: int


def draw_schedule(event: Event, roster: Roster, draw: Draw, attempt: int) -> Schedule:
    """The schedule of one attempt: the same event, words and attempt give the same schedule. Refusal: see set_times."""
    meetings: list[Meeting] = []
    byes: list[Bye] = []
    rounds: dict[str, int] = {}
    for division in event.divisions:
        teams = [team for team in roster.teams if team.division == division.name]
        if teams:
            drawn, resting = _rotation(division, teams, draw, attempt)
            rounds[division.name] = len(resting)
            meetings += [_meeting(division, number, heat, roster, event) for number, heat in drawn]
            sizes = [len(heat) for _, heat in drawn]
            meetings += _waiting(division, teams, sizes if waits(division) else [], roster, event)
            byes += [Bye(division.name, number, team) for number, away in enumerate(resting, 1) for team in away]
    timetable = set_times(meetings, event, draw.stream("timetable", f"try {attempt}"))
    waves = tuple(
        Wave(f"W{number:02}", moment(event, start), minutes)
        for number, (start, minutes) in enumerate(zip(timetable.starts, timetable.minutes, strict=True), 1)
    )
    rooms = choose_rooms(timetable.waves, event.rooms)
    placed = [
        (wave, room, meeting)
        for wave, held, chosen in zip(waves, timetable.waves, rooms, strict=True)
        for room, meeting in sorted(zip(chosen, held, strict=True), key=lambda row: row[0])
    ]
    heats = _heats(placed, event, roster)
    return Schedule(waves, heats, tuple(byes), rounds, tuple(meetings), timetable.finish, timetable.finish_bound)


def saved_by_one_more_room(schedule: Schedule, event: Event, draw: Draw) -> int:
    """Minutes that the day would end sooner if there were one more room, as roomy as the roomiest: by a new timetable.

    At least, since the new timetable need not be the best one. More officials for the same rooms save nothing.
    """
    roomiest = max(event.rooms, key=lambda room: room.line_limit)
    larger = event.model_copy(update={"rooms": (*event.rooms, roomiest)})
    if finish_bound(schedule.meetings, len(larger.rooms), event.day) >= schedule.finish:
        return 0
    timetable = set_times(schedule.meetings, larger, draw.stream("timetable", "one more room"), starts=1)
    return max(0, schedule.finish - timetable.finish)


def _rotation(
    division: Division, teams: Sequence[Team], draw: Draw, attempt: int
) -> tuple[list[tuple[int, tuple[str, ...]]], tuple[tuple[str, ...], ...]]:
    """(round, teams in standing order) of each heat, and the teams that rest in each round, as far as can be drawn."""
    rounds = 1 if waits(division) else division.rounds
    drawn: list[tuple[int, tuple[str, ...]]] = []
    for pool, own in by_pool(teams).items():
        stream = draw.stream("rotation", division.name, *([f"pool {pool}"] if pool else []), f"try {attempt}")
        rotation = draw_rotation([(team.id, team.club) for team in own], rounds, division.teams_per_heat, stream)
        drawn += [(number, heat) for number, heats in enumerate(rotation.rounds, 1) for heat in heats]
    drawn.sort(key=lambda row: row[0])  # stable: pool after pool
    busy = {(number, team) for number, heat in drawn for team in heat}
    # A pool in which everyone has met everyone rests until the larger ones are through.
    resting = [
        tuple(sorted(team.id for team in teams if (number, team.id) not in busy))
        for number in range(1, max((number for number, _ in drawn), default=0) + 1)
    ]
    in_order = share_places([heat for _, heat in drawn])
    return [(number, heat) for (number, _), heat in zip(drawn, in_order, strict=True)], tuple(resting)


def _meeting(division: Division, number: int, heat: tuple[str, ...], roster: Roster, event: Event) -> Meeting:
    teams = [roster.team[key] for key in heat]
    children = [roster.contestant[child] for team in teams for child in team.members]
    line = sum(len(standing(team, division.squad)) for team in teams)
    return Meeting(division.name, number, heat, heat_minutes(division, children, event.day.slot), line)


def waits(division: Division) -> bool:
    """Is each round drawn when the one before is in. Where everyone meets everyone there is nothing to wait for."""
    return division.draw == "by_standing" and division.rounds != "all"


def _waiting(
    division: Division, teams: Sequence[Team], sizes: Sequence[int], roster: Roster, event: Event
) -> list[Meeting]:
    """The heats of all rounds but the first, with room and time for whichever teams come. sizes: teams of each heat."""
    rounds = range(2, int(division.rounds) + 1) if sizes else ()
    children = [roster.contestant[child] for team in teams for child in team.members]
    minutes = heat_minutes(division, children, event.day.slot)
    widths = sorted((len(standing(team, division.squad)) for team in teams), reverse=True)
    return [Meeting(division.name, number, (), minutes, sum(widths[:size])) for number in rounds for size in sizes]


def _heats(placed: Sequence[tuple[Wave, int, Meeting]], event: Event, roster: Roster) -> tuple[Heat, ...]:
    prefixes = division_prefixes([division.name for division in event.divisions])
    members = {team.id: standing(team, event.division(team.division).squad) for team in roster.teams}
    lines = stand_in_line([meeting.teams for _, _, meeting in placed], members)
    count: dict[tuple[str, int], int] = {}
    heats = []
    for (wave, room, meeting), line in zip(placed, lines, strict=True):
        number = count[meeting.division, meeting.round] = count.get((meeting.division, meeting.round), 0) + 1
        prefix = prefixes[meeting.division]
        heats.append(
            Heat(
                id=f"{prefix}-R{meeting.round}-{number}",
                division=meeting.division,
                round=meeting.round,
                wave=wave.id,
                room=event.rooms[room].name,
                call_set=f"{prefix}-{wave.id}",
                teams=meeting.teams,
                judges=(),
                caller="",
                timekeeper=None,
                line=line,
            )
        )
    return tuple(heats)


def benches(schedule: Schedule, event: Event, roster: Roster) -> list[tuple[Bench, ...]]:
    """The seats of each wave. Heats whose teams are still to be drawn ask for people too, whoever these are tied to."""
    reachable = {room.name: room.step_free for room in event.rooms}
    seats: dict[str, list[Bench]] = {wave.id: [] for wave in schedule.waves}
    times = {wave.id: wave for wave in schedule.waves}
    for heat in schedule.heats:
        teams = tuple(roster.team[key] for key in heat.teams)
        seats[heat.wave] += benches_of(heat, event.division(heat.division), times[heat.wave], teams, reachable)
    return [tuple(held) for held in seats.values()]


def benches_of(
    heat: Heat | ReservedHeat,
    division: Division,
    wave: Wave,
    teams: tuple[Team, ...],
    reachable: Mapping[str, bool],
    taken: frozenset[str] = frozenset(),
) -> list[Bench]:
    """The seats of one heat. reachable: room -> can it be reached without steps. taken: ids of those busy elsewhere."""
    return [
        Bench(heat.id, wave.id, duty, places, teams, reachable[heat.room], wave.start, wave.end, taken)
        for duty, places in duties(division).items()
    ]
