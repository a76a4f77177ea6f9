"""Who answers aloud."""

from collections import Counter
from collections.abc import Sequence
from itertools import combinations, product
from random import Random

from hypothesis import given, settings
from hypothesis import strategies as st

from tourney.draw import Draw
from tourney.model.calls import Call, CallSet, Speakers
from tourney.model.plan import Heat
from tourney.planning.calls.speakers import draw_speakers
from tourney.planning.calls.turns import turn_lines


def a_set(calls: int) -> CallSet:
    rows = tuple(Call(n, "book", f"X{n}", "x", 1 + n % 4, f"X{n}", ("",)) for n in range(1, calls + 1))
    return CallSet("S", "Junior", "rotation", 1, 1, 10, rows)


def a_heat(name: str, line: Sequence[str]) -> Heat:
    teams = tuple(dict.fromkeys(child.split("-")[0] for child in line))
    return Heat(name, "Junior", 1, "W01", "Hall", "S", teams, (), "O1", None, tuple(line))


def squad(team: str, size: int) -> list[str]:
    return [f"{team}-{n}" for n in range(1, size + 1)]


def totals(heats: Sequence[Heat], speakers: Sequence[Speakers]) -> Counter[str]:
    asked = Counter({child: 0 for heat in heats for child in heat.line})
    for heat, row in zip(heats, speakers, strict=True):
        assert row.heat == heat.id
        asked.update(heat.line[number - 1] for number in row.lines)
    return asked


def a_day(sizes: Sequence[int], rounds: int, seed: int) -> list[Heat]:
    """Teams of these sizes, two a heat, paired at random in each round."""
    random, heats = Random(seed), []
    for number in range(rounds):
        teams = [squad(f"T{n}", size) for n, size in enumerate(sizes)]
        random.shuffle(teams)
        pairs = [teams[n : n + 2] for n in range(0, len(teams), 2)]
        heats += [a_heat(f"R{number}-{n}", [c for team in pair for c in team]) for n, pair in enumerate(pairs)]
    return heats


@settings(max_examples=40)
@given(st.lists(st.integers(1, 4), min_size=1, max_size=7), st.integers(1, 4), st.integers(1, 24), st.integers(0, 999))
def test_turns_in_a_heat_differ_by_at_most_one(sizes: list[int], rounds: int, calls: int, seed: int) -> None:
    heats = a_day(sizes, rounds, seed)
    for heat, row in zip(heats, draw_speakers(heats, [a_set(calls)], Draw("w", "s")), strict=True):
        assert len(row.lines) == calls
        turns = [row.lines.count(number) for number in range(1, len(heat.line) + 1)]
        assert max(turns) - min(turns) <= 1


@settings(max_examples=40)
@given(st.integers(1, 5), st.integers(1, 4), st.integers(1, 24), st.integers(0, 999))
def test_turns_over_a_day_of_equal_teams_differ_by_at_most_one(pairs: int, rounds: int, calls: int, seed: int) -> None:
    heats = a_day([3] * (2 * pairs), rounds, seed)
    asked = totals(heats, draw_speakers(heats, [a_set(calls)], Draw("w", "s")))
    assert max(asked.values()) - min(asked.values()) <= 1


@settings(max_examples=30)
@given(st.integers(0, 10**6))
def test_no_sharing_out_is_more_even(seed: int) -> None:
    """Three small heats with a call or two too many: every way to share them out is tried."""
    random = Random(seed)
    children = [f"T{n}-1" for n in range(6)]
    heats = [a_heat(f"H{n}", random.sample(children, random.choice((2, 3)))) for n in range(3)]
    asked = totals(heats, draw_speakers(heats, [a_set(4)], Draw("w", str(seed))))

    def spread(turns: Counter[str]) -> int:
        return sum(n * n for n in turns.values())

    options = [combinations(heat.line, 4 % len(heat.line)) for heat in heats]
    best = min(
        spread(
            Counter([child for heat in heats for child in heat.line * (4 // len(heat.line))]) + Counter(sum(extra, ()))
        )
        for extra in product(*options)
    )
    assert spread(asked) == best


def test_turns_are_measured_beside_the_best_possible() -> None:
    """16 calls: two of a line of seven have a turn more, so that none of two such heats has two more."""
    heats = [a_heat("R1", squad("A", 4) + squad("B", 3)), a_heat("R2", squad("A", 4) + squad("B", 3))]
    drawn = {row.heat: row.lines for row in draw_speakers(heats, [a_set(16)], Draw("w", "s"))}
    once, day = turn_lines(heats, drawn, at_once=True)
    assert (once.measured, once.bound, once.ok, once.worst) == (1, 1, True, "R1")
    assert (day.measured, day.bound, day.ok) == (1, 1, True)
    drawn["R2"] = (1,) * 16
    once, day = turn_lines(heats, drawn)
    assert (once.measured, once.ok, once.worst) == (16, False, "R2")
    assert (day.measured, day.bound) == (16, None)


def test_teams_of_a_heat_are_asked_equally_often_where_children_allow() -> None:
    """Seven in line, sixteen calls: two children have a third turn, and both are of the smaller team."""
    heat = a_heat("H", squad("A", 4) + squad("B", 3))
    lines = draw_speakers([heat], [a_set(16)], Draw("w", "s"))[0].lines
    assert sum(number <= 4 for number in lines) == 8


def test_the_order_is_no_cycle_and_another_in_every_heat() -> None:
    heats = [a_heat(f"H{n}", squad("A", 4) + squad("B", 4)) for n in range(20)]
    rows = [row.lines for row in draw_speakers(heats, [a_set(16)], Draw("w", "s"))]
    assert len(set(rows)) == 20
    assert all(row[:8] != row[8:] for row in rows)
    assert not any(a == b == c for row in rows for a, b, c in zip(row, row[1:], row[2:], strict=False))


def test_the_same_words_and_secret_give_the_same_turns() -> None:
    heats = a_day([4, 3, 4, 4], 3, 1)
    first, again, other = (draw_speakers(heats, [a_set(16)], Draw("w", secret)) for secret in "aab")
    assert first == again != other


def test_an_empty_line_has_no_speakers() -> None:
    assert draw_speakers([a_heat("H", [])], [a_set(3)], Draw("w")) == (Speakers("H", ()),)
