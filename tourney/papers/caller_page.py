"""The page that a caller calls from: one file, no network, with its own clock. For practice, and for the day's sets."""

import base64
import hashlib
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from tourney.canon.openings import Opening, by_text, openings
from tourney.canon.syllabus import Syllabus
from tourney.model.calls import Call
from tourney.papers.page_writer import environment
from tourney.papers.scripts import OwnSignal, ReserveCall
from tourney.papers.tasks import task

SHORTEN = (14, 8)  # seconds at the beginning and at the end of a series that gets shorter (common practice, no source)
PACE = {"cue": 2000, "call": 2500, "time": 6000, "answer": 8000}  # milliseconds, when the page goes on by itself
PLACES = ("at the front", "a quarter of the way in", "in the middle", "three quarters of the way in", "at the back")


@dataclass(frozen=True, slots=True)
class PageCall:
    """One call on the page. speaker: line number of who answers, None where nobody is named. task: see `tasks`."""

    no: int
    item: str
    say: str
    answer: tuple[str, ...]
    task: str
    speaker: int | None = None
    replaces: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class PageSet:
    """A set to choose on the page. signals: of their own for some lines. reserves: read when a call becomes void."""

    id: str
    title: str
    seconds: int
    calls: tuple[PageCall, ...]
    aside: str = ""
    signals: tuple[OwnSignal, ...] = ()
    reserves: tuple[PageCall, ...] = ()


@dataclass(frozen=True)
class CallerPage:
    """All of one page. lines: what stands beside each line number, no names. sealed: these are the day's own calls.

    note: what these calls are, and what they are not. pace: see PACE.
    """

    title: str
    event: str
    division: str
    group: str
    cues: tuple[str, ...]
    paper: str
    sets: tuple[PageSet, ...]
    note: str
    lines: tuple[str, ...] = ()
    sealed: bool = False
    pace: dict[str, int] | None = None

    @property
    def tally(self) -> bool:
        """Whether children's lines can be noted: never with the day's own calls before they are heard."""
        return bool(self.lines)


def page_call(call: Call, speaker: int | None = None) -> PageCall:
    """A call as the page shows it."""
    return PageCall(call.no, call.item, call.say, call.answer, task(call.kind), speaker)


def page_reserve(call: Call, reserve: ReserveCall) -> PageCall:
    """A reserve call, with the calls in whose place it may be read."""
    return PageCall(call.no, call.item, call.say, call.answer, task(call.kind), None, reserve.replaces)


def caller_page(page: CallerPage, syllabus: Syllabus) -> str:
    """The whole page as HTML, some 60 to 120 kB: its script and style are within."""
    pages = environment()
    script = pages.get_template("caller.js").render()
    return pages.get_template("caller.html").render(
        page=page, shorten=SHORTEN, script_hash=_hash(script), data=_data(page, syllabus)
    )


def _hash(script: str) -> str:
    """The one script that a browser may run (Content Security Policy Level 3, W3C, hash-source)."""
    return "sha256-" + base64.b64encode(hashlib.sha256(script.encode()).digest()).decode()


def _data(page: CallerPage, syllabus: Syllabus) -> dict[str, Any]:
    calls = [call for one in page.sets for call in (*one.calls, *one.reserves)]
    used = dict.fromkeys(call.item for call in calls)
    sections = dict.fromkeys(syllabus.item(key).section for key in used)
    found = openings(syllabus)
    return {
        "event": page.event,
        "division": page.division,
        "group": page.group,
        "cues": page.cues,
        "tally": page.tally,
        "sealed": page.sealed,
        "lines": page.lines,
        "pace": page.pace or PACE,
        "shorten": SHORTEN,
        "sets": [_set(one, syllabus) for one in page.sets],
        "items": {key: _item(syllabus, key, found[key], calls) for key in used},
        "order": {item.id: place for place, item in enumerate(syllabus.items) if item.section in sections},
        "sections": {
            key: {
                "name": syllabus.section_name(key),
                "items": [(item.id, item.name) for item in syllabus.items if item.section == key],
            }
            for key in sections
        },
    }


def _set(one: PageSet, syllabus: Syllabus) -> dict[str, Any]:
    return {
        "id": one.id,
        "title": one.title,
        "seconds": one.seconds,
        "aside": one.aside,
        "signals": [{"seconds": own.seconds, "lines": own.lines} for own in one.signals],
        "calls": [_call(call, no, syllabus) for no, call in enumerate(one.calls, 1)],
        "reserves": [_call(call, 0, syllabus) for call in one.reserves],
    }


def _call(call: PageCall, no: int, syllabus: Syllabus) -> str | dict[str, Any]:
    """The item alone where the page can tell the rest; so hundreds of calls stay small. no: as it would be counted."""
    name = syllabus.item(call.item).name
    more = {"no": call.no, "say": call.say, "task": call.task, "speaker": call.speaker, "replaces": call.replaces}
    usual = {"no": no, "say": name, "task": "", "speaker": None, "replaces": ()}
    told = {key: value for key, value in more.items() if value != usual[key]}
    return {"item": call.item, **told} if told else call.item


def _item(syllabus: Syllabus, key: str, opening: Opening, calls: Iterable[PageCall]) -> dict[str, Any]:
    item = syllabus.item(key)
    answer = next(call.answer for call in calls if call.item == key)
    return {
        "name": item.name,
        "answer": answer,
        "place": max((at for at, part in enumerate(answer) if part == item.name), default=0),
        "also": syllabus.also(key),
        "section": item.section,
        "open": opening_words(syllabus, opening),
    }


def opening_words(syllabus: Syllabus, opening: Opening) -> str:
    """Where to open, as one says it to a child: "Open in the middle, at Psalms. Then 4 books to the right."."""
    where, lands = PLACES[opening.place], syllabus.item(opening.lands).name
    if not opening.steps:
        return f"Open {where}: {lands} is there."
    what = "book" if by_text(syllabus) else "place"
    count, side = abs(opening.steps), "right" if opening.steps > 0 else "left"
    return f"Open {where}, at {lands}. Then {count} {what}{'' if count == 1 else 's'} to the {side}."
