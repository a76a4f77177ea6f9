"""The clock of the day: which heats start together, and when, over rooms that all divisions share."""

from collections.abc import Sequence
from dataclasses import dataclass
from random import Random

from tourney.errors import Refusal, Shortage
from tourney.model.event import Event, Room
from tourney.planning.blocks import Block, lay_blocks
from tourney.planning.clock import Meeting, finish_bound, wave_times
from tourney.planning.spread import STARTS, spread


@dataclass(frozen=True, slots=True)
class Timetable:
    """waves: the meetings of each; starts, minutes: of each wave, in minutes from the start of the day.

    finish_bound: minutes before which counting proves that no timetable ends.
    """

    waves: tuple[tuple[Meeting, ...], ...]
    starts: tuple[int, ...]
    minutes: tuple[int, ...]
    finish_bound: int

    @property
    def finish(self) -> int:
        """Minutes from the start to the end of the last wave."""
        return self.starts[-1] + self.minutes[-1] if self.starts else 0


def set_times(meetings: Sequence[Meeting], event: Event, random: Random, starts: int = STARTS) -> Timetable:
    """Lay out all heats. Wanted in this order: an early finish, few call sets, even waiting, early and late shared out.

    starts: how often the heats of a division are begun to be placed; 1 is enough where the finish alone is wanted.
    Rules: one heat a room and wave; rounds of a division in order and never two in a wave; rest; lines fit their room.
    Raises Refusal when a line fits no room.
    """
    if not meetings:
        return Timetable((), (), (), 0)
    _refuse_long_lines(meetings, event.rooms)
    fits = {meeting.line: _rooms_for(meeting.line, event.rooms) for meeting in meetings}
    parts: dict[tuple[str, int, int, int, bool], list[int]] = {}
    for number, meeting in enumerate(meetings):
        key = (meeting.division, meeting.round, meeting.minutes, fits[meeting.line], meeting.waits)
        parts.setdefault(key, []).append(number)
    blocks = [Block(*key, heats=len(part)) for key, part in parts.items()]
    bound = finish_bound(meetings, len(event.rooms), event.day)

    def laid_out(cautious: bool) -> Timetable:
        counts = lay_blocks(blocks, len(event.rooms), event.day, bound, random, cautious=cautious)
        wave_of = spread(meetings, list(parts.values()), counts, event.day, random, starts)
        by_wave: dict[int, list[Meeting]] = {}
        for meeting, wave in zip(meetings, wave_of, strict=True):
            by_wave.setdefault(wave, []).append(meeting)
        waves = tuple(tuple(by_wave[wave]) for wave in sorted(by_wave))
        begins, minutes = wave_times(waves, event.day)
        return Timetable(waves, tuple(begins), tuple(minutes), bound)

    close = laid_out(cautious=False)
    if close.finish <= bound:
        return close
    return min(close, laid_out(cautious=True), key=lambda timetable: timetable.finish)


def _rooms_for(line: int, rooms: Sequence[Room]) -> int:
    return sum(room.line_limit >= line for room in rooms)


def _refuse_long_lines(meetings: Sequence[Meeting], rooms: Sequence[Room]) -> None:
    widest = max(room.line_limit for room in rooms)
    longest = max(meetings, key=lambda meeting: meeting.line)
    if longest.line > widest:
        raise Refusal(
            f"{longest.division}: a heat of {' and '.join(longest.teams) or 'the largest teams'} puts {longest.line} "
            f"children in one line, but the roomiest room takes {widest}.",
            (Shortage("places in one line", widest, longest.line, longest.division),),
            (
                f"Raise line_limit of a room to {longest.line}, if it really has the space.",
                f"Set teams_per_heat of {longest.division} lower, or squad smaller.",
            ),
        )
