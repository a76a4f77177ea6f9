"""What has to change at the least, counted from the plan alone and apart from whatever makes the changes."""

from collections.abc import Collection, Iterable, Sequence
from datetime import timedelta

from tourney.model.event import Event
from tourney.model.people import Official
from tourney.model.plan import Heat, Wave
from tourney.planning.seats import Bench


def heats_without_room(heats: Iterable[Heat], rooms: Collection[str]) -> int:
    """Heats that stand in rooms that are lost: each must move."""
    return sum(heat.room in rooms for heat in heats)


def heats_without_time(lines: Sequence[int], limits: Sequence[int]) -> int:
    """Of the lines that lose their room in one wave, those for which no free room is left in it.

    lines: contestants in each; limits: of the free rooms. Longest line first into the roomiest room: rooms are nested
    by their limits, so nothing fits more (Hall 1935).
    """
    free = sorted(limits, reverse=True)
    placed = 0
    for line in sorted(lines, reverse=True):
        placed += placed < len(free) and free[placed] >= line
    return len(lines) - placed


def teams_to_another_heat(short: Sequence[int]) -> int:
    """Teams that must change their heat so that none stays two or more short while another of the wave is full.

    short: for each heat that shares a call set, the seats left empty. A move fills one seat of a short heat and takes
    one of a full heat, so that the smaller of the two numbers is needed.
    """
    return min(sum(max(0, empty - 1) for empty in short), sum(empty == 0 for empty in short))


def seats_to_change(vacated: Sequence[Bench], officials: Sequence[Official], on_duty: Collection[str]) -> int:
    """Seats of one wave that need somebody else when some are vacated.

    A seat filled by somebody free is one change; one filled by somebody on duty leaves another seat empty and is two.
    vacated: one bench a seat. The most that free people can fill is a maximum matching, by augmenting paths.
    """
    free = [official for official in officials if official.id not in on_duty]
    taken: dict[str, int] = {}

    def fill(seat: int, seen: set[str]) -> bool:
        for person in free:
            if person.id not in seen and vacated[seat].suits(person):
                seen.add(person.id)
                if person.id not in taken or fill(taken[person.id], seen):
                    taken[person.id] = seat
                    return True
        return False

    filled = sum(fill(seat, set()) for seat in range(len(vacated)))
    return 2 * len(vacated) - filled


def waves_to_shift(waves: Sequence[Wave], held: Collection[str], delay: int, event: Event) -> int:
    """Waves that can't start as planned when the first one that has not begun is late by so many minutes.

    Between two waves lie at least the minutes of those between, the changeovers and the pauses: the delay reaches a
    wave when it is more than the time to spare on the way there.
    """
    first = next((n for n, wave in enumerate(waves) if wave.id not in held), len(waves))
    day, late = event.day, 0
    pauses = {pause.after_wave: pause.minutes for pause in day.pauses}
    spare = timedelta()
    for number in range(first, len(waves)):
        if number > first:
            least = timedelta(minutes=max(day.changeover, pauses.get(number, 0)))
            spare += waves[number].start - waves[number - 1].end - least
        late += delay > 0 and timedelta(minutes=delay) > spare
    return late
