"""Nouns as documents and back: nothing is lost, nothing is rounded, nothing damaged is trusted."""

import json
from datetime import date, datetime, timedelta, timezone
from fractions import Fraction
from typing import Any, get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import ValidationError

from tourney.model.calls import Call, CallBook, CallSet, Speakers, Use
from tourney.model.documents import dump, exact_text, load
from tourney.model.event import Band, Day, Division, Event, Pause, Room
from tourney.model.people import Duty, Roster, Team
from tourney.model.plan import Bye, DrawRecord, FairnessLine, Heat, Plan, PublicOfficial, SealedSet, Wave
from tourney.model.sheet import LETTERS, FilledSheet, Marked, SheetNote
from tourney.model.standing import DivisionResults, OpenMatter, Results, TeamStanding

text = st.text(max_size=8)
names = st.tuples(text, text)
small = st.integers(-1_000, 1_000)
zones = st.integers(-12 * 60, 14 * 60).map(lambda minutes: timezone(timedelta(minutes=minutes)))
moments = st.datetimes(timezones=zones)
figures = st.none() | small | text | st.fractions().map(float)
fractions = st.fractions(max_denominator=10**12)
uses = st.sampled_from(get_args(Use))
duties = st.tuples(st.sampled_from(get_args(Duty)))


def of(kind: Any, /, **fields: st.SearchStrategy[Any]) -> Any:
    """A tuple of at most two nouns of a kind, texts where nothing else is said."""
    return st.lists(st.builds(kind, **fields), max_size=2).map(tuple)


calls = of(
    Call,
    no=small,
    difficulty=st.floats(0, 9),
    **dict.fromkeys(("kind", "item", "section", "say"), text),
    answer=names,
    also=names,
)
call_sets = of(CallSet, use=uses, round=st.none() | small, order=st.none() | small, seconds=small, calls=calls, id=text)
events = st.builds(
    Event,
    name=st.text(min_size=1, max_size=80),
    date=st.dates(date(2000, 1, 1)),
    timezone=text,
    start=st.times().map("{:%H:%M}".format),
    draw_words=text,
    day=st.builds(Day, pauses=of(Pause, after_wave=st.integers(1, 9), minutes=st.integers(0, 600), label=text)),
    rooms=st.just((Room(name="Loft", line_limit=8, step_free=False),)),
    divisions=st.builds(
        Division,
        name=st.text(min_size=1, max_size=40),
        ages=st.just((8, 10)),
        rounds=st.just("all") | st.integers(1, 50),
        sections=st.just("by_size") | st.dictionaries(text, st.floats(0, 9), max_size=2),
        bands=st.floats(0.01, 1).map(lambda part: (Band(label="A", **{"from": part}),)),
    ).map(lambda division: (division,)),
)
plans = st.builds(
    Plan,
    revision=small,
    event=events,
    draw=st.builds(DrawRecord, text, text, text),
    teams=of(Team, members=names),
    drawn_rounds=st.dictionaries(text, small, max_size=2),
    officials=of(PublicOfficial, roles=duties, clubs=names, people=names),
    waves=of(Wave, id=text, start=moments, minutes=small),
    heats=of(Heat, teams=names, judges=names, line=names, timekeeper=st.none() | text),
    byes=of(Bye, division=text, round=small, team=text),
    call_sets=of(SealedSet, use=uses),
    fairness=of(FairnessLine, measured=figures, limit=figures, bound=figures, ok=st.booleans()),
)
books = st.builds(CallBook, sets=call_sets, speakers=of(Speakers, heat=text, lines=st.tuples(small, small)))
letters = st.sampled_from(tuple(LETTERS)).map(lambda letter: (letter,))
sheets = st.builds(
    FilledSheet,
    marks=of(Marked, line=small, call=small, letters=letters),
    judged=st.tuples(small, small),
    open_cells=st.tuples(st.tuples(small, small)),
    notes=of(SheetNote),
    contestants=names,
)
standings = of(
    TeamStanding,
    points=fractions,
    available=fractions,
    range=st.tuples(small, small),
    round_points=st.tuples(fractions),
)
results = st.builds(
    Results,
    divisions=of(DivisionResults, division=text, teams=standings, contestants=st.just(())),
    open_matters=of(OpenMatter),
)


@given(plans | books | sheets | results)
def test_a_noun_comes_back_from_its_file(noun: Any) -> None:
    written = json.dumps(dump(noun), ensure_ascii=False)
    assert load(type(noun), json.loads(written)) == noun


@given(fractions)
def test_exact_numbers_stay_exact(value: Fraction) -> None:
    assert Fraction(exact_text(value)) == value


def test_whole_numbers_look_whole() -> None:
    assert [exact_text(Fraction(value)) for value in (1790, 0, "25/2", "-1/3")] == [1790, 0, "25/2", "-1/3"]


def test_keys_are_those_of_the_contract() -> None:
    band = Band(label="A", **{"from": 0.9})
    assert dump(band) == {"label": "A", "from": 0.9}
    bye = Bye("Junior", 1, "J09")
    assert dump(bye) == {"division": "Junior", "round": 1, "team": "J09"}


@pytest.mark.parametrize(
    "document",
    [
        {"teams": [], "contestants": [{"id": "J01-1"}], "officials": []},
        {"teams": [{"id": "J01", "name": "A", "club": "B", "division": "C", "members": "J01-1"}]},
        {"teams": None, "contestants": [], "officials": []},
        [],
        "",
    ],
)
def test_a_damaged_document_is_named(document: object) -> None:
    with pytest.raises(ValidationError):
        load(Roster, document)


def test_times_keep_their_offset() -> None:
    wave = Wave("W01", datetime.fromisoformat("2027-04-17T09:00:00-03:00"), 15)
    assert dump(wave)["start"] == "2027-04-17T09:00:00-03:00"
    assert load(Wave, dump(wave)).end == datetime.fromisoformat("2027-04-17T12:15:00+00:00")
