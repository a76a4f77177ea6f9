"""Each seeded fault in a sound day is caught by the property that it offends against."""

import copy
from collections.abc import Callable
from datetime import datetime, timedelta
from typing import Any

import pytest

Day = Any  # conftest.Spoilt
Change = Callable[[Day], None]
SEEDLINGS = "Seedlings"


def together(day: Day) -> tuple[Any, Any]:
    """Two heats of one division in one wave."""
    heats = day.plan["heats"]
    return next(
        (one, other)
        for one in heats
        for other in heats
        if one is not other and (one["wave"], one["division"]) == (other["wave"], other["division"])
    )


def seedling_heats(day: Day) -> list[Any]:
    heats = [heat for heat in day.plan["heats"] if heat["division"] == SEEDLINGS]
    return sorted(heats, key=lambda heat: (heat["round"], heat["wave"], heat["id"]))


def heard(day: Day) -> list[Any]:
    """The sets of the Seedlings' rounds in the order heard."""
    sets = [found for found in day.calls["sets"] if (found["division"], found["use"]) == (SEEDLINGS, "rotation")]
    return sorted(sets, key=lambda found: found["order"])


def free(day: Day, found: Any, section: str) -> list[str]:
    """Items of a section that a set of the Seedlings could hold besides those that it has."""
    taken = {call["item"] for call in (*found["calls"], *found["reserves"])}
    return [
        row.id
        for row in day.rows
        if row.section == section and row.id not in taken and SEEDLINGS in (row.divisions or (SEEDLINGS,))
    ]


def rounds_as_the_first(day: Day) -> None:
    """Every round has the pairs of the first, in the same places."""
    heats = seedling_heats(day)
    for at, heat in enumerate(heats):
        heat["teams"] = heats[at % 3]["teams"]
        heat["line"] = heats[at % 3]["line"]


# --- the draw ---


def shown(day: Day) -> None:
    day.plan["call_sets"][0]["items"] = ["BP01"]


def changed_after_sealing(day: Day) -> None:
    day.seal()
    day.sealed = False
    heard(day)[0]["calls"][0]["difficulty"] += 1


def set_unknown_to_the_plan(day: Day) -> None:
    day.calls["sets"].append({**copy.deepcopy(heard(day)[0]), "id": "S-MORE"})


def another_use(day: Day) -> None:
    day.plan["call_sets"][0]["use"] = "final"


def misnumbered(day: Day) -> None:
    heard(day)[0]["calls"][0]["no"] = 2


def another_secret(day: Day) -> None:
    day.secret = "a jar of beans"


def other_words(day: Day) -> None:
    day.plan["draw"]["words"] = "other words"


# --- who is where, when, with whom ---


def team_twice_listed(day: Day) -> None:
    day.plan["teams"].append(day.plan["teams"][0])


def contestant_in_two_teams(day: Day) -> None:
    day.plan["teams"][0]["members"].append(day.plan["teams"][1]["members"][0])


def unknown(key: str, value: str) -> Change:
    def change(day: Day) -> None:
        day.plan["heats"][0][key] = [value] if key in ("teams", "judges") else value

    return change


def of_another_division(day: Day) -> None:
    day.plan["heats"][0]["teams"][0] = "G01"


def bye_besides_a_heat(day: Day) -> None:
    day.plan["byes"].append({"division": SEEDLINGS, "round": 1, "team": "S01"})


def heat_lost(day: Day) -> None:
    day.plan["heats"].remove(seedling_heats(day)[0])


def round_lost(day: Day) -> None:
    day.plan["drawn_rounds"][SEEDLINGS] = 4


def team_in_two_heats(day: Day) -> None:
    one, other = together(day)
    other["teams"][0] = one["teams"][0]


def same(key: str) -> Change:
    def change(day: Day) -> None:
        one, other = together(day)
        other[key] = one[key]

    return change


def team_against_itself(day: Day) -> None:
    heat = day.plan["heats"][0]
    heat["teams"] = [heat["teams"][0]] * 2


def narrow(day: Day) -> None:
    for room in day.plan["event"]["rooms"]:
        room["line_limit"] = 5


def stranger(day: Day) -> None:
    heat = day.plan["heats"][0]
    heat["line"][0] = next(t["members"][0] for t in day.plan["teams"] if t["id"] not in heat["teams"])


def child_twice_in_line(day: Day) -> None:
    day.plan["heats"][0]["line"][0] = day.plan["heats"][0]["line"][1]


def child_left_out(day: Day) -> None:
    day.plan["heats"][0]["line"].pop()


def set_of_another_wave(day: Day) -> None:
    one, other = together(day)
    other["call_set"] = next(s["id"] for s in day.calls["sets"] if s["division"] == other["division"]
                             and s["use"] == "rotation" and s["id"] != one["call_set"])  # fmt: skip


def set_heard_again(day: Day) -> None:
    first, *_, last = seedling_heats(day)
    last["call_set"] = first["call_set"]


def two_seats(day: Day) -> None:
    day.plan["heats"][0]["caller"] = day.plan["heats"][0]["judges"][0]


def tied_to_a_club(seat: str) -> Change:
    def change(day: Day) -> None:
        heat = day.plan["heats"][0]
        key = heat[seat] if seat == "caller" else heat[seat][0]
        day.official(key)["clubs"].append(f" {day.team(heat['teams'][1])['club'].upper()}")

    return change


def tied_to_a_child(day: Day) -> None:
    heat = day.plan["heats"][0]
    day.official(heat["judges"][1])["people"] = [day.team(heat["teams"][0])["members"][0]]


def role_of_another(day: Day) -> None:
    day.official(day.plan["heats"][0]["judges"][0])["roles"] = ["timekeeper"]


def judge_missing(day: Day) -> None:
    day.plan["heats"][0]["judges"].pop()


def judge_too_many(day: Day) -> None:
    heat = day.plan["heats"][0]
    busy = {*heat["judges"], heat["caller"]}
    heat["judges"].append(next(o["id"] for o in day.plan["officials"] if o["id"] not in busy))


def timekeeper_nobody_asked_for(day: Day) -> None:
    day.plan["heats"][0]["timekeeper"] = "O02"


def line_in_no_zone(day: Day) -> None:
    for division in day.plan["event"]["divisions"]:
        division["zones"] = [[1, 2]]


def wave_moved(minutes: int) -> Change:
    """The second wave so many minutes after the end of the first."""

    def change(day: Day) -> None:
        first, second = day.plan["waves"][:2]
        start = datetime.fromisoformat(first["start"]) + timedelta(minutes=first["minutes"] + minutes)
        second["start"] = start.isoformat()

    return change


def longer_rest(day: Day) -> None:
    day.plan["event"]["day"]["rest"] = 60


def pause_elsewhere(day: Day) -> None:
    day.plan["event"]["day"]["pauses"][0]["after_wave"] = 2


# --- figures of the plan ---


def one_club(day: Day) -> None:
    one, other = seedling_heats(day)[0]["teams"]
    day.team(one)["club"] = f"{day.team(other)['club'].upper()} "


def one_room(day: Day) -> None:
    for heat in seedling_heats(day):
        heat["room"] = "Glasshouse"


def one_judge(day: Day) -> None:
    for heat in seedling_heats(day):
        heat["judges"][0] = "O02"


def never_a_break(day: Day) -> None:
    """No pause of the hall, and O01 in every wave."""
    day.plan["event"]["day"]["pauses"] = []
    first = {heat["wave"]: heat for heat in day.plan["heats"]}
    for heat in first.values():
        heat["judges"] = ["O01", *heat["judges"][1:]]


def panels_apart(day: Day) -> None:
    rounds_as_the_first(day)
    for at, heat in enumerate(seedling_heats(day)):
        heat["judges"] = [f"O0{1 + at % 3}", f"O0{4 + at % 3}"]


def two_byes(day: Day) -> None:
    day.plan["byes"] += [{"division": SEEDLINGS, "round": number, "team": "S01"} for number in (1, 2)]


# --- the calls ---


def item_unknown(day: Day) -> None:
    heard(day)[0]["calls"][0]["item"] = "ZZ99"


def item_of_another_division(day: Day) -> None:
    day.call(heard(day)[0]["id"], 1, next(row.id for row in day.rows if row.divisions))


def end_that_is_left_out(day: Day) -> None:
    day.division(SEEDLINGS)["first_last"] = "leave_out"


def section_of_another(day: Day) -> None:
    call = heard(day)[0]["calls"][0]
    call["section"] = next(row.section for row in day.rows if row.section != call["section"])


def kind_of_another(day: Day) -> None:
    call = heard(day)[0]["calls"][0]
    call["kind"] = "reference" if call["kind"] == "book" else "book"


def item_twice(day: Day) -> None:
    found = heard(day)[0]
    day.call(found["id"], 9, found["calls"][0]["item"])


def reserve_of_its_own_set(day: Day) -> None:
    found = heard(day)[0]
    found["reserves"][0]["item"] = found["calls"][0]["item"]


def neighbours_exchanged(day: Day) -> None:
    call = next(call for call in heard(day)[0]["calls"] if call["kind"] == "book")
    call["answer"].reverse()


def place_of_a_story_wrong(day: Day) -> None:
    call = next(c for s in day.calls["sets"] for c in s["calls"] if c["kind"] == "story")
    call["answer"] = ["Nowhere"]


def end_of_a_text_wrong(day: Day) -> None:
    call = next(c for s in day.calls["sets"] for c in s["calls"] if c["kind"] == "finish")
    call["answer"][0] = "and so on"


def name_that_it_has_not(day: Day) -> None:
    heard(day)[0]["calls"][0]["also"] = ["Anything"]


def said_otherwise(day: Day) -> None:
    heard(day)[0]["reserves"][0]["say"] = "Anything"


def more_time(day: Day) -> None:
    heard(day)[0]["seconds"] += 1


def final_as_a_round(day: Day) -> None:
    day.set("S-FINAL-1")["calls"] = copy.deepcopy(heard(day)[0]["calls"])


def call_missing(day: Day) -> None:
    heard(day)[0]["calls"].pop()


def orders_exchanged(day: Day) -> None:
    first, *_, last = heard(day)
    first["order"], last["order"] = last["order"], first["order"]


def order_missing(day: Day) -> None:
    heard(day)[0]["order"] = None


def other_sections(sets: int, calls: int) -> Change:
    """In the first sets, so many calls of each give way to one section more often called."""

    def change(day: Day) -> None:
        for found in heard(day)[:sets]:
            section = found["calls"][0]["section"]
            others = [call["no"] for call in found["calls"] if call["section"] != section]
            for number, item in zip(others[:calls], free(day, found, section), strict=False):
                day.call(found["id"], number, item)

    return change


def one_set_of_hard_calls(day: Day) -> None:
    """What the first set holds is harder than all else, wherever it is called."""
    hard = {call["item"] for call in heard(day)[0]["calls"]}
    day.rows[:] = [row._replace(bits=row.bits + 9) if row.id in hard else row for row in day.rows]


def one_item_again_and_again(day: Day) -> None:
    row = next(row for row in day.rows if not row.divisions)
    for found in heard(day):
        items = [call["item"] for call in found["calls"]]
        if row.id not in items:
            number = next(call["no"] for call in found["calls"] if call["section"] == row.section)
            day.call(found["id"], number, row.id)


def item_in_the_next_set(day: Day) -> None:
    first, second = heard(day)[:2]
    call = first["calls"][0]
    number = next(other["no"] for other in second["calls"] if other["section"] == call["section"])
    day.call(second["id"], number, call["item"])


def gap_that_was_asked_for(day: Day) -> None:
    day.division(SEEDLINGS)["no_repeat_gap"] = 1
    item_in_the_next_set(day)


def reserve_of_no_section(day: Day) -> None:
    found = day.set("S-DRILLOFF-1")
    sections = {call["section"] for call in found["calls"]}
    row = next(row for row in day.rows if row.section not in sections and not row.divisions and row.kind == "book")
    names = ["none", *(row.names[0] for row in day.rows), "none"]
    place = names.index(row.names[0])
    found["reserves"][0].update(
        item=row.id, section=row.section, kind="book", answer=names[place - 1 : place + 2], say=row.names[0]
    )


def reserve_missing(day: Day) -> None:
    heard(day)[0]["reserves"].pop()


def reserve_too_hard(day: Day) -> None:
    heard(day)[0]["reserves"][0]["difficulty"] += 9


def reserve_set_missing(day: Day) -> None:
    day.calls["sets"].remove(day.set("S-RESERVE-1"))
    day.plan["call_sets"] = [row for row in day.plan["call_sets"] if row["id"] != "S-RESERVE-1"]


def neighbour_at(number: int) -> Change:
    def change(day: Day) -> None:
        found = heard(day)[0]
        keys = [row.id for row in day.rows]
        place = keys.index(found["calls"][0]["item"])
        beside = [keys[at] for at in (place - 1, place + 1) if 0 <= at < len(keys) and not day.rows[at].divisions]
        day.call(found["id"], number, beside[0])

    return change


def sound_alike(day: Day) -> None:
    calls = heard(day)[0]["calls"]
    day.alike.append((calls[0]["item"], calls[3]["item"]))


def section_by_section(day: Day) -> None:
    found = heard(day)[0]
    found["calls"].sort(key=lambda call: call["section"])
    for number, call in enumerate(found["calls"], 1):
        call["no"] = number


def one_order_of_sections(day: Day) -> None:
    first, second = heard(day)[:2]
    second["calls"][:5] = copy.deepcopy(first["calls"][:5])


def one_set_twice(day: Day) -> None:
    first, second = heard(day)[:2]
    second["calls"] = copy.deepcopy(first["calls"])


def speakers(lines: Callable[[list[int]], list[int]]) -> Change:
    def change(day: Day) -> None:
        heat = seedling_heats(day)[0]["id"]
        row = next(row for row in day.calls["speakers"] if row["heat"] == heat)
        row["lines"] = lines(row["lines"])

    return change


def harder(start: int, end: int, bits: float) -> Change:
    def change(day: Day) -> None:
        for call in heard(day)[0]["calls"][start:end]:
            call["difficulty"] += bits

    return change


FAULTS: dict[str, list[Change]] = {
    "plan_shows_no_call": [shown],
    "fingerprints": [changed_after_sealing, set_unknown_to_the_plan, another_use],
    "calls_numbered": [misnumbered],
    "secret": [another_secret],
    "draw_words": [other_words],
    "ids_once": [team_twice_listed, contestant_in_two_teams],
    "known_ids": [
        *(unknown(key, "X99") for key in ("wave", "teams", "judges", "caller", "timekeeper", "call_set")),
        of_another_division,
    ],
    "heat_or_bye_each_round": [bye_besides_a_heat, heat_lost, round_lost],
    "team_in_one_heat_at_a_time": [team_in_two_heats],
    "official_in_one_heat_at_a_time": [same("caller"), same("judges")],
    "room_for_one_heat_at_a_time": [same("room")],
    "team_stands_once": [team_against_itself],
    "line_fits_its_room": [narrow, unknown("room", "Attic")],
    "line_is_of_its_teams": [stranger, child_twice_in_line, child_left_out],
    "one_set_for_a_division_in_a_wave": [set_of_another_wave],
    "set_heard_in_one_wave": [set_heard_again],
    "official_holds_one_seat": [two_seats],
    "officials_without_tie": [tied_to_a_club("judges"), tied_to_a_club("caller"), tied_to_a_child],
    "officials_do_their_roles": [role_of_another],
    "judges_and_timekeeper": [judge_missing, judge_too_many, timekeeper_nobody_asked_for, line_in_no_zone],
    "rest_between_heats": [longer_rest],
    "waves_follow_each_other": [wave_moved(-1), wave_moved(4), pause_elsewhere],
    "items_known": [
        item_unknown, item_of_another_division, end_that_is_left_out, section_of_another, kind_of_another,
    ],
    "item_once_in_a_set": [item_twice, reserve_of_its_own_set],
    "answers_true": [neighbours_exchanged, place_of_a_story_wrong, end_of_a_text_wrong, name_that_it_has_not],
    "said_and_rated_as_listed": [said_otherwise, harder(0, 1, 0.002)],
    "seconds_as_set": [more_time],
    "finals_not_of_the_rotation": [final_as_a_round],
    "calls_in_a_set": [call_missing],
    "sets_in_the_order_heard": [orders_exchanged, order_missing],
    "sections_in_a_set": [other_sections(1, 3)],
    "sections_alike_in_a_round": [other_sections(1, 1)],
    "calls_from_share_after_a_round": [other_sections(2, 3)],
    "uses_in_a_section": [one_item_again_and_again],
    "sets_between_two_uses": [gap_that_was_asked_for],
    "reserve_calls_like_their_set": [reserve_of_no_section],
    "sets_in_reserve": [reserve_set_missing],
    "neighbours_within_three_calls": [neighbour_at(2), neighbour_at(4)],
    "neighbours_in_a_set": [neighbour_at(2), neighbour_at(9)],
    "speakers_in_turn": [
        speakers(lambda lines: [1] * len(lines)),
        speakers(lambda lines: [99, *lines[1:]]),
        speakers(lambda lines: lines[1:]),
    ],
}  # fmt: skip
WORSE: dict[str, list[Change]] = {
    "meetings_repeated": [rounds_as_the_first],
    "meetings_of_one_pair": [rounds_as_the_first],
    "meetings_within_a_club": [one_club],
    "rooms_of_a_team": [one_room],
    "visits_to_one_room": [one_room],
    "one_judge_meets_one_team": [one_judge],
    "groups_of_judges_and_teams_apart": [panels_apart],
    "late_less_early_heats": [rounds_as_the_first],
    "heats_of_one_official": [one_judge],
    "waves_in_a_row_of_one_official": [never_a_break],
    "byes_most_less_fewest": [two_byes],
    "sets_between_two_uses": [item_in_the_next_set],
    "reserve_calls_of_a_set": [reserve_missing],
    "reserve_calls_that_fit_no_call": [reserve_too_hard],
    "sound_alikes_within_three_calls": [sound_alike],
    "section_twice_running": [section_by_section],
    "five_sections_running_alike": [one_order_of_sections],
    "sections_in_like_order": [one_set_twice],
    "difficulty_spread_percent": [harder(0, 14, 0.1)],
    "turns_to_speak_over_the_day": [speakers(lambda lines: [1] * len(lines))],
    "difficulty_mix_calls": [one_set_of_hard_calls],
    "difficulty_of_halves_bits": [harder(0, 7, 1), harder(7, 14, 1)],
    "difficulty_of_thirds_bits": [harder(0, 5, 1)],
}


def test_the_day_is_sound(day: Day) -> None:
    lines = day.lines()
    assert [line for line in lines if line.status == "broken"] == []
    assert [line.name for line in lines if line.status == "noted" and line.scope == SEEDLINGS] == []


def cases(table: dict[str, list[Change]]) -> list[Any]:
    return [
        pytest.param(name, change, id=f"{name} {at}")
        for name, changes in table.items()
        for at, change in enumerate(changes, 1)
    ]


@pytest.mark.parametrize(("name", "change"), cases(FAULTS))
def test_a_broken_rule_is_caught(day: Day, name: str, change: Change) -> None:
    change(day)
    broken = {line.name: line for line in day.lines() if line.status == "broken"}
    assert name in broken and broken[name].worst


@pytest.mark.parametrize(("name", "change"), cases(WORSE))
def test_a_worse_figure_is_noted(day: Day, name: str, change: Change) -> None:
    before = {(line.name, line.scope): line for line in day.lines()}
    change(day)
    noted = {line.scope: line for line in day.lines() if line.name == name and line.status == "noted"}
    scope = SEEDLINGS if (name, SEEDLINGS) in before else "all"
    assert noted[scope].measured != before[name, scope].measured


def test_every_property_has_its_fault(day: Day) -> None:
    lines = day.lines()
    told = {line.name for line in lines if line.status == "told"}
    assert {line.name for line in lines} - told == {*FAULTS, *WORSE}
    assert {line.name for line in lines if line.rule} <= set(FAULTS)


def test_a_day_changed_while_it_ran_may_use_items_unevenly(day: Day) -> None:
    """Heats moved to other sets can't keep what was balanced over the sets that were drawn first."""
    one_item_again_and_again(day)
    seedling_heats(day)[0]["since"] = 2
    uses = {line.scope: line for line in day.lines() if line.name == "uses_in_a_section"}
    assert (uses[SEEDLINGS].status, uses["Growers"].status) == ("noted", "kept")


def test_a_lost_room_moves_heats_that_are_still_to_be_drawn(day: Day) -> None:
    one_item_again_and_again(day)
    held = seedling_heats(day)[-1]
    keys = ("id", "division", "round", "wave", "room", "call_set")
    day.plan["reserved"] = [{key: held[key] for key in keys}]
    uses = {line.scope: line.status for line in day.lines() if line.name == "uses_in_a_section"}
    assert uses[SEEDLINGS] == "broken"
    day.plan["closed_rooms"] = ["Annexe"]
    uses = {line.scope: line.status for line in day.lines() if line.name == "uses_in_a_section"}
    assert uses[SEEDLINGS] == "noted"


def test_without_the_secret_the_rest_is_still_checked(day: Day) -> None:
    day.secret = None
    lines = {line.name: line for line in day.lines()}
    assert lines["secret"].status == "told" and lines["fingerprints"].status == "kept" and "answers_true" in lines


def test_a_secret_may_end_with_a_line_end(day: Day) -> None:
    day.secret = f"{day.secret}\n"
    assert {line.name: line.status for line in day.lines()}["secret"] == "kept"


def test_many_offences_are_counted_and_the_first_named(day: Day) -> None:
    one_room(day)
    (line,) = (line for line in day.lines() if line.name == "room_for_one_heat_at_a_time")
    narrow(day)
    (crowded,) = (line for line in day.lines() if line.name == "line_fits_its_room")
    assert line.status == crowded.status == "broken"
    assert crowded.measured == len(day.plan["heats"]) and f"and {crowded.measured - 4} more" in crowded.worst
