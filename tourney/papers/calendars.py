"""Calendar files that telephones and desk calendars read (iCalendar: RFC 5545): one a team, an official and a room.

They hold what the itineraries hold: times, rooms, duties and teams; no child's name and no call.
"""

import unicodedata
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, time, timedelta
from zoneinfo import ZoneInfo

from icalendar import Calendar, Event, Timezone, TimezoneDaylight, TimezoneStandard

from tourney.model.people import Roster
from tourney.model.plan import Plan, Wave
from tourney.model.sheet_layout import event_mark
from tourney.papers.file_names import file_name, file_names
from tourney.papers.itineraries import DutyRow, official_strips, team_strips
from tourney.papers.page_writer import DUTY_NAMES
from tourney.papers.views import Hall, HeatView, TeamLabel

MAKER = "-//tourney//calendars 1//EN"
REACH = timedelta(days=366)  # before and after the day, in which the clock's changes are told
MINUTE = timedelta(minutes=1)


@dataclass(frozen=True, slots=True)
class Appointment:
    """One heat for one reader. key: tells this entry from every other of the event."""

    key: str
    heat: HeatView
    summary: str
    description: str


def calendars(plan: Plan, roster: Roster) -> Iterator[tuple[str, bytes]]:
    """Every calendar that has an entry, as (path below papers/, content). The same plan gives the same bytes."""
    binder = _Binder(plan)
    for path, name, rows in _readers(Hall(plan, roster)):
        if rows:
            yield path, binder.bind(name, rows)


def _readers(hall: Hall) -> Iterator[tuple[str, str, list[Appointment]]]:
    """Each reader's path, name and appointments."""
    for strips in team_strips(hall).values():
        for strip in strips:
            label = strip.team
            rows = [
                Appointment(
                    f"{stop.heat.id}-{label.id}",
                    stop.heat,
                    f"{label.name}, {stop.heat.occasion}",
                    f"At the door by {stop.heat.door}. {_against(stop.against)} "
                    f"Side of the line as judges see it: {stop.side}, line numbers {stop.numbers}.",
                )
                for stop in strip.stops
            ]
            yield f"teams/{label.id}_{file_name(label.name)}.ics", f"{label.name} ({label.id})", rows
    for official in official_strips(hall):
        duties = (row for row in official.rows if isinstance(row, DutyRow))
        rows = [
            Appointment(
                f"{duty.heat.id}-{official.id}-{duty.duty}",
                duty.heat,
                f"{DUTY_NAMES[duty.duty][0]}, {duty.heat.division.name} {duty.heat.occasion}",
                "With " + "; ".join(f"{DUTY_NAMES[other.duty][0]} {other.name}" for other in duty.others) + ".",
            )
            for duty in duties
        ]
        yield f"officials/{official.id}_{file_name(official.name)}.ics", official.name, rows
    names = file_names(door.room for door in hall.doors)
    for door in hall.doors:
        heats = (row for row in door.rows if isinstance(row, HeatView))
        rows = [
            Appointment(
                f"{heat.id}-room",
                heat,
                f"{heat.division.name}: {', '.join(f'{team.id} {team.name}' for team in heat.teams) or 'drawn later'}",
                f"{heat.occasion[0].upper()}{heat.occasion[1:]}, heat {heat.id}.",
            )
            for heat in heats
        ]
        yield f"public/{names[door.room]}.ics", door.room, rows


def _against(teams: tuple[TeamLabel, ...]) -> str:
    return f"Against {', '.join(f'{team.name} ({team.id})' for team in teams)}." if teams else "Nobody else in line."


class _Binder:
    """Makes calendars that all belong to one plan."""

    def __init__(self, plan: Plan) -> None:
        self._plan = plan
        self._zone = ZoneInfo(plan.event.timezone)
        self._mark = event_mark(plan.draw.secret)
        midnight = datetime.combine(plan.event.date, time(), self._zone)
        # Not the present time: a file that is made again must be the same, and a later plan counts by its sequence.
        self._stamp = midnight.astimezone(UTC)
        self._timezone = vtimezone(self._zone, midnight)

    def bind(self, name: str, appointments: Iterable[Appointment]) -> bytes:
        """One calendar file."""
        found = Calendar()
        found.add("prodid", MAKER)
        found.add("version", "2.0")
        found.add("name", plain(f"{self._plan.event.name}: {name}"))  # RFC 7986
        if self._timezone is not None:
            found.add_component(self._timezone)
        for appointment in appointments:
            found.add_component(self._event(appointment, self._plan.wave[appointment.heat.wave]))
        return bytes(found.to_ical(sorted=False))

    def _event(self, appointment: Appointment, wave: Wave) -> Event:
        found = Event()
        found.add("uid", f"{self._mark}-{appointment.key}")
        found.add("sequence", self._plan.revision)
        found.add("dtstamp", self._stamp)
        found.add("dtstart", wave.start.astimezone(self._zone))
        found.add("dtend", wave.end.astimezone(self._zone))
        found.add("summary", plain(appointment.summary))
        found.add("location", plain(appointment.heat.room))
        found.add("description", plain(appointment.description))
        return found


def plain(text: str) -> str:
    """Text without control characters, which calendars may not hold (RFC 5545, 3.1)."""
    return "".join(letter for letter in text if unicodedata.category(letter) != "Cc")


def vtimezone(zone: ZoneInfo, day: datetime) -> Timezone | None:
    """The zone's rules a year round the day: the one in force, and each change (RFC 5545, 3.6.5). None for UTC.

    Written from the system's own zone: the library's shows the local time after a change where the one before belongs.
    """
    if zone.key == "UTC":
        return None
    found = Timezone()
    found.add("tzid", zone.key)
    first = (day - REACH).astimezone(UTC)
    onsets = [first, *changes(zone, first, (day + REACH).astimezone(UTC))]
    # Not by what the system calls summer time: Irish clocks are held to be ahead by law, and back in winter.
    winter = min(onset.astimezone(zone).utcoffset() or timedelta() for onset in onsets)
    for onset in onsets:
        before, after = (onset - MINUTE).astimezone(zone), onset.astimezone(zone)
        offset, later = before.utcoffset() or timedelta(), after.utcoffset() or timedelta()
        rule = TimezoneDaylight() if later > winter else TimezoneStandard()
        rule.add("dtstart", (onset + offset).replace(tzinfo=None))
        rule.add("tzoffsetfrom", offset)
        rule.add("tzoffsetto", later)
        rule.add("tzname", after.tzname())
        found.add_component(rule)
    return found


def changes(zone: ZoneInfo, first: datetime, last: datetime) -> Iterator[datetime]:
    """The moments, in UTC, at which the zone's clock is changed between two moments in UTC; to the minute."""
    day = timedelta(days=1)
    while first < last:
        after = first + day
        if first.astimezone(zone).utcoffset() != after.astimezone(zone).utcoffset():
            low, high = first, after
            while high - low > MINUTE:
                middle = low + (high - low) // (2 * MINUTE) * MINUTE
                same = middle.astimezone(zone).utcoffset() == first.astimezone(zone).utcoffset()
                low, high = (middle, high) if same else (low, middle)
            yield high
        first = after
