"""Whole rehearsed days with the truth beside them: is what was planted in children, judges and items found again.

The plan is drawn once; each day plays all its heats with other children, other judges and other items: an item is as
hard as its search index says, give or take 0.7 bits, and reviews start from the index alone. Sheets are those that
judges hand in after being asked; files are left out, since reading them changes no mark.
"""

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from statistics import fmean

import numpy as np

from tourney.canon.syllabus import Syllabus
from tourney.draw import Draw, digest
from tourney.intake.folder import read_folder
from tourney.model.calls import CallBook
from tourney.model.event import Points
from tourney.model.heard import Heard
from tourney.model.people import Roster
from tourney.model.plan import Heat, Plan
from tourney.model.sheet import LETTERS, FilledSheet, Letter, Marked, SheetEntries
from tourney.model.sheet_layout import sheet_code
from tourney.planning.plan import plan_day
from tourney.planning.roster import enrol
from tourney.resources import sample_events
from tourney.review.calibration import Calibration, calibrate
from tourney.review.intervals import Z95, wilson
from tourney.review.judges import judge_reviews
from tourney.review.practice_need import needs, tries
from tourney.review.rasch import Floats, fit_rasch
from tourney.scoring.heard import heard_calls
from tourney.scoring.heats import score_heats
from tourney.scoring.marks import points_of
from tourney.simulation.contestants import ANSWER_EASE, CARE, EASE, PER_BIT, WRONG_PLACE, ability
from tourney.simulation.judges import severity
from tourney.simulation.rehearsal import simulate

DAYS = 30
ITEMS_SD = 0.7  # bits
WIDE = 30.0  # logits: as good as no prior

Off = dict[str, list[float]]


@dataclass(frozen=True)
class Truth:
    """A played day. able: child -> logits. bits: item -> difficulty. heard: of the rounds."""

    plan: Plan
    syllabus: Syllabus
    draw: Draw
    able: dict[str, float]
    bits: dict[str, float]
    heard: tuple[Heard, ...]

    @property
    def there(self) -> list[Heard]:
        """The calls for which somebody was there."""
        return [one for one in self.heard if one.there]

    def ease(self, one: Heard) -> float:
        """Logits of finding it in time."""
        return EASE + self.able[one.contestant] - PER_BIT * self.bits[one.call.item]

    def missed(self, one: Heard) -> float:
        """The chance that it is late, in a wrong place, or answered wrongly."""
        lost = _logistic(-self.ease(one))
        return lost + (1 - lost) * self.answered_wrongly(one)

    def answered_wrongly(self, one: Heard) -> float:
        """The chance of a wrong spoken answer once it is found."""
        return _logistic(-ANSWER_EASE - self.able[one.contestant]) if one.asked else 0.0


def rehearsed_days() -> Iterator[Truth]:
    """DAYS days on the plan of the large sample event."""
    found = read_folder(sample_events() / "lantern_coast")
    assert found.event is not None
    roster = enrol(found.teams, found.officials, found.event, None)
    plan, book = plan_day(found.event, roster, found.syllabus, "a secret", digest("inputs"))
    yield from (_day(plan, book, roster, found.syllabus, day) for day in range(DAYS))


def _day(plan: Plan, book: CallBook, roster: Roster, syllabus: Syllabus, number: int) -> Truth:
    draw, chance = Draw(f"day {number}"), np.random.default_rng([number, 3])
    bits = {item.id: item.difficulty + float(chance.normal(0, ITEMS_SD)) for item in syllabus.items}
    sets = [
        replace(one, calls=tuple(replace(call, difficulty=bits[call.item]) for call in one.calls)) for one in book.sets
    ]
    played = simulate(plan, replace(book, sets=tuple(sets)), roster, draw)
    handed_in = {entries.code: entries for entries in (*played.entries, *played.corrections)}
    sheets = [
        _sheet(handed_in[code], heat, judge)
        for heat in plan.heats
        for judge in range(1, len(heat.judges) + 1)
        if (code := sheet_code(heat.id, judge)) in handed_in
    ]
    team_of = {child: team for team in plan.teams for child in team.members}
    able = {child.id: ability(child, team_of[child.id], draw) for child in roster.contestants if child.id in team_of}
    return Truth(plan, syllabus, draw, able, bits, heard_calls(plan, book, score_heats(plan, book, sheets)))


def _sheet(entries: SheetEntries, heat: Heat, judge: int) -> FilledSheet:
    """What is read of a sheet. Cells that nobody could read don't come up: such sheets were asked back."""
    marks = tuple(
        Marked(at, call, letters)
        for (at, call), typed in sorted(entries.cells.items())
        if (letters := tuple(letter for letter in LETTERS if letter in typed.upper()))
    )
    judged = tuple(call for call, typed in entries.ticked.items() if typed)
    return FilledSheet(entries.code, heat.id, judge, 1, entries.initials, heat.line, marks, judged)


def severities(day: Truth) -> tuple[list[float], list[bool], list[float]]:
    """Estimate less truth of each judge in points of 100, whether the interval holds it, and the peer's difference."""
    found = [one for one in judge_reviews(day.heard, day.plan.event).judges if one.severity]
    group_of = {one.official: one.severity.group for one in found if one.severity}
    taken = {judge: fmean(_taken_off(day, severity(judge, day.draw))) for judge in group_of}
    true = _less_group_mean(taken, group_of)
    plain = _less_group_mean(_least_squares(day, list(group_of)), group_of)
    off, held = [], []
    for one in found:
        assert one.severity is not None
        off.append(one.severity.value - true[one.official])
        held.append(abs(off[-1]) < Z95 * one.severity.se)
    return off, held, [plain[judge] - true[judge] for judge in group_of]


def _taken_off(day: Truth, strictness: float) -> Iterator[float]:
    """Points of 100 that such a judge takes off each call of the day on average, by the model of the rehearsal."""
    for one in day.there:
        scale = day.plan.event.division(one.heat.division).points

        lost, handling = _logistic(strictness - day.ease(one)), _logistic(strictness - CARE)
        wrong = day.answered_wrongly(one)
        fingers = WRONG_PLACE * _cost("W", scale) + (1 - WRONG_PLACE) * _cost("L", scale)
        yield lost * fingers + (1 - lost) * (wrong * _cost("S", scale) + handling * _cost("H", scale))


def _cost(letter: Letter, scale: Points) -> float:
    return 100 - 100 * points_of((letter,), scale) / scale.call


def _least_squares(day: Truth, judges: list[str]) -> dict[str, float]:
    """Plain numpy: each child in each heat has a mean of its own, each judge an effect; no shrinkage."""
    taken: dict[tuple[str, str, str], list[float]] = defaultdict(list)
    for one in day.there:
        worth = day.plan.event.division(one.heat.division).points.call
        if all(given is not None for given in one.given):
            for judge, given in zip(one.heat.judges, one.given, strict=True):
                taken[one.heat.id, one.contestant, judge].append(100 - 100 * (given or 0) / worth)
    subjects = {key: number for number, key in enumerate(sorted({key[:2] for key in taken}))}
    place = {judge: number for number, judge in enumerate(judges)}
    design, values = np.zeros((len(taken), len(judges))), np.array([fmean(row) for row in taken.values()])
    who = np.array([subjects[key[:2]] for key in taken])
    design[np.arange(len(taken)), [place[judge] for *_, judge in taken]] = 1
    for column in (*design.T, values):
        column -= (np.bincount(who, column) / np.bincount(who))[who]
    found: Floats = np.linalg.lstsq(design, values, rcond=None)[0]
    return dict(zip(judges, found.tolist(), strict=True))


def _less_group_mean(values: dict[str, float], group_of: dict[str, int]) -> dict[str, float]:
    mean = {group: fmean(values[key] for key in values if group_of[key] == group) for group in set(group_of.values())}
    return {key: value - mean[group_of[key]] for key, value in values.items()}


def difficulties(day: Truth) -> tuple[Off, list[bool], float]:
    """Estimate less truth of each item in bits, whether the interval holds it; and what a bit is worth, less truth."""
    prior = {item.id: item.difficulty for item in day.syllabus.items}
    found = calibrate(day.heard, prior)
    told = [one for one in found.items if one.heard]
    true = np.array([day.bits[one.item] for one in told])

    def off(values: Iterable[float]) -> Floats:
        apart = np.array(list(values)) - true
        return np.asarray(apart - apart.mean())

    ours = off(one.difficulty for one in told)
    held = [bool(abs(apart) < Z95 * one.se) for apart, one in zip(ours, told, strict=True)]
    rows = {
        "ours": ours.tolist(),
        "prior": off(one.prior for one in told).tolist(),
        "joint": off(_joint(day, found)).tolist(),
    }
    return rows, held, found.logits_a_bit - PER_BIT


def _joint(day: Truth, found: Calibration) -> Iterator[float]:
    """Difficulties by joint maximum likelihood, in bits of the truth's worth."""
    items = {one.item: number for number, one in enumerate(found.items) if one.heard}
    place = {key: number for number, key in enumerate(items)}
    child = {key: number for number, key in enumerate(sorted({one.contestant for one in day.there}))}
    made = np.zeros((2, len(child), len(items)))
    for one in day.there:
        made[:, child[one.contestant], place[one.call.item]] += 1, bool(one.found)
    fit = fit_rasch(made[0], made[1], np.zeros(len(items)), WIDE, WIDE)
    yield from (fit.difficulty / PER_BIT).tolist()


def children(day: Truth) -> tuple[list[float], list[bool], list[bool]]:
    """Part found less its chance, child by child; whether Wilson's interval holds the chance, and a normal one."""
    off, held, plain = [], [], []
    for own in _by(day.there, lambda one: one.contestant).values():
        chance, hits = fmean(_logistic(day.ease(one)) for one in own), sum(bool(one.found) for one in own)
        share = hits / len(own)
        low, high = wilson(hits, len(own))
        off.append(share - chance)
        held.append(low <= chance <= high)
        plain.append(abs(share - chance) <= Z95 * float(np.sqrt(share * (1 - share) / len(own))))
    return off, held, plain


def rates(day: Truth) -> Off:
    """Believed rate of misses less its chance, for each child and section; and what a count alone would say."""
    off: Off = {"ours": [], "count": [], "division": []}
    for name, heard in _by(day.there, lambda one: one.heat.division).items():
        allowed = day.syllabus.allowed(name, day.plan.event.division(name).first_last)
        whole = tries(heard)
        for own in _by(heard, lambda one: one.contestant).values():
            sections = _by(own, lambda one: one.call.section)
            for row in needs(allowed, tries(own), whole).sections:
                if row.calls:
                    chance = fmean(map(day.missed, sections[row.section]))
                    off["ours"].append(row.rate - chance)
                    off["count"].append(row.missed / row.calls - chance)
                    off["division"].append(row.division_rate - chance)
    return off


def _by(heard: Iterable[Heard], key: Callable[[Heard], str]) -> dict[str, list[Heard]]:
    found: dict[str, list[Heard]] = defaultdict(list)
    for one in heard:
        found[key(one)].append(one)
    return found


def _logistic(value: float) -> float:
    return float(1 / (1 + np.exp(-value)))
