"""The day's calls on a screen: one page a room, for its caller alone, with the script's sets in wave order."""

from collections.abc import Iterator

from tourney.canon.syllabus import Syllabus
from tourney.model.called import called
from tourney.model.calls import CallBook
from tourney.model.people import Roster
from tourney.model.plan import Plan
from tourney.papers.caller_page import CallerPage, PageSet, caller_page, page_call, page_reserve
from tourney.papers.file_names import file_names
from tourney.papers.scripts import own_signals, reserve_call
from tourney.papers.stamp import short_mark
from tourney.papers.views import Hall, HeatView

NOTE = (
    "The calls of the day, for this room’s caller alone: nobody else sees this file before the day is over. "
    "The printed script holds the same; go on with it if the computer fails. What happens here is not scored."
)


def screen_pages(plan: Plan, book: CallBook, roster: Roster, syllabus: Syllabus) -> Iterator[tuple[str, str]]:
    """Path below papers/ and content of each page. Nothing can be tallied on them, and no time can be changed."""
    hall, sets = Hall(plan, roster), called(plan, book)
    rooms: dict[str, list[PageSet]] = {}
    for view in hall.heats.values():
        rooms.setdefault(view.room, []).append(_page_set(hall, view, sets, syllabus))
    for room, name in file_names(rooms).items():
        page = CallerPage(
            f"Calls of the day, {room}",
            plan.event.name,
            "",
            room,
            plan.event.day.cues,
            plan.event.day.paper,
            tuple(rooms[room]),
            NOTE,
            sealed=True,
        )
        yield f"callers/screen/{name}.html", caller_page(page, syllabus)


def _page_set(hall: Hall, view: HeatView, book: CallBook, syllabus: Syllabus) -> PageSet:
    heat = hall.plan.heat[view.id]
    calls = book.set[heat.call_set]
    speakers = book.speakers_of.get(heat.id, (None,) * len(calls.calls))
    sealed = next(one.fingerprint for one in hall.plan.call_sets if one.id == heat.call_set)
    return PageSet(
        heat.id,
        f"{view.start} {view.division.name}, {heat.id}",
        calls.seconds,
        tuple(page_call(call, speaker) for call, speaker in zip(calls.calls, speakers, strict=True)),
        f"Not before {view.start}. The mark on the judges’ sheets must be {short_mark(sealed)}.",
        own_signals(hall, heat, calls.seconds),
        tuple(page_reserve(call, reserve_call(call, calls, syllabus)) for call in calls.reserves),
    )
