"""The rows that all papers share."""

from dataclasses import replace
from datetime import UTC
from typing import Any

from tourney.papers.access import access_rows
from tourney.papers.itineraries import NOT_CLEARED, DutyRow, Stop, official_strips, span, team_strips
from tourney.papers.pages import pages
from tourney.papers.scripts import CALLS_A_PAGE, OwnSignal, ScriptCall, scripts
from tourney.papers.views import Hall, HeatView, Interval, WaveRow


def test_times_are_in_the_events_zone_whatever_the_plan_was_read_in(day: Any) -> None:
    """A plan read from its file may hold the same moments with another offset (RFC 3339)."""
    moved = tuple(replace(wave, start=wave.start.astimezone(UTC)) for wave in day.plan.waves)
    hall = Hall(replace(day.plan, waves=moved), day.roster)
    assert [row.start for row in hall.schedule] == ["09:00", "09:20", "09:35", "10:15", "10:35", "10:55", "11:15"]


def test_the_schedule_holds_every_heat_once_and_the_pause_where_it_is(day: Any) -> None:
    hall = Hall(day.plan, day.roster)
    rows = [row for row in hall.schedule if isinstance(row, WaveRow)]
    assert sorted(heat.id for row in rows for heat in row.heats if heat) == sorted(heat.id for heat in day.plan.heats)
    assert hall.schedule[2] == Interval("09:35", "10:15", "Lunch")
    assert all(
        heat is None or heat.room == room.name
        for row in rows
        for heat, room in zip(row.heats, day.plan.event.rooms, strict=True)
    )


def test_a_pause_after_the_last_wave_is_no_pause(day: Any) -> None:
    event = day.plan.event.model_copy(update={"day": day.plan.event.day.model_copy(update={"pauses": ()})})
    last = replace(day.plan, waves=day.plan.waves[:2], heats=day.plan.heats[:6])
    assert Hall(last, day.roster).pauses == ()
    assert Hall(replace(day.plan, event=event), day.roster).pauses == ()


def test_only_who_is_cleared_and_there_could_step_in(day: Any) -> None:
    spare, away, uncleared = (
        replace(day.roster.officials[0], id=key, name=key, start=start, cleared=cleared)
        for key, start, cleared in (("spare", "", True), ("away", "10:00", True), ("uncleared", "", False))
    )
    roster = replace(day.roster, officials=(*day.roster.officials, spare, away, uncleared))
    rows = [row for row in Hall(day.plan, roster).schedule if isinstance(row, WaveRow)]
    assert [row.free for row in rows][:3] == [("spare",), ("spare",), ("spare", "away")]


def test_every_door_lists_its_heats_in_order(day: Any) -> None:
    for door in Hall(day.plan, day.roster).doors:
        heats = [row for row in door.rows if isinstance(row, HeatView)]
        assert {heat.id for heat in heats} == {heat.id for heat in day.plan.heats if heat.room == door.room}
        assert [row.start for row in door.rows] == sorted(row.start for row in door.rows)


def test_a_team_is_told_where_to_stand(day: Any) -> None:
    strips = {strip.team.id: strip for found in team_strips(Hall(day.plan, day.roster)).values() for strip in found}
    assert set(strips) == {team.id for team in day.plan.teams}
    first = strips["J01"].stops[0]
    assert (first.start, first.heat.door, first.heat.room) == ("09:00", "08:57", "Boat Shed")
    assert (first.side, first.numbers, [team.id for team in first.against]) == ("left", "1–4", ["J02"])
    second = strips["J02"].stops[0]
    assert (second.side, second.numbers) == ("right", "5–8")
    for strip in strips.values():
        for child, key in zip(strip.children, day.roster.team[strip.team.id].members, strict=True):
            for stop, line in zip(strip.stops, child.lines, strict=True):
                standing = day.plan.heat[stop.heat.id].line
                assert standing[line - 1] == key if line else key not in standing


def test_in_a_line_of_three_teams_one_stands_in_the_middle_and_alone_it_is_the_whole_line(new_day: Any) -> None:
    three, one = new_day(teams_per_heat=3), new_day(teams_per_heat=1)
    sides = [
        {
            stop.side
            for found in team_strips(Hall(day.plan, day.roster)).values()
            for strip in found
            for stop in strip.stops
        }
        for day in (three, one)
    ]
    assert sides == [{"left", "middle", "right"}, {"whole line"}]


def test_a_bye_stands_on_the_strip(day: Any) -> None:
    from tourney.model.plan import Bye

    plan = replace(day.plan, byes=(Bye("Junior", 2, "J03"),))
    byes = {strip.team.id: strip.byes for found in team_strips(Hall(plan, day.roster)).values() for strip in found}
    assert byes["J03"] == (2,) and byes["J01"] == ()


def test_line_numbers_are_written_as_people_write_them() -> None:
    assert [span([]), span([3]), span([1, 2, 3]), span([1, 3, 4])] == ["", "3", "1–3", "1, 3, 4"]


def test_an_official_sees_every_duty_with_whom_and_whom_not(day: Any) -> None:
    heat = day.plan.heats[0]
    tied = replace(day.roster.officials[0], clubs=("Gull Point",), people=("S02-1",))
    roster = replace(day.roster, officials=(tied, *day.roster.officials[1:]))
    strips = {strip.id: strip for strip in official_strips(Hall(day.plan, roster))}
    assert strips[tied.id].avoids == ("Gull Point", "Fernbank Senior (S02)")
    for strip in strips.values():
        duties = [row for row in strip.rows if isinstance(row, DutyRow)]
        expected = [(heat.id, duty) for heat in day.plan.heats for duty, key in heat.seats if key == strip.id]
        assert sorted((row.heat.id, row.duty) for row in duties) == sorted(expected)
        assert strip.duties == len(duties)
    first = next(row for row in strips[heat.caller].rows if isinstance(row, DutyRow))
    assert {other.official for other in first.others} == {key for _, key in heat.seats} - {heat.caller}


def test_who_has_no_clearance_is_never_asked_to_step_in(day: Any) -> None:
    spare = replace(day.roster.officials[0], id="O90", name="Spare", cleared=True)
    without = replace(spare, id="O91", name="Without", cleared=False)
    roster = replace(day.roster, officials=(spare, without))
    plan = replace(day.plan, officials=(*day.plan.officials, spare, without))
    said = {strip.id: strip.idle for strip in official_strips(Hall(plan, roster))}
    assert "step in" in said["O90"] and "step in" not in said["O91"] and "safeguarding lead" in said["O91"]
    found = pages(plan, day.book, replace(day.roster, officials=(*day.roster.officials, without)), day.syllabus)
    page = next(page.html for page in found if page.path == "officials/itineraries.html")
    card = page[page.index(">Without<") :].split('class="pocket"')[0]
    assert NOT_CLEARED in card and "step in" not in card


def test_pauses_stand_between_duties(day: Any) -> None:
    spare = replace(day.roster.officials[0], id="O90", name="Spare")
    heats = tuple(
        replace(heat, caller="O90") if heat.wave in ("W01", "W03") and heat.room == "Boat Shed" else heat
        for heat in day.plan.heats
    )
    plan = replace(day.plan, heats=heats, officials=(*day.plan.officials, spare))
    roster = replace(day.roster, officials=(*day.roster.officials, spare))
    strip = next(strip for strip in official_strips(Hall(plan, roster)) if strip.id == "O90")
    said = [(row.start, row.label) for row in strip.rows if isinstance(row, Interval)]
    assert said == [("09:35", "Lunch")]


def test_a_number_stays_beside_what_it_numbers() -> None:
    def shown(say: str) -> str:
        return ScriptCall(1, say, (), (), None, "").shown

    assert shown("1 Thessalonians") == "1\N{NO-BREAK SPACE}Thessalonians"
    assert [shown("Song of Songs"), shown("Jude"), shown("7")] == ["Song of Songs", "Jude", "7"]


def test_scripts_hold_every_call_once_eight_a_page_with_speaker_and_mark(day: Any) -> None:
    found = scripts(Hall(day.plan, day.roster), day.book, day.syllabus)
    assert {script.heat.id for room in found.values() for script in room} == set(day.plan.heat)
    for room, envelopes in found.items():
        assert [script.heat.start for script in envelopes] == sorted(script.heat.start for script in envelopes)
        for script in envelopes:
            heat = day.plan.heat[script.heat.id]
            calls = [call for page in script.pages for call in page]
            assert heat.room == room
            assert [call.say for call in calls] == [call.say for call in day.book.set[heat.call_set].calls]
            assert tuple(call.speaker for call in calls) == day.book.speakers_of[heat.id]
            assert max(len(page) for page in (*script.pages, *script.reserve_pages)) <= CALLS_A_PAGE
            sealed = next(sealed for sealed in day.plan.call_sets if sealed.id == heat.call_set)
            assert sealed.fingerprint.startswith(f"sha256:{script.mark}")


def test_a_reserve_call_names_the_calls_it_may_replace(day: Any) -> None:
    for room in scripts(Hall(day.plan, day.roster), day.book, day.syllabus).values():
        for script in room:
            calls = day.book.set[day.plan.heat[script.heat.id].call_set]
            reserves = [reserve for page in script.reserve_pages for reserve in page]
            for reserve, call in zip(reserves, calls.reserves, strict=True):
                assert reserve.replaces == calls.replaceable(call)


def test_own_seconds_are_a_signal_for_the_line_number_alone(day: Any) -> None:
    found = {
        script.heat.id: script
        for room in scripts(Hall(day.plan, day.roster), day.book, day.syllabus).values()
        for script in room
    }
    for key, script in found.items():
        line = day.plan.heat[key].line
        own = [number for number, child in enumerate(line, 1) if day.roster.contestant[child].seconds]
        assert script.own_signals == ((OwnSignal(15, tuple(own)),) if own else ())
    assert any(script.own_signals for script in found.values())


def test_the_access_list_has_who_asked_and_where_they_stand(day: Any) -> None:
    rows = access_rows(Hall(day.plan, day.roster))
    assert {row.team.id for row in rows} == {"J01", "S01"}
    for row in rows:
        for stop in row.stops:
            child = day.roster.contestant[day.plan.heat[stop.heat.id].line[stop.line - 1]]
            assert (child.name, child.seconds, child.needs) == (row.name, row.seconds, row.needs)
            assert stop.steps == (stop.heat.room == "Net Loft")


def test_names_are_as_short_as_asked(day: Any) -> None:
    names = Hall(day.plan, day.roster).names
    assert names["J01-5"] == "J01-5" and names["J02-2"] == "小林 波"
    assert names["J02-1"] == "نور ا."


def test_stops_and_pauses_are_in_the_order_of_the_day(day: Any) -> None:
    for found in team_strips(Hall(day.plan, day.roster)).values():
        for strip in found:
            assert [row.start for row in strip.rows] == sorted(row.start for row in strip.rows)
            assert tuple(row for row in strip.rows if isinstance(row, Stop)) == strip.stops
