"""Every criterion that the settings can name: a tiny callable that says each team's worth and how to read it.

Teams that had less than others to make points in (a bye, a void call) are compared by parts of the points available,
and by counts a heat or for every 100 points available.
"""

from collections import Counter
from collections.abc import Callable, Collection, Iterator, Mapping
from fractions import Fraction
from functools import partial
from itertools import accumulate

from tourney.model.event import Division, TieBreak
from tourney.scoring.chain import Criterion, Finding, Group, Worth
from tourney.scoring.drilled import SETS
from tourney.scoring.table import Meeting, Outcome, Table
from tourney.scoring.tally import OWN
from tourney.scoring.words import listing, number

Measure = Callable[[Table, Group], Finding]

NTH = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth")  # teams of a heat
NOT_COUNTED = "of some heats only totals are known, so single calls don't count"


def _points(
    name: str, points: Mapping[str, Fraction], available: Mapping[str, int], one: str = "point", many: str = "points"
) -> Finding:
    """Points compared as exact parts of what was available; shown as they are where that is the same for all."""
    even = len({available[team] for team in points}) <= 1
    return Finding(
        name,
        {team: (made / available[team] if available[team] else Fraction(0),) for team, made in points.items()},
        {team: number(made) + ("" if even else f" of {available[team]}") for team, made in points.items()},
        one if even else many,
        many,
    )


def _plain(name: str, values: Mapping[str, Fraction | int], one: str, many: str) -> Finding:
    """Numbers compared as they are."""
    shown = {team: number(value) for team, value in values.items()}
    return Finding(name, {team: (value,) for team, value in values.items()}, shown, one, many)


def points(table: Table, group: Group) -> Finding:
    """Points of the counting members, as a part of the points available."""
    return _points("points", {team: table.made[team].points for team in group}, table.available)


def heat_points(table: Table, group: Group) -> Finding:
    """Heat points over all meetings."""
    return _plain("heat_points", {team: table.heat_total[team] for team in group}, "heat point", "heat points")


def heat_points_part(table: Table, group: Group) -> Finding:
    """Heat points over all meetings, as a part of what could be won in them: pools need not be equally large."""
    most = {team: table.heat_points.win * len(table.meetings[team]) for team in group}
    won = {team: Fraction(table.heat_total[team]) for team in group}
    return _points("heat_points", won, most, "heat point", "heat points")


def _points_if_uneven(
    name: str, points: Mapping[str, Fraction], available: Mapping[str, int], one: str, many: str
) -> Finding:
    """Points compared as they are, or as parts of what was available where that is not the same for all."""
    uneven = len({available[team] for team in points}) > 1
    return _points(name, points, available, one, many) if uneven else _plain(name, points, one, many)


def _counted(name: TieBreak, one: str, many: str, table: Table, group: Group) -> Finding:
    """Calls counted in the team's own tally; on average where teams had not equally much to make them in."""
    if not table.counted(group):
        return Finding(name, {}, note=NOT_COUNTED)
    counts = {team: Fraction(OWN[name](table.made[team])) for team in group}
    heats = {team: len(table.heats_of[team]) for team in group}
    available = {team: table.available[team] for team in group}
    if len(set(available.values())) > 1:
        like = len({Fraction(available[team], heats[team]) for team in group if heats[team]}) <= 1
        words = "a heat" if like else "for every 100 points available"
        size = {team: Fraction(heats[team]) if like else Fraction(available[team], 100) for team in group}
        counts = {team: count / size[team] if size[team] else Fraction(0) for team, count in counts.items()}
        one, many = f"{one} {words}", f"{many} {words}"
    shown = {team: number(abs(count)) for team, count in counts.items()}
    return Finding(name, {team: (count,) for team, count in counts.items()}, shown, one, many)


def hardest_third(table: Table, group: Group) -> Finding:
    """Points on the hardest third of the calls."""
    if not table.counted(group):
        return Finding("hardest_third", {}, note=NOT_COUNTED)
    made = {team: table.made[team].hardest for team in group}
    return _points_if_uneven(
        "hardest_third", made, table.hardest, "point on the hardest calls", "points on the hardest calls"
    )


def _among(
    name: str, table: Table, group: Group, value: Callable[[Meeting], Fraction | int], one: str, where: str
) -> Finding:
    """The sum of a value of the meetings among the group: `one` of it, such as a point, and where it was made.

    Says nothing unless every two of them met and all is decided.
    """
    inside = set(group)
    met = {team: [m for m in table.meetings[team] if m.other.team in inside] for team in group}
    if any(len({m.other.team for m in own}) < len(group) - 1 for own in met.values()):
        return Finding(name, {}, note="not all of them met, so heats among them don't count")
    if not all(m.outcome for own in met.values() for m in own):
        return Finding(name, {}, note="heats among them are open, so they don't count yet")
    values = {team: Fraction(sum(map(value, own))) for team, own in met.items()}
    words = f"{one} {where}", f"{one}s {where}"
    if name == "head_to_head":
        return _plain(name, values, *words)
    available = {team: sum(m.own.available for m in own) for team, own in met.items()}
    return _points_if_uneven(name, values, available, *words)


def head_to_head(table: Table, group: Group) -> Finding:
    """Heat points in heats among all the tied."""
    return _among("head_to_head", table, group, table.earned, "heat point", "among themselves")


def head_to_head_margin(table: Table, group: Group) -> Finding:
    """Points made less points given up among all the tied."""
    return _among("head_to_head_margin", table, group, lambda met: met.margin, "point", "of margin among themselves")


def head_to_head_points(table: Table, group: Group) -> Finding:
    """Points made against all the tied: those of a heat count once for each of them who stood in it."""
    return _among(
        "head_to_head_points", table, group, lambda met: met.own.made.points, "point", "in heats among themselves"
    )


def margin(table: Table, group: Group) -> Finding:
    """Points made less points given up, over all meetings."""
    values = {team: sum((one.margin for one in table.meetings[team]), Fraction()) for team in group}
    return _points_if_uneven("margin", values, table.available, "point of margin", "points of margin")


def best_round(table: Table, group: Group) -> Finding:
    """The best single round, as a part of the points available in it."""
    return _one_round("best_round", "in the best round", table, group, best=True)


def last_round(table: Table, group: Group) -> Finding:
    """The last round that each team stood in."""
    return _one_round("last_round", "in the last round", table, group, best=False)


def _one_round(name: str, where: str, table: Table, group: Group, *, best: bool) -> Finding:
    chosen = {}
    for team in group:
        heats = [(one.made.points / one.available, one.round, one) for one in table.heats_of[team] if one.available]
        if not heats:
            return Finding(name, {}, note="not all of them stood in a heat")
        chosen[team] = max(heats, key=lambda heat: heat[:2] if best else (heat[1],))[2]
    available = {team: one.available for team, one in chosen.items()}
    made = {team: one.made.points for team, one in chosen.items()}
    return _points(name, made, available, f"point {where}", f"points {where}")


def heat_wins(table: Table, group: Group) -> Finding:
    """Heats won: more points than everyone else in the heat."""
    return _plain("heat_wins", {team: _heat_places(table, team).get(1, 0) for team in group}, "heat won", "heats won")


def countback(table: Table, group: Group) -> Finding:
    """Most heats won, then most seconds, and so on. Level teams share the lower of their places: nobody won."""
    places = {team: _heat_places(table, team) for team in group}
    last = max((place for counts in places.values() for place in counts), default=1)
    values: dict[str, Worth] = {
        team: tuple(counts.get(place, 0) for place in range(1, last + 1)) for team, counts in places.items()
    }
    shown = {team: listing(list(_ended(places[team], last))) for team in group}
    return Finding("countback", values, shown, "in heats", "in heats")


def _ended(counts: Mapping[int, int], last: int) -> Iterator[str]:
    """How often each place down to the last: "2 first", "0 second"."""
    for place in range(1, last + 1):
        yield f"{counts.get(place, 0)} {NTH[place - 1]}"


def _heat_places(table: Table, team: str) -> dict[int, int]:
    """Place in a heat -> how often, over the decided heats in which the team met somebody."""
    outcomes: dict[int, list[Outcome | None]] = {}
    for met in table.meetings[team]:
        outcomes.setdefault(met.own.round, []).append(met.outcome)
    return Counter(1 + sum(one != "win" for one in heat) for heat in outcomes.values() if None not in heat)


def opponents_points(table: Table, group: Group) -> Finding:
    """The sum of the opponents' totals, in whatever ranks first; an opponent met twice counts twice."""
    weights = {team: [(met.other.team, Fraction(1)) for met in table.meetings[team]] for team in group}
    return _opponents("opponents_points", table, weights, "made by opponents")


def beaten_points(table: Table, group: Group) -> Finding:
    """The sum of the totals of the teams beaten, and half of those drawn with (Sonneborn-Berger)."""
    half = {"win": Fraction(1), "draw": Fraction(1, 2), "loss": Fraction(0), None: Fraction(0)}
    weights = {team: [(met.other.team, half[met.outcome]) for met in table.meetings[team]] for team in group}
    return _opponents("beaten_points", table, weights, "made by teams beaten")


def _opponents(name: str, table: Table, weights: Mapping[str, list[tuple[str, Fraction]]], words: str) -> Finding:
    worth = {team: sum((part * table.worth(other) for other, part in own), Fraction()) for team, own in weights.items()}
    if table.rank_by == "heat_points":
        return _plain(name, worth, f"heat point {words}", f"heat points {words}")
    if not table.even:
        return _plain(name, worth, f"full score {words}", f"full scores {words}")
    points = {team: value * table.available[team] for team, value in worth.items()}
    return _plain(name, points, f"point {words}", f"points {words}")


def progressive(table: Table, group: Group) -> Finding:
    """The sum of the running totals after each round, a bye's round included."""
    rounds = sorted({one.round for stood in table.heats for one in stood})
    by_heat_points, where = table.rank_by == "heat_points", "in running totals"
    sums = {}
    for team in group:
        gained = dict.fromkeys(rounds, Fraction())
        if by_heat_points:
            for met in table.meetings[team]:
                gained[met.own.round] += table.earned(met)
        else:
            for one in table.heats_of[team]:
                gained[one.round] += one.made.points
        sums[team] = sum(accumulate(gained.values()), Fraction())
    if by_heat_points:
        return _plain("progressive", sums, f"heat point {where}", f"heat points {where}")
    return _points("progressive", sums, table.available, f"point {where}", f"points {where}")


def drill_off(table: Table, group: Group) -> Finding:
    """Points reading by reading, so that who reads on passes nobody who was ahead.

    Until all whom it concerns have held it nobody is separated, nor are those whom it left level before its last set:
    nothing later decides instead. Who is excused, such as a team whose club has its places already, stands behind those
    who held it.
    """
    held = {team: table.drill_offs[team] for team in group if team in table.drill_offs}
    if not held or set(group).difference(held) - table.excused:
        return Finding("drill_off", {}, note="only a drill-off would separate them", pending=True)
    worth = {team: made[: _compared(made, held.values())] for team, made in held.items()}
    shown = {team: ", then ".join(map(number, worth.get(team, ()))) or "–" for team in group}
    words = "point in the drill-off", "points in the drill-off"
    if {*worth} == {*group} and len({*worth.values()}) == 1 and min(map(len, held.values())) < SETS:
        note = "only the next set of the drill-off would separate them"
        return Finding("drill_off", worth, shown, *words, note, pending=True)
    return Finding("drill_off", worth, shown, *words)


def _compared(made: tuple[Fraction, ...], others: Collection[tuple[Fraction, ...]]) -> int:
    """How many readings count for a team: those that all who were level with it until then have held too."""
    readings = 1
    while all(len(other) > readings for other in others if other[:readings] == made[:readings]):
        readings += 1
    return readings


def lot(table: Table, group: Group) -> Finding:
    """The lot drawn from the draw words before the day: a lower number goes first."""
    words = "in the lot drawn from the draw words"
    shown = {team: f"number {table.lots[team]}" for team in group}
    return Finding("lot", {team: (-table.lots[team],) for team in group}, shown, words, words)


CRITERIA: dict[str, Measure] = {
    "points": points,
    "heat_points": heat_points,
    "clean_calls": partial(_counted, "clean_calls", "clean call", "clean calls"),
    "fewer_wrong_place": partial(_counted, "fewer_wrong_place", "wrong place", "wrong places"),
    "fewer_late": partial(_counted, "fewer_late", "late", "late"),
    "fewer_spoken": partial(_counted, "fewer_spoken", "wrong answer", "wrong answers"),
    "fewer_handling": partial(_counted, "fewer_handling", "handling fault", "handling faults"),
    "head_to_head": head_to_head,
    "head_to_head_margin": head_to_head_margin,
    "head_to_head_points": head_to_head_points,
    "margin": margin,
    "hardest_third": hardest_third,
    "best_round": best_round,
    "last_round": last_round,
    "heat_wins": heat_wins,
    "countback": countback,
    "opponents_points": opponents_points,
    "beaten_points": beaten_points,
    "progressive": progressive,
    "drill_off": drill_off,
    "lot": lot,
}


def criteria_of(division: Division, table: Table) -> tuple[Criterion, ...]:
    """A division's chain: what ranks first, then its tie-breaks in their order.

    A drill-off that was held decides last of all where the chain names none.
    """
    return tuple(_criterion(name, table) for name in (division.rank_by, *_tie_breaks(division, table)))


def criteria_across(division: Division, table: Table) -> tuple[Criterion, ...]:
    """The chain between teams of different pools: parts of what could be had first, and no meetings of their own."""
    first = CRITERIA["points"] if division.rank_by == "points" else heat_points_part
    names = [name for name in _tie_breaks(division, table) if not name.startswith("head_to_head")]
    return (Criterion(division.rank_by, partial(first, table)), *(_criterion(name, table) for name in names))


def _tie_breaks(division: Division, table: Table) -> tuple[str, ...]:
    held = table.drill_offs and "drill_off" not in division.tie_breaks
    return (*division.tie_breaks, *(("drill_off",) if held else ()))


def _criterion(name: str, table: Table) -> Criterion:
    measure = partial(CRITERIA[name], table)
    return Criterion(name, measure, meetings=name.startswith("head_to_head"), again=name == "drill_off")
