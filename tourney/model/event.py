"""What the coordinator decides: one class a table of the settings, each key with its default and its meaning in words.

The descriptions are what `new` writes beside every key; the defaults are those of trade practice (no published source).
"""

from datetime import date as Date
from math import inf
from string import ascii_uppercase
from typing import Annotated, Any, Literal

from pydantic import (
    BaseModel,
    ConfigDict,
    Field,
    SerializerFunctionWrapHandler,
    field_validator,
    model_serializer,
    model_validator,
)

from tourney.model.sheet_layout import Zone, in_zone

TieBreak = Literal[
    "points", "clean_calls", "fewer_wrong_place", "fewer_late", "fewer_spoken", "fewer_handling", "head_to_head",
    "head_to_head_margin", "head_to_head_points", "margin", "hardest_third", "best_round", "last_round", "heat_wins",
    "countback", "opponents_points", "beaten_points", "progressive", "drill_off", "lot",
]  # fmt: skip
Minutes = Annotated[int, Field(ge=0, le=600)]
Clock = Annotated[str, Field(pattern=r"^([01]?\d|2[0-3]):[0-5]\d$")]
Cue = Annotated[str, Field(min_length=1, max_length=60)]
CUES = 3


class Table(BaseModel):
    """A table of the settings: immutable, and no key but its own."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    @model_serializer(mode="wrap", when_used="json")
    def _without_what_is_left_out(self, handler: SerializerFunctionWrapHandler) -> dict[str, Any]:
        """A key that is left out stays out of documents, as it does in the settings."""
        return {key: value for key, value in handler(self).items() if value is not None}


class Pause(Table):
    """A break of the whole hall."""

    after_wave: int = Field(ge=1, description="the wave after which everybody pauses")
    minutes: Minutes = Field(description="how long")
    label: str = Field("Pause", description="what it is called on the schedule")


class Day(Table):
    """The hall's day."""

    changeover: Minutes = Field(5, description="minutes between two waves")
    rest: Minutes = Field(10, description="least minutes between two heats of one team")
    pauses: tuple[Pause, ...] = Field((), description="breaks of the whole hall, each after a wave")
    paper: Literal["A4", "Letter"] = Field("A4", description="paper in the printer: A4 or Letter")
    slot: int | None = Field(
        None, ge=5, le=180, description="minutes a heat takes; computed from the calls when left out"
    )
    protest_minutes: Minutes = Field(10, description="minutes for protests after the last sheet")
    keep_days: int = Field(7, ge=0, description="days after which children's details are to be removed")
    record: str = Field(
        "", description="where the record is kept: empty for a file in this folder, or a database address"
    )
    cues: tuple[Cue, ...] = Field(
        ("Stand ready", "Books closed", "Find it"),
        description="what the caller says: two cues before the call and a third one, on which the time starts",
    )

    @field_validator("cues")
    @classmethod
    def _three_cues(cls, cues: tuple[Cue, ...]) -> tuple[Cue, ...]:
        if len(cues) != CUES:
            raise ValueError(
                f"there are {CUES} cues, and {len(cues)} stand here: two before the call, one on which the time starts"
            )
        return cues


class Room(Table):
    """A room where one heat stands at a time."""

    name: str = Field(min_length=1, max_length=40, description="the room's name as on its door")
    line_limit: int = Field(12, ge=1, le=60, description="most contestants in one line")
    step_free: bool = Field(True, description="can it be reached without steps")


class Points(Table):
    """Whole points: what a clean call is worth, and what each fault takes off. A call never goes below 0."""

    call: int = Field(10, ge=1, description="a clean call")
    late: int = Field(10, ge=0, description="taken off for L, found too late")
    wrong_place: int = Field(10, ge=0, description="taken off for W, a finger in the wrong place")
    spoken: int = Field(5, ge=0, description="taken off for S, the spoken answer wrong")
    handling: int = Field(2, ge=0, description="taken off for H, a fault of handling")


class HeatPoints(Table):
    """What a team earns against each other team of its heat."""

    win: int = Field(3, ge=0, description="more points than the other team")
    draw: int = Field(1, ge=0, description="as many")
    loss: int = Field(0, ge=0, description="fewer")


class Band(Table):
    """An award for everyone who reaches a part of the points available, or a place in the division."""

    label: str = Field(min_length=1, description="what the award is called")
    from_: float | None = Field(
        None, alias="from", gt=0, le=1, description="least part of the points available, 0.9 for nine tenths"
    )
    place: int | None = Field(None, ge=1, description="instead of from: the last place that reaches it, 3 for 1 to 3")

    @model_validator(mode="after")
    def _one_limit(self) -> "Band":
        if (self.from_ is None) == (self.place is None):
            raise ValueError("needs either from, a part of the points, or place, the last place that reaches it")
        return self


class Division(Table):
    """Children who compete with each other, and the rules of their drill."""

    name: str = Field(min_length=1, max_length=40, description="the division's name")
    ages: tuple[int, int] | None = Field(None, description="youngest and oldest age on the day given by age_on")
    age_on: Date | None = Field(
        None, description="the day on which age counts; 1 September before the event when left out"
    )
    grades: tuple[int, int] | None = Field(
        None, description="lowest and highest school grade, instead of or besides ages"
    )
    leap_birthday: Literal["1 March", "28 February"] = Field(
        "1 March", description="when a child born on 29 February comes of age in other years"
    )
    play_up: bool = Field(False, description="may a younger child enter this division")
    squad: int = Field(4, ge=1, le=20, description="most members of a team in line")
    counting: int = Field(3, ge=1, le=20, description="how many of them count, the best ones")
    counting_over: Literal["round", "day"] = Field(
        "round",
        description="round: the best of each round count in it; day: the best over all rounds count in every one",
    )
    minimum: int = Field(2, ge=1, le=20, description="fewest members with which a team may enter")
    substitutes: int = Field(1, ge=0, le=10, description="most substitutes of a team")
    rounds: Annotated[int, Field(ge=1, le=50)] | Literal["all"] = Field(
        4, description="how often each team drills, or all: everyone meets everyone"
    )
    draw: Literal["whole_day", "by_standing"] = Field(
        "whole_day", description="whole_day: all rounds at once; by_standing: each round when the one before is in"
    )
    pools: int = Field(
        1,
        ge=1,
        le=26,
        description="parts in which the teams drill among themselves, drawn with clubs spread; 1: no parts",
    )
    first_last: Literal["call", "leave_out"] = Field(
        "call", description="are the first and the last item called (one neighbour is then none), or left out"
    )
    teams_per_heat: int = Field(2, ge=1, le=8, description="teams in one line")
    calls: int = Field(16, ge=1, le=60, description="calls in a set")
    seconds: int = Field(10, ge=1, le=120, description="seconds to find it")
    sections: Literal["equal", "by_size"] | dict[str, Annotated[float, Field(ge=0)]] = Field(
        "equal", description="how calls are spread over the sections: equal, by_size, or a weight for each"
    )
    no_repeat_gap: int | None = Field(
        None, ge=0, description="sets heard at least between two uses of one item; left out: 1, or what counting allows"
    )
    reserve_sets: int = Field(
        1, ge=0, le=9, description="whole call sets kept ready, for a leaked script or a heat that moves"
    )
    judges: int = Field(3, ge=1, le=9, description="judges of a heat")
    panel: Literal["median", "majority", "mean", "chief"] = Field("median", description="how judges' points become one")
    zones: tuple[Zone, ...] | None = Field(
        None,
        description="lines from-to that one judge watches, such as 1-6, 7-12: the first judge the first of them, the "
        "next judge the next, then round again; left out: every judge watches the whole line",
    )
    timekeeper: Literal["separate", "caller"] = Field(
        "separate", description="who keeps time: one more person, or the caller"
    )
    void: Literal["reserve_then_wave", "reserve_then_heat", "wave", "heat"] = Field(
        "reserve_then_wave", description="what happens to a call that went wrong"
    )
    points: Points = Field(Points(), description="what a call is worth and what a fault takes off")
    rank_by: Literal["points", "heat_points"] = Field("points", description="what ranks first")
    heat_points: HeatPoints = Field(HeatPoints(), description="what a heat is worth when heats are won and lost")
    tie_breaks: tuple[TieBreak, ...] = Field(
        ("clean_calls", "fewer_wrong_place", "fewer_late", "head_to_head", "hardest_third", "drill_off"),
        description="what separates teams that are level, in this order",
    )
    after_split: Literal["continue", "restart", "repeat_meetings"] = Field(
        "continue", description="how a group goes on once a tie-break has split it"
    )
    advance: Annotated[int, Field(ge=0, le=256)] | Literal["all"] = Field(
        3, description="how many teams reach the finals, or all: as many as advance_from and advance_per_club allow"
    )
    advance_from: float | None = Field(
        None, gt=0, le=1, description="least part of the points available with which a team reaches them, such as 0.85"
    )
    advance_per_pool: int = Field(
        1, ge=1, le=256, description="with pools: the best so many of each reach the finals; the best others fill up"
    )
    advance_per_club: int = Field(2, ge=1, description="most of them from one club")
    finals: Literal["line", "knockout", "double_knockout", "placement", "last_out", "none"] = Field(
        "line", description="kind of finals"
    )
    bands: tuple[Band, ...] = Field(
        (Band(label="A", **{"from": 0.9}), Band(label="B", **{"from": 0.75})),
        description="awards by part of the points or by place",
    )

    @model_validator(mode="after")
    def _sizes_fit(self) -> "Division":
        if self.ages is None and self.grades is None:
            raise ValueError("needs ages or grades, for example ages = [8, 10]")
        for key in ("ages", "grades"):
            span = getattr(self, key)
            if span and span[0] > span[1]:
                raise ValueError(f"{key} runs backwards: write the lower number first")
        if self.counting > self.squad:
            raise ValueError(
                f"counting is {self.counting}, more than the {self.squad} of a squad: lower it, or raise squad"
            )
        if self.minimum > self.squad:
            raise ValueError(
                f"minimum is {self.minimum}, more than the {self.squad} of a squad: lower it, or raise squad"
            )
        if self.counting_over == "day" and self.rank_by == "heat_points":
            raise ValueError(
                "counting_over is day, but heats are won and lost by the scores of their round: "
                'write counting_over = "round", or rank_by = "points"'
            )
        if self.pools == 1 and self.advance_per_pool > 1:
            raise ValueError("advance_per_pool needs pools: write how many, or leave it out")
        sure = self.pools * self.advance_per_pool if self.pools > 1 and self.finals != "none" else 0
        if isinstance(self.advance, int) and self.advance < sure:
            several = self.advance_per_pool > 1
            first = f"the best {self.advance_per_pool}" if several else "the best"
            lower = "advance_per_pool or pools" if several else "pools"
            raise ValueError(
                f"advance is {self.advance}, and {first} of each of {self.pools} pools are {sure}: "
                f"raise advance to {sure} or more, or lower {lower}"
            )
        return self

    @property
    def pool_names(self) -> tuple[str, ...]:
        """A, B, C; none where the division is not parted."""
        return tuple(ascii_uppercase[: self.pools]) if self.pools > 1 else ()

    @property
    def bands_upwards(self) -> tuple[Band, ...]:
        """Its awards, the lowest first: by part of the points, then by place."""
        return tuple(sorted(self.bands, key=lambda band: (-(band.place or inf), band.from_ or 0)))

    def zone(self, judge: int) -> Zone | None:
        """The lines that a judge watches, by seat from 1; None for the whole line."""
        return self.zones[(judge - 1) % len(self.zones)] if self.zones else None

    def watches(self, judge: int, line: int) -> bool:
        """Is a line in the zone of the judge of that seat."""
        return in_zone(line, self.zone(judge))


class Answer(Table):
    """The coordinator's answer to one question of `check`."""

    id: str = Field(description="the question's id")
    answer: str = Field(description="the answer, in one of the words that the question offers")


class Event(Table):
    """The whole of the settings. In event.toml the first five keys stand in [event]."""

    name: str = Field(min_length=1, max_length=80, description="what the day is called on every paper")
    date: Date = Field(description="the day, year-month-day")
    timezone: str = Field("UTC", description="the hall's time zone by its IANA name, such as Europe/Dublin")
    start: Clock = Field("09:00", description="when the first wave starts, 24-hour clock")
    draw_words: str = Field("", description="any text: the seed of every draw. Read it aloud after entries have closed")
    day: Day = Field(Day(), description="the hall's day")
    rooms: tuple[Room, ...] = Field(min_length=1, description="the rooms")
    divisions: tuple[Division, ...] = Field(min_length=1, description="the divisions")
    answers: tuple[Answer, ...] = Field((), description="answers to questions of check")

    def division(self, name: str) -> Division:
        """The division of that name."""
        return next(division for division in self.divisions if division.name == name)


HEAD_KEYS = ("name", "date", "timezone", "start", "draw_words")  # the keys that stand in [event]
