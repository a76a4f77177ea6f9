"""How long heats take, and when waves start."""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, time, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

from tourney.model.event import Day, Division, Event
from tourney.model.people import Contestant

STEP = 5  # minutes that a slot is rounded up to
ENTER_AND_LEAVE = 7 * 60  # seconds of a heat besides its calls: common practice, no source
SPEAK_AND_MARK = 20  # seconds of a call besides the time to find it: common practice, no source


@dataclass(frozen=True, slots=True)
class Meeting:
    """A heat before it has a time and a room. minutes: how long it takes. line: contestants who stand in it.

    teams: none in a round that waits: it is drawn when the one before is in. Then any team may come into the heat.
    """

    division: str
    round: int
    teams: tuple[str, ...]
    minutes: int
    line: int

    @property
    def waits(self) -> bool:
        """Are its teams still to be drawn."""
        return not self.teams


def heat_minutes(division: Division, children: Iterable[Contestant], slot: int | None) -> int:
    """Minutes of a heat with these children, who may have registered for more seconds than the division's."""
    if slot is not None:
        return slot
    longest = max((child.seconds or 0 for child in children), default=0)
    seconds = ENTER_AND_LEAVE + division.calls * (SPEAK_AND_MARK + max(longest, division.seconds))
    return -(-seconds // (60 * STEP)) * STEP


def gap_after(wave: int, day: Day) -> int:
    """Least minutes between wave number `wave`, from 1, and the next."""
    return max([day.changeover, *(pause.minutes for pause in day.pauses if pause.after_wave == wave)])


def wave_times(waves: Sequence[Sequence[Meeting]], day: Day) -> tuple[list[int], list[int]]:
    """(starts, lengths) in minutes, the first wave starting at 0.

    A wave starts after the changeover or the pause, later still where a team of it would rest too little, or where a
    round is still to be drawn and not every team of the round before has rested.
    """
    starts: list[int] = []
    lengths = [max((meeting.minutes for meeting in wave), default=0) for wave in waves]
    free_from: dict[str, int] = {}  # when each team has rested
    round_over: dict[tuple[str, int], int] = {}  # when all teams of a round have
    for number, wave in enumerate(waves):
        teams = [team for meeting in wave for team in meeting.teams]
        awaited = [(meeting.division, meeting.round - 1) for meeting in wave if meeting.waits]
        plain = starts[-1] + lengths[number - 1] + gap_after(number, day) if starts else 0
        rested = [free_from.get(team, 0) for team in teams] + [round_over.get(key, 0) for key in awaited]
        starts.append(max([plain, *rested]))
        ready = starts[-1] + lengths[number] + day.rest
        free_from |= dict.fromkeys(teams, ready)
        round_over |= dict.fromkeys(((meeting.division, meeting.round) for meeting in wave), ready)
    return starts, lengths


def moment(event: Event, minutes: int) -> datetime:
    """So many minutes after the start of the day, in the event's zone."""
    hour, minute = event.start.split(":")
    zone = ZoneInfo(event.timezone)
    start = datetime.combine(event.date, time(int(hour), int(minute)), zone)
    return (start.astimezone(UTC) + timedelta(minutes=minutes)).astimezone(zone)


def finish_bound(meetings: Sequence[Meeting], rooms: int, day: Day) -> int:
    """Minutes before which no timetable can end, by counting: over the waves that are needed, and over teams' days.

    Waves: for each length, heats that long need so many waves, over all rooms and over the rounds of each division,
    since no wave holds two of them. Teams: heats and the rests between them. Rounds that wait for each other come one
    after the other, with a rest between.
    """
    lengths = sorted({0, *(meeting.minutes for meeting in meetings)})
    needed = [_waves_needed([m for m in meetings if m.minutes >= length], rooms) for length in lengths[1:]]
    steps = [longer - shorter for shorter, longer in pairwise(lengths)]
    gaps = sum(gap_after(number, day) for number in range(1, needed[0])) if needed else 0
    by_waves = sum(step * waves for step, waves in zip(steps, needed, strict=True)) + gaps
    teams: dict[str, list[int]] = {}
    for meeting in meetings:
        for team in meeting.teams:
            teams.setdefault(team, []).append(meeting.minutes)
    rest = max(day.rest, day.changeover)
    by_teams = (sum(heats) + rest * (len(heats) - 1) for heats in teams.values())
    return max([by_waves, *by_teams, *_waiting_bounds(meetings, rooms, day)])


def _waiting_bounds(meetings: Sequence[Meeting], rooms: int, day: Day) -> Iterator[int]:
    """Least minutes of each division whose rounds wait: waves of a round and changeovers, then a rest."""
    for division in sorted({meeting.division for meeting in meetings if meeting.waits}):
        rounds: dict[int, list[int]] = {}
        for meeting in meetings:
            if meeting.division == division:
                rounds.setdefault(meeting.round, []).append(meeting.minutes)
        total = -max(day.rest, day.changeover)
        for heats in rounds.values():
            waves = sorted(heats, reverse=True)[::rooms]  # the longest heats together
            total += sum(waves) + day.changeover * (len(waves) - 1) + max(day.rest, day.changeover)
        yield total


def _waves_needed(meetings: Sequence[Meeting], rooms: int) -> int:
    rounds = Counter((meeting.division, meeting.round) for meeting in meetings)
    by_division: Counter[str] = Counter()
    for (division, _), heats in rounds.items():
        by_division[division] += -(-heats // rooms)
    return max(-(-len(meetings) // rooms), *by_division.values())
