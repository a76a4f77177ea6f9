"""The settings read back as plain sentences, for a committee to sign."""

from collections.abc import Callable, Iterator

from tourney.model.ages import age_day, asked
from tourney.model.event import Division, Event, TieBreak
from tourney.model.sheet_layout import judge_letter

TIE_BREAKS: dict[TieBreak, str] = {
    "points": "more points",
    "clean_calls": "more clean calls",
    "fewer_wrong_place": "fewer fingers in the wrong place",
    "fewer_late": "fewer calls found too late",
    "fewer_spoken": "fewer wrong spoken answers",
    "fewer_handling": "fewer faults of handling",
    "head_to_head": "more heat points in heats among the level teams, if all of them met",
    "head_to_head_margin": "the larger margin of points in heats among the level teams, if all of them met",
    "head_to_head_points": "more points in heats among the level teams, if all of them met",
    "margin": "the larger margin of points over all heats",
    "hardest_third": "more points on the hardest third of the calls",
    "best_round": "the better best round",
    "last_round": "the better last round",
    "heat_wins": "more heats won",
    "countback": "more first places in heats, then more second places, and so on",
    "opponents_points": "opponents with more points",
    "beaten_points": "more points of the teams beaten, half for draws",
    "progressive": "the larger sum of running totals",
    "drill_off": "a drill-off",
    "lot": "lot",
}
_SECTIONS = {
    "equal": "The calls of a set are spread equally over the sections.",
    "by_size": "The calls of a set are spread over the sections by their size.",
}
_FIRST_LAST = {
    "call": "The first and the last item may be called; the right answer for the neighbour they lack is “none”.",
    "leave_out": "The first and the last item are never called.",
}
_PANEL = {
    "median": "The judges' points for a call become one by their median.",
    "majority": "What most judges of a heat have marked counts.",
    "mean": "The judges' points for a call become one by their mean.",
    "chief": "The sheet of the first judge of a heat counts.",
}
_VOID = {
    "reserve_then_wave": "A call that went wrong gives way to a reserve call; with none left it is void for the wave.",
    "reserve_then_heat": "A call that went wrong gives way to a reserve call; with none left it is void for the heat.",
    "wave": "A call that went wrong is void for every heat of the wave.",
    "heat": "A call that went wrong is void for its heat alone.",
}
_AFTER_SPLIT = {
    "continue": "When a tie-break splits a group, those still level go on with the next one.",
    "restart": "When a tie-break splits a group, those still level begin again with the first one.",
    "repeat_meetings": "When a tie-break splits a group, those still level are compared by their own meetings again.",
}
_FINALS = {
    "line": "The finalists stand in one line.",
    "knockout": "The finals are a knock-out: who loses a heat is out.",
    "double_knockout": "The finals are a double knock-out: who loses two heats is out.",
    "placement": "The finals are a knock-out in which losers go on, so that every place is decided.",
    "last_out": "The finalists stand in one line, and the lowest leaves after each set.",
    "none": "There are no finals.",
}


def read_back(event: Event) -> tuple[str, ...]:
    """Every setting as a sentence; what holds in all divisions is said once, the rest names its divisions."""
    return (*_day(event), *(line for topic in _TOPICS for line in _by_division(event, topic)))


def heat_rules(event: Event) -> tuple[str, ...]:
    """What holds while a heat runs and is judged, as a sentence each, for the officials in the room."""
    return tuple(line for topic in (*_DRILLING, *_JUDGING) for line in _by_division(event, topic))


def _day(event: Event) -> Iterator[str]:
    day = event.day
    yield f"{event.name} is on {event.date:%A}, {event.date.day} {event.date:%B %Y}."
    yield f"The first wave starts at {event.start}, by the clock of {event.timezone}."
    yield f'Every draw comes from the words "{event.draw_words}".' if event.draw_words else "No draw words are set yet."
    yield f"Rooms have {_count(day.changeover, 'minute')} between two waves."
    yield f"A team rests at least {_count(day.rest, 'minute')} between two heats."
    for pause in day.pauses:
        yield f"After wave {pause.after_wave} everybody pauses for {_count(pause.minutes, 'minute')}: {pause.label}."
    if not day.pauses:
        yield "There is no pause of the whole hall."
    first, second, start = day.cues
    yield f'The caller says "{first}", "{second}", then the call; on "{start}" the time starts.'
    yield f"Papers are made for {day.paper}."
    yield f"A heat takes {day.slot} minutes." if day.slot else "A heat takes as long as its calls need."
    yield f"Protests are heard until {_count(day.protest_minutes, 'minute')} after the last sheet."
    yield f"Children's details are to be removed {_count(day.keep_days, 'day')} after the event."
    yield f"The record is kept in {'a database of your own' if day.record else 'a file in this folder'}."
    if event.answers:
        yield f"Questions answered: {'; '.join(f'{answer.id} by {answer.answer}' for answer in event.answers)}."
    for room in event.rooms:
        steps = "without steps" if room.step_free else "only by steps"
        yield f"{room.name} takes a line of at most {room.line_limit} and is reached {steps}."
    for division in event.divisions:
        when = age_day(division, event.date)
        on = f", counted on {when.day} {when:%B %Y}" if division.ages else ""
        yield f"{division.name} is for {asked(division)}{on}."


def _by_division(event: Event, topic: Callable[[Division], str]) -> Iterator[str]:
    """One sentence where all divisions agree, else one for each group that does."""
    groups: dict[str, list[str]] = {}
    for division in event.divisions:
        groups.setdefault(topic(division), []).append(division.name)
    for sentence, names in groups.items():
        if sentence:
            yield sentence if len(groups) == 1 else f"{' and '.join(names)}: {sentence}"


def _leap(division: Division) -> str:
    if division.ages is None:
        return ""
    return f"In years without 29 February, a child born on that day comes of age on {division.leap_birthday}."


def _play_up(division: Division) -> str:
    return "A younger child may enter." if division.play_up else "A younger child may not enter."


def _team(division: Division) -> str:
    return (
        f"A team has at least {_count(division.minimum, 'member')}, at most {division.squad} in line, "
        f"and at most {_count(division.substitutes, 'substitute')}."
    )


def _counting(division: Division) -> str:
    best = "score of a team counts" if division.counting == 1 else f"{division.counting} scores of a team count"
    if division.counting_over == "day":
        return f"Of all rounds together the best {best}, the same members in every round; one that is missing is 0."
    return f"In each round the best {best}; one that is missing is 0."


def _pools(division: Division) -> str:
    if division.pools == 1:
        return ""
    return f"The teams drill in {division.pools} pools, drawn so that the teams of a club are spread over them."


def _rounds(division: Division) -> str:
    if division.rounds == "all":
        return f"Every team meets every other team{' of its pool' if division.pools > 1 else ''}."
    return f"Each team drills {_count(division.rounds, 'time')}."


def _draw(division: Division) -> str:
    if division.draw == "whole_day":
        return "All rounds are drawn before the day."
    whose = " of each pool" if division.pools > 1 else ""
    return f"Each round is drawn by the standings{whose} once the one before is in."


def _heat(division: Division) -> str:
    keeps = ", a caller and a timekeeper" if division.timekeeper == "separate" else " and a caller who keeps time"
    teams = "1 team stands" if division.teams_per_heat == 1 else f"{division.teams_per_heat} teams stand"
    return f"{teams} in one line, before {_count(division.judges, 'judge')}{keeps}."


def _zones(division: Division) -> str:
    """Who watches which lines, where not everybody watches all."""
    zones = division.zones or ()
    watched = []
    for number, (first, last) in enumerate(zones, 1):
        seats = [judge_letter(seat) for seat in range(number, division.judges + 1, len(zones))]
        who = f"judges {' and '.join(seats)} watch" if len(seats) > 1 else f"judge {''.join(seats)} watches"
        watched.append(f"{who} lines {first} to {last}")
    said = "; ".join(watched)
    return f"{said[0].upper()}{said[1:]}. Only who watches a line marks it." if said else ""


def _calls(division: Division) -> str:
    return f"A set has {_count(division.calls, 'call')}, with {_count(division.seconds, 'second')} to find each."


def _sections(division: Division) -> str:
    if isinstance(division.sections, str):
        return _SECTIONS[division.sections]
    weights = ", ".join(f"{name} {weight:g}" for name, weight in division.sections.items())
    return f"The calls of a set are spread over the sections by weight: {weights}."


def _gap(division: Division) -> str:
    gap = division.no_repeat_gap
    if gap is None:
        return "Between two uses of one item another set is heard, or as much less as counting forces."
    if gap == 0:
        return "An item may be called again in the very next set."
    return f"Between two uses of one item at least {_count(gap, 'other set')} must be heard."


def _reserves(division: Division) -> str:
    sets = division.reserve_sets
    return f"{_count(sets, 'whole call set')} {'is' if sets == 1 else 'are'} kept in reserve." if sets else ""


def _cost(name: str, what: str) -> Callable[[Division], str]:
    return lambda division: f"{what} {_count(getattr(division.points, name), 'point')}."


def _add_up(_: Division) -> str:
    return "Faults of one call add up, and a call never goes below 0."


def _heat_points(division: Division) -> str:
    worth = division.heat_points
    return (
        f"Against each other team of its heat, a team earns {_count(worth.win, 'heat point')} for more points, "
        f"{worth.draw} for as many and {worth.loss} for fewer."
    )


def _ranking(division: Division) -> str:
    return f"Teams are ranked by {'points' if division.rank_by == 'points' else 'heat points'}."


def _tie_breaks(division: Division) -> str:
    if not division.tie_breaks:
        return "Level teams share the place."
    chain = "; ".join(TIE_BREAKS[name] for name in division.tie_breaks)
    return f"What separates level teams, in this order: {chain}. Who is level after that shares the place."


def _advance(division: Division) -> str:
    if division.finals == "none":
        return ""
    part = f"at least {division.advance_from * 100:g}% of the points available" if division.advance_from else ""
    if division.pools > 1:
        who = _advance_from_pools(division, part)
    elif division.advance == "all":
        who = f"Every team with {part} reaches the finals" if part else "All teams reach the finals"
    elif division.advance == 1:
        who = f"The best team reaches the finals{f' if it has {part}' if part else ''}"
    else:
        who = f"The best {division.advance} teams reach the finals{f', each with {part}' if part else ''}"
    return f"{who}, at most {division.advance_per_club} from one club."


def _advance_from_pools(division: Division, part: str) -> str:
    first = "The best team" if division.advance_per_pool == 1 else f"The best {division.advance_per_pool} teams"
    others = ""
    if division.advance == "all":
        others = " and all others"
    elif more := division.advance - division.pools * division.advance_per_pool:
        others = " and the best other team" if more == 1 else f" and the best {more} other teams"
    reach = "reaches" if division.advance_per_pool == 1 and not others else "reach"
    return f"{first} of each pool{others} {reach} the finals{f', each with {part}' if part else ''}"


def _bands(division: Division) -> str:
    if not division.bands:
        return "There are no awards by part of the points or by place."
    by_place = ", ".join(f"{band.label} down to place {band.place}" for band in division.bands if band.place)
    by_part = ", ".join(f"{band.label} from {band.from_ * 100:g}%" for band in division.bands if band.from_)
    said = [f"Awards by place: {by_place}."] if by_place else []
    said += [f"Awards by part of the points available: {by_part}."] if by_part else []
    return " ".join([*said, *(["Those by place go first."] if len(said) > 1 else [])])


def _count(number: int, what: str) -> str:
    return f"{number} {what}{'' if number == 1 else 's'}"


Topics = tuple[Callable[[Division], str], ...]
_ENTERING: Topics = (_leap, _play_up, _team, _counting, _pools, _rounds, _draw)
_DRILLING: Topics = (_heat, _calls, lambda division: _FIRST_LAST[division.first_last])
_DRAWING: Topics = (_sections, _gap, _reserves)
_JUDGING: Topics = (
    _cost("call", "A clean call is worth"),
    _cost("late", "A call found too late costs"),
    _cost("wrong_place", "A finger in the wrong place costs"),
    _cost("spoken", "A wrong spoken answer costs"),
    _cost("handling", "A fault of handling costs"),
    _add_up,
    _zones,
    lambda division: _PANEL[division.panel],
    lambda division: _VOID[division.void],
)
_RANKING: Topics = (
    _ranking,
    _heat_points,
    _tie_breaks,
    lambda division: _AFTER_SPLIT[division.after_split],
    lambda division: _FINALS[division.finals],
    _advance,
    _bands,
)
_TOPICS: Topics = (*_ENTERING, *_DRILLING, *_DRAWING, *_JUDGING, *_RANKING)
