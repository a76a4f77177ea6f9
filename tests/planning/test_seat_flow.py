"""The flow that fills seats against scipy's linear_sum_assignment on small waves."""

from collections import Counter
from datetime import UTC, datetime
from random import Random

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import linear_sum_assignment

from tourney.model.people import Duty, Official, Team
from tourney.model.plan import Heat
from tourney.planning.officials import FREE, MET, SHORT_LIST, WORKED, fill_seats, find_gaps
from tourney.planning.seats import Bench

NEVER = 10**9


def case(seed: int) -> tuple[list[Bench], list[Official], list[Heat]]:
    """Two or three heats of a wave, one of them perhaps still to be drawn; people with ties; heats held before."""
    random = Random(seed)
    teams = [Team(f"T{n}", f"Team {n}", f"Club {n % 4}", "Open", (f"T{n}-1",)) for n in range(6)]
    people = [
        Official(
            f"O{n:02}",
            f"Helper {n}",
            roles=random.choice(((), ("judge",), ("caller", "timekeeper"))),
            clubs=(f"Club {random.randrange(4)}",) if random.random() < 0.5 else (),
        )
        for n in range(12)
    ]
    times = datetime(2027, 4, 17, 9, tzinfo=UTC), datetime(2027, 4, 17, 9, 15, tzinfo=UTC)
    seats: tuple[tuple[Duty, int], ...] = (("judge", 2), ("caller", 1))
    benches = [
        Bench(f"H{heat}", "W02", duty, places, () if heat == 2 else tuple(teams[2 * heat : 2 * heat + 2]), True, *times)
        for heat in range(random.choice((2, 3)))
        for duty, places in seats
    ]
    ids = [person.id for person in people]
    before = [
        Heat(f"B{n}", "Open", 1, "W01", "Hall", "S", tuple(t.id for t in random.sample(teams, 2)),
             tuple(random.sample(ids, 2)), random.choice(ids), None, ())
        for n in range(5)
    ]  # fmt: skip
    return benches, people, before


def price(bench: Bench, person: Official, before: list[Heat]) -> int:
    met = Counter((judge, team) for heat in before for judge in heat.judges for team in heat.teams)
    worked = sum(name == person.id for heat in before for _, name in heat.seats)
    again = sum(2 * met[person.id, team.id] + 1 for team in bench.teams) if bench.duty == "judge" else 0
    ties = 0 if bench.teams else len(person.clubs) + len(person.people)
    return MET * again + WORKED * (2 * worked + 1) + FREE * ties


@settings(max_examples=60)
@given(st.integers(0, 10_000))
def test_a_wave_is_filled_as_cheaply_as_scipy_fills_it(seed: int) -> None:
    benches, people, before = case(seed)
    seats = [bench for bench in benches for _ in range(bench.seats)]
    costs = np.array(
        [[price(bench, person, before) if bench.suits(person) else NEVER for person in people] for bench in seats]
    )
    best = int(costs[linear_sum_assignment(costs)].sum())
    gaps = find_gaps([tuple(benches)], people)
    assert bool(gaps) == (best >= NEVER)
    if gaps:
        assert gaps[0].missing == best // NEVER
        return
    filled = fill_seats([tuple(benches)], people, before)
    of = {person.id: person for person in people}
    assert sum(price(bench, of[name], before) for bench, names in filled.items() for name in names) == best
    names = [name for held in filled.values() for name in held]
    assert len(set(names)) == len(names) == len(seats)


def test_more_people_than_a_short_list_holds() -> None:
    """Each bench is tied to all but one person, who stands anywhere in the list: nobody else may sit there."""
    count = 2 * SHORT_LIST
    teams = [Team(f"T{n}", f"Team {n}", f"Club {n}", "Open", (f"T{n}-1",)) for n in range(count)]
    clubs = [team.club for team in teams]
    people = [
        Official(f"O{n:03}", f"Helper {n}", clubs=tuple(club for club in clubs if club != f"Club {n * 7 % count}"))
        for n in range(count)
    ]
    times = datetime(2027, 4, 17, 9, tzinfo=UTC), datetime(2027, 4, 17, 9, 15, tzinfo=UTC)
    wave = tuple(Bench(f"H{n}", "W01", "judge", 1, (team,), True, *times) for n, team in enumerate(teams))
    assert not find_gaps([wave], people)
    filled = fill_seats([wave], people)
    assert all(
        filled[bench] == (f"O{n:03}",) for n in range(count) for bench in wave if bench.heat == f"H{n * 7 % count}"
    )


def test_nobody_works_all_day_where_there_are_people_for_breaks() -> None:
    times = datetime(2027, 4, 17, 9, tzinfo=UTC), datetime(2027, 4, 17, 9, 15, tzinfo=UTC)
    people = [Official(f"O{n}", f"Helper {n}") for n in range(4)]
    waves = [(Bench(f"H{wave}", f"W{wave}", "caller", 2, (), True, *times),) for wave in range(8)]
    filled = fill_seats(waves, people)
    at_work = ["".join("x" if person.id in filled[wave[0]] else " " for wave in waves) for person in people]
    assert all(len(run) <= 2 for row in at_work for run in row.split())
    assert all(row.count("x") == 4 for row in at_work)
