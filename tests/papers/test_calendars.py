"""Calendar files: what another reader makes of them, and that they are what RFC 5545 asks for."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from icalendar import Calendar

from tourney.papers.calendars import calendars, changes, plain, vtimezone
from tourney.papers.itineraries import official_strips, team_strips
from tourney.papers.views import Hall

Files = dict[str, bytes]


@pytest.fixture(scope="module")
def written(day: Any) -> Files:
    return dict(calendars(day.plan, day.roster))


def events(content: bytes) -> list[Any]:
    return list(Calendar.from_ical(content).walk("VEVENT"))


def test_one_a_team_an_official_and_a_room(written: Files, day: Any) -> None:
    count = {folder: sum(path.startswith(folder) for path in written) for folder in ("teams/", "officials/", "public/")}
    busy = {key for heat in day.plan.heats for _, key in heat.seats}
    assert count == {"teams/": len(day.plan.teams), "officials/": len(busy), "public/": 3}
    assert "teams/J02_Fernbank_Junior.ics" in written and "public/Boat_Shed.ics" in written


def test_every_heat_of_a_team_is_there_at_its_moment(written: Files, day: Any) -> None:
    strips = {strip.team.id: strip for found in team_strips(Hall(day.plan, day.roster)).values() for strip in found}
    for path, content in written.items():
        if path.startswith("teams/"):
            stops = strips[path.removeprefix("teams/").split("_")[0]].stops
            found = events(content)
            assert [str(event["LOCATION"]) for event in found] == [stop.heat.room for stop in stops]
            for event, stop in zip(found, stops, strict=True):
                wave = day.plan.wave[stop.heat.wave]
                assert event.decoded("DTSTART").astimezone(UTC) == wave.start.astimezone(UTC)
                assert event.decoded("DTEND").astimezone(UTC) == wave.end.astimezone(UTC)
                assert f"At the door by {stop.heat.door}." in event["DESCRIPTION"]


def test_local_times_name_their_zone_and_the_zone_is_there(written: Files) -> None:
    """RFC 5545, 3.2.19: a TZID that is used must have its VTIMEZONE; no TZID with times in UTC, such as DTSTAMP."""
    for content in written.values():
        text = content.decode()
        assert text.count("TZID:America/Chicago\r\n") == text.count("BEGIN:VTIMEZONE\r\n") == 1
        for event in events(content):
            assert event["DTSTART"].params["TZID"] == event["DTEND"].params["TZID"] == "America/Chicago"
            assert "TZID" not in event["DTSTAMP"].params and event.decoded("DTSTAMP").tzinfo is not None
        assert "DTSTAMP:20270417T050000Z" in text  # midnight in Chicago, which is on summer time then


def test_lines_are_short_and_end_as_they_should(written: Files) -> None:
    """RFC 5545, 3.1: at most 75 octets before the line break, which is CRLF; a continued line begins with a space."""
    for content in written.values():
        assert content.endswith(b"END:VCALENDAR\r\n") and b"\n" not in content.replace(b"\r\n", b"")
        assert max(len(line) for line in content.split(b"\r\n")) <= 75
        content.decode("utf-8")


def test_no_two_entries_share_an_identifier_and_all_belong_to_the_event(written: Files, day: Any) -> None:
    found = [str(event["UID"]) for content in written.values() for event in events(content)]
    assert len(found) == len(set(found))
    mark = day.plan.draw.secret.removeprefix("sha256:")[:12]
    assert all(uid.startswith(f"{mark}-") and uid.split("-", 1)[1].startswith(("J-R", "S-R")) for uid in found)


def test_the_same_plan_gives_the_same_bytes_and_a_later_one_counts_up(written: Files, day: Any) -> None:
    assert dict(calendars(day.plan, day.roster)) == written
    later = dict(calendars(replace(day.plan, revision=2), day.roster))
    assert {path: content.replace(b"SEQUENCE:2", b"SEQUENCE:1") for path, content in later.items()} == written


def test_a_plan_read_with_another_offset_gives_the_same_calendars(written: Files, day: Any) -> None:
    moved = tuple(replace(wave, start=wave.start.astimezone(UTC)) for wave in day.plan.waves)
    assert dict(calendars(replace(day.plan, waves=moved), day.roster)) == written


def test_an_event_in_utc_needs_no_zone(day: Any) -> None:
    event = day.plan.event.model_copy(update={"timezone": "UTC"})
    content = dict(calendars(replace(day.plan, event=event), day.roster))["public/Boat_Shed.ics"]
    assert b"TZID" not in content and b"DTSTART:20270417T140000Z" in content


def test_calendars_name_no_child_and_no_call(written: Files, day: Any) -> None:
    names = Hall(day.plan, day.roster).names.values()
    called = {call.say for found in day.book.sets for call in found.calls} - {"Judges"}
    for path, content in written.items():
        text = content.decode().replace("\r\n ", "")
        assert not [name for name in names if name in text], path
        assert not [name for name in called if f" {name}" in text], path


def test_hostile_names_stay_one_entry(day: Any) -> None:
    """RFC 5545, 3.3.11: backslash, semicolon, comma and line break are escaped in text."""
    bad = "Gull\r\nEND:VEVENT\r\nBEGIN:VALARM; \\, x\x07"
    teams = tuple(replace(team, name=bad) for team in day.plan.teams)
    found = dict(calendars(replace(day.plan, teams=teams), day.roster))
    content = next(text for path, text in found.items() if path.startswith("teams/"))
    assert b"BEGIN:VALARM\r\n" not in content and b"\x07" not in content
    assert events(content)[0]["SUMMARY"] == "GullEND:VEVENTBEGIN:VALARM; \\, x, round 1"
    assert plain("a\tb\x00") == "ab"


# --- time zones, against the published example and the system's own zones ---


def test_changes_of_new_york_in_2026() -> None:
    """Summer time starts on 8 March and ends on 1 November 2026, both at 2:00 (15 U.S.C. 260a; zoneinfo)."""
    zone = ZoneInfo("America/New_York")
    found = list(changes(zone, datetime(2026, 1, 1, tzinfo=UTC), datetime(2027, 1, 1, tzinfo=UTC)))
    assert found == [datetime(2026, 3, 8, 7, tzinfo=UTC), datetime(2026, 11, 1, 6, tzinfo=UTC)]


@pytest.mark.parametrize(
    ("name", "day"),
    [
        ("America/New_York", date(2026, 3, 8)),
        ("America/New_York", date(1998, 3, 12)),
        ("Europe/Dublin", date(2026, 10, 25)),
        ("Australia/Lord_Howe", date(2026, 4, 5)),
        ("Africa/Casablanca", date(2026, 2, 20)),
        ("Asia/Kathmandu", date(2026, 6, 1)),
    ],
)
def test_a_zone_says_what_the_system_says(name: str, day: date) -> None:
    """Each hour of a week, read as RFC 5545, 3.6.5 has it: the last onset before a local time is in force."""
    zone = ZoneInfo(name)
    midnight = datetime(day.year, day.month, day.day, tzinfo=zone)
    found = vtimezone(zone, midnight)
    assert found is not None
    onsets = sorted(
        (
            rule.decoded("DTSTART") - rule.decoded("TZOFFSETFROM"),
            rule.decoded("TZOFFSETTO"),
            str(rule["TZNAME"]),
        )
        for rule in found.subcomponents
    )
    for hours in range(-84, 84):
        moment = (midnight.astimezone(UTC) + timedelta(hours=hours)).replace(tzinfo=None)
        local = moment.replace(tzinfo=UTC).astimezone(zone)
        onset = [row for row in onsets if row[0] <= moment][-1]
        assert (onset[1], onset[2]) == (local.utcoffset(), local.tzname())


def test_summer_is_when_clocks_are_ahead() -> None:
    """Ireland: one hour ahead of UTC in summer, none in winter (zoneinfo)."""
    zone = ZoneInfo("Europe/Dublin")
    found = vtimezone(zone, datetime(2026, 6, 1, tzinfo=zone))
    assert found is not None
    kinds = {(rule.name, rule.decoded("TZOFFSETTO")) for rule in found.subcomponents}
    assert kinds == {("DAYLIGHT", timedelta(hours=1)), ("STANDARD", timedelta())}


EXAMPLE = """BEGIN:VCALENDAR
PRODID:-//RDU Software//NONSGML HandCal//EN
VERSION:2.0
BEGIN:VTIMEZONE
TZID:America/New_York
BEGIN:STANDARD
DTSTART:19671029T020000
RRULE:FREQ=YEARLY;BYMONTH=10;BYDAY=-1SU;UNTIL=20061029T060000Z
TZOFFSETFROM:-0400
TZOFFSETTO:-0500
TZNAME:EST
END:STANDARD
BEGIN:DAYLIGHT
DTSTART:19870405T020000
RRULE:FREQ=YEARLY;BYMONTH=4;BYDAY=1SU;UNTIL=20060402T070000Z
TZOFFSETFROM:-0500
TZOFFSETTO:-0400
TZNAME:EDT
END:DAYLIGHT
END:VTIMEZONE
BEGIN:VEVENT
DTSTAMP:19980309T231000Z
UID:guid-1.example.com
DTSTART;TZID=America/New_York:19980312T083000
DTEND;TZID=America/New_York:19980312T093000
SUMMARY:XYZ Project Review
END:VEVENT
END:VCALENDAR
"""


def test_the_reader_that_these_tests_use_reads_the_published_example() -> None:
    """RFC 5545, section 4, with the onsets of erratum 3740 (rfc-editor.org): 8:30 in New York was 13:30 in UTC."""
    (event,) = events(EXAMPLE.replace("\n", "\r\n").encode())
    assert event.decoded("DTSTART").astimezone(UTC) == datetime(1998, 3, 12, 13, 30, tzinfo=UTC)
    assert event.decoded("DTEND") - event.decoded("DTSTART") == timedelta(hours=1)
    assert (str(event["UID"]), str(event["SUMMARY"])) == ("guid-1.example.com", "XYZ Project Review")


def test_our_zone_agrees_with_the_published_example_on_its_day() -> None:
    """The same source: on 12 March 1998 standard time was in force, five hours behind UTC, until 5 April at 2:00."""
    zone = ZoneInfo("America/New_York")
    found = vtimezone(zone, datetime(1998, 3, 12, tzinfo=zone))
    assert found is not None
    rules = {str(rule.to_ical().decode().split("\r\n")[1]): rule for rule in found.subcomponents}
    spring = rules["DTSTART:19980405T020000"]
    assert (spring.name, spring["TZOFFSETFROM"].to_ical(), spring["TZOFFSETTO"].to_ical()) == (
        "DAYLIGHT",
        "-0500",
        "-0400",
    )
    autumn = rules["DTSTART:19971026T020000"]
    assert (autumn.name, autumn["TZOFFSETFROM"].to_ical(), autumn["TZOFFSETTO"].to_ical()) == (
        "STANDARD",
        "-0400",
        "-0500",
    )


def test_an_officials_calendar_has_every_duty(written: Files, day: Any) -> None:
    for strip in official_strips(Hall(day.plan, day.roster)):
        content = next((text for path, text in written.items() if path.startswith(f"officials/{strip.id}_")), None)
        assert len(events(content) if content else []) == strip.duties
