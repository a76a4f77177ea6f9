"""A small day of one division, made by hand: a plan, its calls, its children, and sheets with chosen faults."""

from collections.abc import Callable, Iterable, Mapping
from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest

from tourney.model.calls import Call, CallBook, CallSet, Speakers
from tourney.model.event import Division, Event, Room
from tourney.model.people import Contestant, Official, Roster, Team
from tourney.model.plan import Bye, DrawRecord, Heat, Plan, PublicOfficial, SealedSet, Wave
from tourney.model.sheet import LETTERS, FilledSheet, Letter, Marked
from tourney.model.sheet_layout import sheet_code

Day = tuple[Plan, CallBook, Roster]
Cell = tuple[str, int, int, int]  # heat, judge, line, call


def circle(teams: list[str]) -> list[list[tuple[str, str]]]:
    """Rounds in which everyone meets everyone once; "" is the seat of a bye."""
    ring = teams if len(teams) % 2 == 0 else [*teams, ""]
    half, rounds = len(ring) // 2, []
    for _ in range(len(ring) - 1):
        rounds.append(list(zip(ring[:half], reversed(ring[half:]), strict=True)))
        ring = [ring[0], ring[-1], *ring[1:-1]]
    return rounds


def small_day(
    teams: int = 4,
    size: int = 3,
    rounds: int = 3,
    clubs: Mapping[str, str] | None = None,
    words: str = "three small boats",
    **settings: Any,
) -> Day:
    """Teams T1, T2, ... of `size` children; call sets R1, R2, ... whose calls get harder by number."""
    ids = [f"T{n}" for n in range(1, teams + 1)]
    division = Division(**{
        "name": "Junior", "ages": (8, 10), "calls": 4, "squad": size, "counting": min(2, size), "minimum": 1,
        "judges": 3, "rounds": rounds, **settings,
    })  # fmt: skip
    entered = tuple(
        Team(
            id=key,
            name=f"Team {key[1:]}",
            club=(clubs or {}).get(key, f"Club {key}"),
            division="Junior",
            members=tuple(f"{key}-{n}" for n in range(1, size + 1)),
        )
        for key in ids
    )
    children = tuple(
        Contestant(member, f"Child{at} Of{team.id}") for team in entered for at, member in enumerate(team.members)
    )
    heats, byes, sets = [], [], []
    for number, pairs in enumerate(circle(ids)[:rounds], start=1):
        calls = tuple(
            Call(n, "book", f"B{n}", "law", float(n), f"Book {n}", ("a", "b", "c"))
            for n in range(1, division.calls + 1)
        )
        sets.append(CallSet(f"R{number}", "Junior", "rotation", number, number, division.seconds, calls))
        for at, pair in enumerate(pairs, start=1):
            if "" in pair:
                byes.append(Bye("Junior", number, next(team for team in pair if team)))
                continue
            line = tuple(member for team in entered if team.id in pair for member in team.members)
            panel = tuple(f"O{n}" for n in range(1, division.judges + 1))
            heats.append(
                Heat(
                    id=f"J-R{number}-{at}",
                    division="Junior",
                    round=number,
                    wave=f"W{number}",
                    room="Hall",
                    call_set=f"R{number}",
                    teams=pair,
                    judges=panel,
                    caller="O20",
                    timekeeper=None,
                    line=line,
                )
            )
    officials = tuple(Official(f"O{n}", f"Judge {n}") for n in (*range(1, division.judges + 1), 20))
    start = datetime(2027, 4, 17, 9, tzinfo=UTC)
    plan = Plan(
        1,
        Event(name="Small day", date=date(2027, 4, 17), rooms=(Room(name="Hall"),), divisions=(division,)),
        DrawRecord(words, "sha256:0", "sha256:0"),
        entered,
        {"Junior": rounds},
        tuple(PublicOfficial.of(official) for official in officials),
        tuple(Wave(f"W{n}", start + timedelta(minutes=20 * n), 15) for n in range(1, rounds + 1)),
        tuple(heats),
        tuple(byes),
        tuple(SealedSet(one.id, one.division, one.use, one.fingerprint()) for one in sets),
        (),
    )
    speakers = tuple(
        Speakers(heat.id, tuple(1 + call % len(heat.line) for call in range(division.calls))) for heat in heats
    )
    return plan, CallBook(tuple(sets), speakers), Roster(entered, children, officials)


@pytest.fixture(scope="session")
def make_day() -> Callable[..., Day]:
    """The function `small_day`, for tests."""
    return small_day


def filled(
    day: Day,
    faults: Mapping[Cell, str] | None = None,
    every_judge: Mapping[tuple[str, int, int], str] | None = None,
    missing: Iterable[tuple[str, int]] = (),
    unticked: Iterable[tuple[str, int, int]] = (),
    unread: Iterable[Cell] = (),
) -> list[FilledSheet]:
    """Sheets of all judges and heats, clean but for what is said.

    faults: (heat, judge, line, call) -> letters. every_judge: (heat, line, call) -> letters on all sheets.
    missing: (heat, judge). unticked: (heat, judge, call). unread: (heat, judge, line, call).
    """
    plan, book, _ = day
    said, skip, blank, dark = dict(faults or {}), set(missing), set(unticked), set(unread)
    for heat in plan.heats:
        for at, letters in (every_judge or {}).items():
            if at[0] == heat.id:
                said |= {(heat.id, judge, at[1], at[2]): letters for judge in range(1, len(heat.judges) + 1)}
    sheets = []
    for heat in plan.heats:
        calls = [call.no for call in book.set[heat.call_set].calls]
        for judge in range(1, len(heat.judges) + 1):
            if (heat.id, judge) in skip:
                continue
            own = {at[2:]: letters for at, letters in said.items() if at[:2] == (heat.id, judge)}
            marks = tuple(Marked(line, call, as_letters(own[line, call])) for line, call in sorted(own))
            judged = tuple(call for call in calls if (heat.id, judge, call) not in blank)
            open_cells = tuple(sorted(at[2:] for at in dark if at[:2] == (heat.id, judge)))
            code = sheet_code(heat.id, judge)
            sheets.append(FilledSheet(code, heat.id, judge, 1, "AB", heat.line, marks, judged, open_cells))
    return sheets


def as_letters(text: str) -> tuple[Letter, ...]:
    """ "SH" -> the letters, in the order of LETTERS."""
    return tuple(letter for letter in LETTERS if letter in text)


@pytest.fixture(scope="session")
def fill() -> Callable[..., list[FilledSheet]]:
    """The function `filled`, for tests."""
    return filled
