"""From what the chief judge says to a ruling: checked against the plan and against what has come in.

Every function returns the ruling, or raises Refusal with what would be right.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import TypeVar

from tourney.errors import Refusal
from tourney.model.calls import CallBook
from tourney.model.decisions import Decisions
from tourney.model.names import meant
from tourney.model.people import Roster
from tourney.model.plan import Heat, Plan
from tourney.model.ruling import (
    Correct,
    CountVersion,
    Disqualify,
    Letters,
    LostSheet,
    NoShow,
    Reopen,
    Ruled,
    SettleCall,
    Started,
    Substitute,
    Swap,
    Void,
)
from tourney.model.sheet import FilledSheet
from tourney.model.sheet_layout import in_zone, sheet_code
from tourney.scoring.marks import reading_of
from tourney.scoring.words import listing

T = TypeVar("T")


@dataclass(frozen=True)
class Docket:
    """What rulings are made from. sheets: those that count. versions: all that came in, in their order."""

    plan: Plan
    book: CallBook
    roster: Roster
    sheets: tuple[FilledSheet, ...]
    versions: tuple[FilledSheet, ...]
    rulings: tuple[Ruled, ...]
    decisions: Decisions

    def correct(self, code: str, line: int, call: int, letters: Letters) -> Correct:
        """One cell of one sheet that has come in."""
        found = _named(self.sheets, lambda sheet: sheet.code, code)
        if found is None:
            _sheet_code(self.plan, code)
            raise Refusal(
                f"Sheet {code} has not come in, or does not count yet: there is nothing to correct.",
                cures=("Collect it first.", "If it is lost: settle CODE --lost."),
            )
        self._cell(self.plan.heat[found.heat], line, call)
        zone = self.plan.event.division(self.plan.heat[found.heat].division).zone(found.judge)
        if zone and not in_zone(line, zone):
            raise Refusal(
                f"Line {line} is not in the zone of sheet {found.code}, which has lines {zone[0]} to {zone[1]}.",
                cures=("Correct the sheet of a judge who watches that line.",),
            )
        before = reading_of(found, self.decisions.corrected)(line, call)
        if before == letters:
            raise Refusal(f"Sheet {found.code} says that already in line {line}, call {call}.")
        return Correct(found.code, line, call, letters, before)

    def void(self, wave: str, call: int, heat: str, division: str, rejudged: bool) -> Void:
        """A call that went wrong in one heat, or in all heats of a division in a wave (heat is empty then).

        As the division's `void` setting says: a reserve call like it is used where the heats have heard none of it
        yet; otherwise the call counts for nobody in the wave, or not in these heats.
        """
        group = self._heard_together(wave, division or (self._heat(heat).division if heat else ""))
        hit = (self._heat(heat),) if heat else group
        if heat and hit[0] not in group:
            raise Refusal(f"{hit[0].id} is not a heat of wave {wave}: it is in {hit[0].wave}.")
        rules, calls = self.plan.event.division(hit[0].division), self.book.set[hit[0].call_set]
        if not 1 <= call <= len(calls.calls):
            raise Refusal(f"There is no call {call}: this set has calls 1 to {len(calls.calls)}.")
        given = next((self.decisions.void[one.id, call] for one in hit if (one.id, call) in self.decisions.void), None)
        if given is not None and given.reserve is not None and rejudged and not given.rejudged:
            return Void(tuple(one.id for one in hit), call, given.reserve, rejudged=True)
        reserve = self._reserve(hit, call) if rules.void.startswith("reserve") else None
        if reserve is None and rules.void.endswith("wave"):
            hit = group
        return Void(tuple(one.id for one in hit), call, reserve, rejudged and reserve is not None)

    def swap(self, heat: str, line: int, other: int) -> Swap:
        """Two line numbers of one heat."""
        found = self.decisions.as_stood(self._heat(heat))
        for number in (line, other):
            _within("line", number, len(found.line), found.id)
        if line == other:
            raise Refusal("A swap needs two different line numbers.")
        return Swap(found.id, line, other)

    def substitute(self, heat: str, line: int, contestant: str) -> Substitute:
        """A member of the same team who does not stand in that line yet."""
        found = self.decisions.as_stood(self._heat(heat))
        _within("line", line, len(found.line), found.id)
        who, out = self._contestant(contestant), found.line[line - 1]
        team = next(team for team in self.plan.teams if out in team.members)
        if who not in team.members:
            free = [member for member in team.members if member not in found.line]
            cure = f"Free in {team.name}: {listing(free)}." if free else f"{team.name} has nobody else."
            raise Refusal(f"{who} is not of {team.name}, whose line {line} is.", cures=(cure,))
        if who in found.line:
            raise Refusal(f"{who} stands in that heat already, on line {found.line.index(who) + 1}.")
        return Substitute(found.id, line, who, out)

    def no_show(self, who: str, heat: str) -> NoShow:
        """A contestant or a team, in one heat or in all of its heats (heat is empty then)."""
        key = self._who(who)
        theirs = tuple(
            one.id for one in map(self.decisions.as_stood, self.plan.heats) if key in one.line or key in one.teams
        )
        if heat and self._heat(heat).id not in theirs:
            raise Refusal(
                f"{key} was not to stand in {self._heat(heat).id}.", cures=(f"Theirs: {listing([*theirs])}.",)
            )
        if not theirs:
            raise Refusal(f"{key} stands in no heat.")
        return NoShow(key, (self._heat(heat).id,) if heat else theirs)

    def disqualify(self, who: str) -> Disqualify:
        """A contestant or a team."""
        key = self._who(who)
        if key in self.decisions.disqualified:
            raise Refusal(f"{key} is disqualified already.")
        return Disqualify(key)

    def count_version(self, code: str, version: int) -> CountVersion:
        """One of the versions of a sheet that came in more than once."""
        known = _sheet_code(self.plan, code)
        versions = [sheet for sheet in self.versions if sheet.code == known]
        if len(versions) < 2:
            raise Refusal(f"Sheet {known} came in {'once' if versions else 'never'}: there is nothing to settle.")
        _within("version", version, len(versions), f"sheet {known}")
        return CountVersion(known, version)

    def lost_sheet(self, code: str) -> LostSheet:
        """A sheet that is still out, of a heat with another judge."""
        known = _sheet_code(self.plan, code)
        if any(sheet.code == known for sheet in self.versions):
            raise Refusal(f"Sheet {known} has come in: it is not lost.")
        heat = next(heat for heat in self.plan.heats if known in _codes(heat))
        division = self.plan.event.division(heat.division)
        zone = division.zone(_codes(heat).index(known) + 1)
        beside = [code for judge, code in enumerate(_codes(heat), 1) if code != known and division.zone(judge) == zone]
        if all(other in self.decisions.lost for other in beside):
            lines = f" for lines {zone[0]} to {zone[1]}" if zone else " at all"
            raise Refusal(
                f"{heat.id} would have no sheet{lines}.",
                cures=("Let the heat be drilled anew, or settle its calls one by one.",),
            )
        return LostSheet(known)

    def settle_call(self, heat: str, line: int, call: int, letters: Letters) -> SettleCall:
        """The panel's word on one call of one contestant."""
        found = self._heat(heat)
        self._cell(found, line, call)
        return SettleCall(found.id, line, call, letters)

    def reopen(self, number: int) -> Reopen:
        """A ruling that stands, by the number of its row."""
        found = next((ruled for ruled in self.rulings if ruled.number == number), None)
        if found is None or isinstance(found.ruling, Reopen):
            numbers = [str(ruled.number) for ruled in self.rulings if not isinstance(ruled.ruling, Reopen)]
            cure = f"Rulings have the numbers {listing(numbers)}." if numbers else "Nothing was ruled yet."
            raise Refusal(f"Row {number} of the record is no ruling that can be taken back.", cures=(cure,))
        if not found.stands:
            raise Refusal(f"The ruling of row {number} was taken back already.", cures=("Rule again instead.",))
        return Reopen(number)

    def started(self, wave: str, at: str) -> Started:
        """The real start of a wave. at: "HH:MM"."""
        return Started(self._wave(wave), at)

    def _heat(self, heat: str) -> Heat:
        found = _named(self.plan.heats, lambda one: one.id, heat)
        if found is None:
            raise Refusal(f"There is no heat {heat}.", cures=("Heats are called as on the sheets, such as "
                          f"{self.plan.heats[0].id}.",))  # fmt: skip
        return found

    def _wave(self, wave: str) -> str:
        found = _named(self.plan.waves, lambda one: one.id, wave)
        if found is None:
            raise Refusal(f"There is no wave {wave}.", cures=(f"Waves run from {self.plan.waves[0].id} to "
                          f"{self.plan.waves[-1].id}.",))  # fmt: skip
        return found.id

    def _cell(self, heat: Heat, line: int, call: int) -> None:
        _within("line", line, len(heat.line), heat.id)
        calls = self.book.set[heat.call_set]
        _within("call", call, len(calls.calls), heat.id)
        if call not in [heard.no for heard in self.decisions.heard(heat.id, calls)]:
            raise Refusal(f"Call {call} of {heat.id} was made void: nothing under it counts.")

    def _contestant(self, who: str) -> str:
        found = _named(self.roster.contestants, lambda child: child.id, who)
        if found is None:
            raise Refusal(f"There is no contestant {who}.", cures=("Contestants go by their numbers, such as "
                          f"{self.roster.contestants[0].id}: the results workbook lists them.",))  # fmt: skip
        return found.id

    def _who(self, who: str) -> str:
        """A team or a contestant by number, or by a name that only one of them has."""
        names = {team.id: team.name for team in self.plan.teams}
        names |= {child.id: child.name for child in self.roster.contestants}
        found = meant(who, names)
        if len(found) == 1:
            return found[0]
        if found:
            raise Refusal(f"{len(found)} are called {who}.", cures=(f"Say which by its number: {listing([*found])}.",))
        such = f"{self.plan.teams[0].id} and {self.roster.contestants[0].id}"
        cure = f"Teams and contestants go by numbers such as {such}, or by their names."
        raise Refusal(f"There is no team and no contestant {who}.", cures=(cure,))

    def _heard_together(self, wave: str, division: str) -> tuple[Heat, ...]:
        """All heats of one division in a wave: they share a call set."""
        heats = [heat for heat in self.plan.heats if heat.wave == self._wave(wave)]
        names = sorted({heat.division for heat in heats})
        known = _named(names, str, division) if division else names[0] if len(names) == 1 else None
        if known is None and division:
            raise Refusal(f"Wave {wave} has no heat of {division}.", cures=(f"It has heats of {listing(names)}.",))
        if known is None:
            raise Refusal(
                f"Wave {wave} has heats of {listing(names)}, and each heard calls of its own.",
                cures=("Add --division NAME, or --heat for one heat.",),
            )
        return tuple(heat for heat in heats if heat.division == known)

    def _reserve(self, hit: Sequence[Heat], call: int) -> int | None:
        """Number of the reserve call most like it that none of these heats has heard; None when there is none."""
        calls = self.book.set[hit[0].call_set]
        here = {heat.id for heat in hit}
        heard = {void.reserve for (heat, _), void in self.decisions.void.items() if heat in here}
        like = [
            (abs(reserve.difficulty - calls.calls[call - 1].difficulty), number)
            for number, reserve in enumerate(calls.reserves, 1)
            if number not in heard and call in calls.replaceable(reserve)
        ]
        return min(like)[1] if like else None


def _codes(heat: Heat) -> tuple[str, ...]:
    return tuple(sheet_code(heat.id, judge) for judge in range(1, len(heat.judges) + 1))


def _sheet_code(plan: Plan, code: str) -> str:
    found = _named([known for heat in plan.heats for known in _codes(heat)], str, code)
    if found is None:
        raise Refusal(f"No sheet has the code {code}.", cures=("Codes stand at the top of each sheet, such as "
                      f"{_codes(plan.heats[0])[0]}.",))  # fmt: skip
    return found


def _named(things: Iterable[T], name: Callable[[T], str], wanted: str) -> T | None:
    """The thing of that name; capitals and spaces around it do not matter."""
    key = wanted.strip().casefold()
    return next((thing for thing in things if name(thing).casefold() == key), None)


def _within(what: str, number: int, most: int, where: str) -> None:
    if not 1 <= number <= most:
        raise Refusal(f"There is no {what} {number} in {where}: it has {what}s 1 to {most}.")
