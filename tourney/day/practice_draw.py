"""What one group practises: sets, days, cards and questions, put together for the papers."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from random import Random

from tourney.day.practice import Ground, Wish
from tourney.draw import Draw
from tourney.errors import Refusal
from tourney.model.calls import Call, CallSet
from tourney.model.event import Division
from tourney.papers.caller_page import CallerPage, PageSet, page_call
from tourney.papers.practice_book import Card, PlanCall, PlanDay, PracticeBook, SectionLine, card_of
from tourney.papers.practice_quiz import Question
from tourney.papers.scripts import OwnSignal
from tourney.planning.calls.draw import draw_call_sets
from tourney.planning.calls.kinds import call_of
from tourney.planning.calls.need import SetNeed
from tourney.review.practice_group import Group
from tourney.review.practice_need import Needs, Try, needs, tries
from tourney.review.practice_plan import PracticeDay, practice_days
from tourney.review.practice_quiz import neighbour_questions
from tourney.review.practice_sets import Rows, third, unlike, weighted
from tourney.scoring.words import counted

MIXED = 2  # balanced sets
NOTES = {
    "unplanned": "These calls were drawn for practice. The day has none yet.",
    "sealed": "These calls were drawn for practice alone: none of these sets is a set of the day, and they don't tell "
    "what will be called then.",
    "over": "These calls were drawn for practice. The day is over, so its own sets can be chosen as well.",
}


def needs_of(ground: Ground, group: Group) -> Needs:
    """What the group missed, on the day and in tallies, beside what its whole division missed."""
    members = frozenset(group.members)
    heard = [one for one in ground.heard if one.heat.division == group.division]
    noted = [
        Try(note.item, note.mark != "found", note.mark in ("W", "S"))
        for note in ground.noted
        if not note.who or not members or note.who in members
    ]
    own = [one for one in heard if not members or one.contestant in members]
    division = ground.event.division(group.division)
    allowed = ground.syllabus.allowed(division.name, division.first_last)
    return needs(allowed, [*tries(own), *noted], [*tries(heard), *noted])


@dataclass(frozen=True)
class Drawing:
    """One group's draw: the same words, wish and results give the same practice."""

    ground: Ground
    group: Group
    wish: Wish
    needs: Needs

    @property
    def page(self) -> CallerPage:
        """The caller's page, with every set to choose."""
        event, group = self.ground.event, self.group
        sets = tuple(self._page_set(title, items, aside) for title, items, aside in self._sets())
        note = NOTES[self.ground.state]
        title = f"Practice, {group.title}"
        return CallerPage(
            title,
            event.name,
            group.division,
            group.title,
            event.day.cues,
            event.day.paper,
            (*sets, *self._of_the_day()),
            note,
            group.lines,
        )

    @property
    def book(self) -> PracticeBook:
        """The plan and the cards."""
        name = self.ground.syllabus.section_name
        sections = tuple(SectionLine(name(row.section), row.missed, row.calls) for row in self.needs.sections)
        return PracticeBook(
            self.group.title,
            self.group.division,
            tuple(self._basis()),
            sections if self.needs.calls else (),
            tuple(self._plan_day(day) for day in self.days),
            tuple(self._cards()),
        )

    @property
    def questions(self) -> tuple[Question, ...]:
        """The quiz."""
        syllabus = self.ground.syllabus
        found = []
        for asked in neighbour_questions(syllabus, self.needs.pairs, self._stream("quiz")):
            first, last = syllabus.item(asked.first).name, syllabus.item(asked.last).name
            words = {
                "after": f"What comes right after {first}?",
                "before": f"What comes right before {last}?",
                "between": f"What stands between {first} and {last}?",
            }
            item = syllabus.item(asked.answer)
            found.append(Question(words[asked.kind], (item.name, *syllabus.also(item.id))))
        return tuple(found)

    @cached_property
    def days(self) -> tuple[PracticeDay, ...]:
        """The plan's days."""

        def draw(attempt: int) -> tuple[PracticeDay, ...]:
            return practice_days(
                self.ground.syllabus, self.needs, self.wish.weeks, lambda *name: self._stream(str(attempt), *name)
            )

        return unlike(self._sealed, draw, lambda made: [day.calls for day in made])

    @cached_property
    def _sealed(self) -> frozenset[frozenset[str]]:
        """The items of every set that must not come out, as long as the day is not over."""
        sets = self.ground.day.book.sets if self.ground.day and self.ground.state == "sealed" else ()
        return frozenset(frozenset(call.item for call in one.calls) for one in sets)

    @cached_property
    def _rules(self) -> Division:
        division = self.ground.event.division(self.group.division)
        return division.model_copy(
            update={"calls": self.wish.calls or division.calls, "seconds": self.wish.seconds or division.seconds}
        )

    def _stream(self, *name: str) -> Random:
        """Without the folder's secret: these draws know nothing of the day's calls."""
        words = self.ground.event.draw_words
        return Draw(words).stream("practice", self.group.division, self.group.title, str(self.wish.number), *name)

    def _sets(self) -> Iterator[tuple[str, Rows, str]]:
        """Title, items and a remark of every set drawn for practice, in the order in which they are offered."""
        if self.needs.calls:
            yield "What needs it most", self._heavy(self.needs.weight, "most"), "drawn by what was missed"
        for one in unlike(self._sealed, self._balanced, lambda sets: [*map(_items, sets)]):
            yield one.id, _items(one), "balanced as on the day"
        allowed = self.ground.syllabus.allowed(self._rules.name, self._rules.first_last)
        yield "Easier", self._heavy(third(allowed, hard=False), "easier"), "large, or near where a book is opened"
        yield "Harder", self._heavy(third(allowed, hard=True), "harder"), "small, and far from where a book is opened"
        for day in self.days:
            yield f"Day {day.day}", day.calls, "of the plan of ten minutes a day"

    def _heavy(self, weight: Mapping[str, float], name: str) -> Rows:
        calls = self._rules.calls

        def draw(attempt: int) -> Rows:
            return weighted(self.ground.syllabus, weight, calls, self._stream(name, str(attempt)))

        return unlike(self._sealed, draw, lambda row: [row])

    def _balanced(self, attempt: int) -> tuple[CallSet, ...]:
        """Sets as the day's are drawn, with another secret."""
        draw = Draw(self.ground.event.draw_words, f"practice {self.group.title} {self.wish.number} {attempt}")
        wanted = [SetNeed(f"Mixed {number}", "practice", None, None) for number in range(1, MIXED + 1)]
        try:
            return draw_call_sets(self._rules, wanted, self.ground.syllabus, draw).sets
        except Refusal as reason:
            if self.wish.calls is None:
                raise
            usual = self.ground.event.division(self.group.division).calls  # no settings need to change for practice
            cure = f"Ask for fewer with --calls; without it a set has {usual} calls, as on the day."
            said = f"{self.group.title}: a balanced set of {self.wish.calls} calls can't be drawn."
            raise Refusal(said, reason.shortages, (cure,), reason.proven) from None

    def _call(self, number: int, item: str) -> Call:
        return call_of(self.ground.syllabus, number, item)

    def _page_set(self, title: str, items: Rows, aside: str) -> PageSet:
        calls = tuple(page_call(self._call(number, item)) for number, item in enumerate(items, 1))
        more = self._more_seconds()
        alone = len(self.group.members) == 1
        seconds = self._rules.seconds + (more.get(1, 0) if alone else 0)
        signals = () if alone else tuple(OwnSignal(seconds + own, (line,)) for line, own in more.items())
        return PageSet(title, title, seconds, calls, aside, signals)

    def _more_seconds(self) -> dict[int, int]:
        """Line -> seconds more, or fewer, than the division's, for children with a time of their own. Never why."""
        if self.ground.day is None:
            return {}
        usual = self.ground.event.division(self.group.division).seconds
        children = self.ground.day.roster.contestant
        own = {line: children[member].seconds for line, member in enumerate(self.group.members, 1)}
        return {line: seconds - usual for line, seconds in own.items() if seconds is not None and seconds != usual}

    def _of_the_day(self) -> Iterator[PageSet]:
        """The sets that this division heard, once the day is over."""
        if self.ground.day is None or self.ground.state != "over":
            return
        heats = {heat.call_set: heat.round for heat in self.ground.day.plan.heats}
        for one in self.ground.day.called.sets:
            if one.division == self.group.division and one.id in heats:
                calls = tuple(page_call(call) for call in one.calls)
                after = "drill-off" if one.use == "drill_off" else "finals"
                when = f"round {heats[one.id]}" if one.use == "rotation" else after
                yield PageSet(one.id, f"The day, {when}, {one.id}", one.seconds, calls, "as it was called")

    def _basis(self) -> Iterator[str]:
        if self.needs.calls:
            noted = counted(self.needs.calls, "call that was noted", "calls that were noted")
            yield f"Chosen from {noted}: what was missed more often comes first."
        elif self.ground.state == "sealed":
            yield "The day is not over, so nothing of its results is used here: all is weighed alike."
        else:
            yield "Nothing has been noted yet: all is weighed alike."
        yield NOTES[self.ground.state]

    def _plan_day(self, day: PracticeDay) -> PlanDay:
        name = self.ground.syllabus.item
        calls = tuple(
            PlanCall(name(item).name, "new" if item in day.new else "again" if item in day.again else "mixed")
            for item in day.calls
        )
        pairs = tuple((name(pair.first).name, name(pair.second).name) for pair in day.pairs)
        return PlanDay(day.day, self.ground.syllabus.section_name(day.section), calls, pairs)

    def _cards(self) -> Iterator[Card]:
        """One for each item, on the day on which it is new for the first time."""
        seen: set[str] = set()
        for day in self.days:
            for item in [item for item in day.calls if item in day.new and item not in seen]:
                seen.add(item)
                call = self._call(1, item)
                yield card_of(self.ground.syllabus, item, call.say, call.answer, day.day)


def _items(one: CallSet) -> Rows:
    return tuple(call.item for call in one.calls)
