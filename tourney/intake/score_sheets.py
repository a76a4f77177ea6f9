"""Filled score sheets -> marks, nothing guessed. Everything is found by the tags inside, never by a name or a place."""

import itertools
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from tourney.intake.csv_text import SEPARATORS, decoded, is_text, numbered_rows
from tourney.intake.grid import MOST_BYTES, Grid, Place, Unreadable, cell_name, too_large
from tourney.intake.hand_totals import HandTotals
from tourney.intake.marks import advice, is_tick, letters_of, plain, quoted
from tourney.intake.reader import open_workbook
from tourney.intake.sheet_frame import Frame, Refused, displaced, find_frame
from tourney.model.event import Points
from tourney.model.names import called
from tourney.model.people import Contestant
from tourney.model.plan import Plan
from tourney.model.sheet import FilledSheet, Marked, SheetNote, SheetReading
from tourney.model.sheet_layout import TICK, Zone, event_mark, in_zone, sheet_code

_NO_SCORE_SHEET = (
    "There is no score sheet in this file. "
    "Fill the workbook from the papers folder itself, not a copy of what it shows."
)


def read_score_sheets(
    file: str, content: bytes, plan: Plan, people: Mapping[str, Contestant]
) -> tuple[SheetReading, ...]:
    """What each score sheet of a file says, in the file's order. file: the name to show to people.

    people: by id; names on a sheet must stand beside the tags of the same children.

    The file may be a workbook of any kind, or one sheet saved as CSV: its hidden tags travel along.
    Sheets in which nothing was filled in yet, and sheets of other kinds, are left out; a file that can't be read, or
    holds no score sheet at all, is one refused reading with an empty sheet and code. Raises nothing.
    """
    return read_sheets(file, open_sheets(content), plan, people)


def open_sheets(content: bytes) -> Sequence[Grid] | Unreadable:
    """The sheets of a file, or why it can't be read: what takes longest, and needs no plan."""
    try:
        return _grids(content)
    except Unreadable as reason:
        return reason


def read_sheets(
    file: str, grids: Sequence[Grid] | Unreadable, plan: Plan, people: Mapping[str, Contestant]
) -> tuple[SheetReading, ...]:
    """What `read_score_sheets` tells, of a file that is open."""
    if isinstance(grids, Unreadable):
        return (_refused(file, "", "", f"This file {grids.message} {grids.hint}"),)
    readings = []
    score_sheets = False
    for grid in grids:
        frame = None
        try:
            frame = find_frame(grid)
            score_sheets = score_sheets or frame is not None
            reading = _read(file, grid, frame, plan, people) if frame else None
        except Refused as reason:
            score_sheets = True
            reading = _refused(file, grid.name, frame.identity.code if frame else "", str(reason))
        if reading:
            readings.append(reading)
    return tuple(readings) if score_sheets else (_refused(file, "", "", _NO_SCORE_SHEET),)


def _grids(content: bytes) -> Sequence[Grid]:
    if not is_text(content):
        return open_workbook(content)
    if len(content) > MOST_BYTES:
        raise too_large()
    text = decoded(content)
    separator = max(SEPARATORS, key=text.count)  # a score sheet has one for each of its boxes
    return [Grid("", [row for _, row in numbered_rows(text, separator)], formulas_known=False)]


def _refused(file: str, sheet: str, code: str, why: str) -> SheetReading:
    return SheetReading(file, sheet, code, "refused", None, (SheetNote(sheet, why),))


def _read(file: str, grid: Grid, frame: Frame, plan: Plan, people: Mapping[str, Contestant]) -> SheetReading | None:
    """One sheet's reading, None where nothing is filled in. Refused when it does not belong to the plan."""
    boxes = grid.near([*frame.lines.values(), frame.judged], list(frame.calls.values()))
    entries = _Entries(boxes, frame)
    if entries.empty:
        return None
    _belongs(frame, plan)
    _names_agree(grid, frame, people)
    frame = _as_planned(frame, plan)
    division = plan.event.division(plan.heat[frame.identity.heat].division)
    zone = division.zone(frame.identity.judge)
    entries = _Entries(boxes, frame, zone)
    entries.read()
    entries.compare_totals(division.points)
    identity = frame.identity
    filled = FilledSheet(
        code=identity.code,
        heat=identity.heat,
        judge=identity.judge,
        revision=identity.revision,
        initials=entries.initials,
        contestants=frame.contestants,
        marks=tuple(entries.marks),
        judged=tuple(entries.judged),
        open_cells=tuple(entries.open_cells),
        notes=tuple(entries.notes),
        comments=tuple(entries.comments),
    )
    notes = (
        *filled.notes,
        *(SheetNote(at.where, f'Somebody wrote beside it: "{at.message}"') for at in filled.comments),
    )
    return SheetReading(file, grid.name, identity.code, "noted" if notes else "accepted", filled, notes)


def _belongs(frame: Frame, plan: Plan) -> None:
    """Refused, with the reason, unless the sheet is one of this event and still stands in the plan."""
    identity = frame.identity
    if identity.event != event_mark(plan.draw.secret):
        raise Refused("This sheet belongs to another event. Use the sheets from this event's papers folder.")
    heat = plan.heat.get(identity.heat)
    if heat is None:
        raise Refused(f"The plan has no heat {identity.heat}. Use the sheets of plan {plan.revision}.")
    if not 1 <= identity.judge <= len(heat.judges):
        raise Refused(f"Heat {heat.id} has {len(heat.judges)} judges, but this sheet is for judge {identity.judge}.")
    if identity.code != sheet_code(identity.heat, identity.judge):
        raise Refused(
            f"The code of this sheet should be {sheet_code(identity.heat, identity.judge)} and is {identity.code}: "
            "its hidden first cell was changed. Copy the marks onto a fresh sheet."
        )
    if identity.revision > plan.revision:
        raise Refused(
            f"This sheet is of plan {identity.revision}, but this folder holds plan {plan.revision}. "
            "Collect it in the folder that made it."
        )
    if identity.revision < heat.since:
        raise Refused(
            f"This sheet is of plan {identity.revision}, but since plan {heat.since} heat {heat.id} hears other calls "
            f"or has another line. Use its sheet of plan {heat.since} or later."
        )
    if frame.contestants != heat.line and not _only_left(
        frame.contestants, heat.line, identity.revision < plan.revision
    ):
        if identity.revision < plan.revision:
            raise Refused(
                f"This sheet is of plan {identity.revision}; since then the line of heat {heat.id} has changed. "
                f"Copy the marks onto the sheet of plan {plan.revision}, contestant by contestant."
            )
        theirs = next((found for found in plan.heats if found.line == frame.contestants), None)
        if theirs:
            raise Refused(
                f"The contestants on this sheet are those of heat {theirs.id} ({theirs.division}), but its code "
                f"is of heat {heat.id} ({heat.division}). Copy the marks onto the sheet of the heat where they stood."
            )
        raise Refused(
            f"The lines of this sheet are not those of heat {heat.id}: rows were deleted or changed. "
            "Copy the marks onto a fresh sheet."
        )


def _names_agree(grid: Grid, frame: Frame, people: Mapping[str, Contestant]) -> None:
    """Refused where a line shows the name of somebody else who stands in it: names were sorted without their tags.

    A name that nobody in the line has is no reason: somebody may have corrected the spelling.
    """
    callings = [{child, called(people[child])} if child in people else {child} for child in frame.contestants]
    known = {word.casefold(): line for line, words in enumerate(callings) for word in words}
    for column in range(frame.tags + 1, min(frame.calls.values(), default=0)):
        for words, row in zip(callings, frame.lines.values(), strict=True):
            first = plain(grid.at((row, column))).partition(" ")[0].partition("\n")[0]
            if first.casefold() in known and first.casefold() not in {word.casefold() for word in words}:
                raise displaced()


def _only_left(printed: Sequence[str], line: Sequence[str], older: bool) -> bool:
    """Is the line the one of an older sheet without some who left since."""
    return older and tuple(child for child in printed if child in line) == tuple(line)


def _as_planned(frame: Frame, plan: Plan) -> Frame:
    """The frame without the rows of those who left, lines numbered as in the plan, and without calls left out."""
    heat = plan.heat[frame.identity.heat]
    rows = dict(zip(frame.contestants, frame.lines.values(), strict=True))
    left_out = next((row.calls for row in plan.left_out if row.call_set == heat.call_set), ())
    return replace(
        frame,
        lines={number: rows[child] for number, child in enumerate(heat.line, 1)},
        calls={call: column for call, column in frame.calls.items() if call not in left_out},
        contestants=heat.line,
        gone={row: child for child, row in rows.items() if child not in heat.line},
    )


@dataclass(frozen=True, slots=True)
class _Unclear:
    """A box that was left open. what: is odd about it. cure: what to type instead."""

    line: int
    call: int
    place: Place
    what: str
    cure: str

    def kind(self, number: int) -> tuple[int, int, str, str]:
        """The same for boxes of a line that lie side by side and say the same. number: of the box among all."""
        return self.line, self.call - number, self.what, self.cure


@dataclass
class _Entries:
    """What stands in the entry cells of one sheet. zone: the lines that its judge marks."""

    grid: Grid
    frame: Frame
    zone: Zone | None = None
    initials: str = ""
    marks: list[Marked] = field(default_factory=list)
    judged: list[int] = field(default_factory=list)
    open_cells: list[tuple[int, int]] = field(default_factory=list)
    notes: list[SheetNote] = field(default_factory=list)
    comments: list[SheetNote] = field(default_factory=list)

    @property
    def empty(self) -> bool:
        """True when nobody has filled in anything yet."""
        places = [*(place for _, _, place in self._boxes()), *(place for _, place in self._ticks())]
        if self.frame.initials:
            places.append(self.frame.initials)
        return not self.grid.comments and not any(map(self._filled, places))

    def read(self) -> None:
        """Fill the lists from the grid."""
        for call, place in self._ticks():
            self._read_tick(call, place)
        unclear: list[_Unclear] = []
        for line, call, place in self._boxes():
            if not in_zone(line, self.zone):
                if self._filled(place):
                    self._note_other_zone(line, call, place)
            elif found := self._read_box(line, call, place):
                unclear.append(found)
        self._note_unclear(unclear)
        self._note_calls_without_tick()
        for place in self.frame.strays(self.grid):
            self._note(place, f"{quoted(self.grid.at(place))} stands beside the lines and was not read.")
        for row, child in self.frame.gone.items():
            self._note_gone(row, child)
        if self.frame.initials:
            self.initials = plain(self.grid.at(self.frame.initials))
        if not self.initials:
            self._note(self.frame.initials, "The judge's initials are missing. Ask the judge to add them.")
        for place, text in sorted(self.grid.comments.items()):
            self.comments.append(SheetNote(self._where(place), plain(text)))

    def compare_totals(self, scale: Points) -> None:
        """Note every total typed by hand that the marks of its line don't come to."""
        if not self.grid.formulas_known:  # what looks typed may have been computed
            return
        all_judged = len(self.judged) == len(self.frame.calls)
        for line, row in self.frame.lines.items():
            if not in_zone(line, self.zone):
                continue
            marks = [mark for mark in self.marks if mark.line == line]
            whole = all_judged and all(at != line for at, _ in self.open_cells)
            places = self.frame.totals.get(row, {})
            for place, words in HandTotals(self.grid, line, row, places, self.frame.calls, marks, whole).slips(scale):
                self._note(place, words)

    def _filled(self, place: Place) -> bool:
        return bool(plain(self.grid.at(place))) or place in self.grid.doubts

    def _boxes(self) -> Iterator[tuple[int, int, Place]]:
        for line, row in self.frame.lines.items():
            for call, column in self.frame.calls.items():
                yield line, call, (row, column)

    def _ticks(self) -> Iterator[tuple[int, Place]]:
        for call, column in self.frame.calls.items():
            yield call, (self.frame.judged, column)

    def _read_tick(self, call: int, place: Place) -> None:
        typed = self.grid.at(place)
        doubt = self.grid.doubt(place)
        ticked = None if doubt else is_tick(typed)
        if ticked:
            self.judged.append(call)
        elif ticked is None:
            what = doubt or f"says {quoted(typed)}"
            self._note(place, f"The tick of call {call} {what}: not judged. Type {TICK} if the call was judged.")

    def _read_box(self, line: int, call: int, place: Place) -> "_Unclear | None":
        """Take what stands in a box; or leave it open, and say what is odd about it."""
        typed = self.grid.at(place)
        doubt = self.grid.doubt(place)
        if typed == "" and not doubt:  # most boxes
            return None
        letters = None if doubt else letters_of(typed)
        if letters:
            self.marks.append(Marked(line, call, letters))
        if letters is not None:
            return None
        self.open_cells.append((line, call))
        return _Unclear(line, call, place, doubt or f"says {quoted(typed)}", advice("" if doubt else typed))

    def _note_unclear(self, boxes: Sequence["_Unclear"]) -> None:
        """A note for each, or one for neighbours in a line that say the same: a tick a line too high is one mistake."""
        for _, alike in itertools.groupby(enumerate(boxes), lambda found: found[1].kind(found[0])):
            first, *more = (box for _, box in alike)
            where = self._where(first.place)
            if not more:
                self.notes.append(SheetNote(where, f"Line {first.line}, call {first.call} {first.what}. {first.cure}"))
                continue
            calls = f"calls {first.call} to {more[-1].call}: each"
            where += f" to {cell_name(more[-1].place)}"
            self.notes.append(SheetNote(where, f"Line {first.line}, {calls} {first.what}. {first.cure}"))

    def _note_other_zone(self, line: int, call: int, place: Place) -> None:
        assert self.zone
        first, last = self.zone
        self._note(
            place,
            f"Line {line}, call {call} says {quoted(self.grid.at(place))}, but this judge marks "
            f"lines {first} to {last}: it was not taken. Show it to the chief judge.",
        )

    def _note_gone(self, row: int, child: str) -> None:
        """Name the first mark of a child who has left the line; that they were absent is no news."""
        for place in ((row, column) for column in self.frame.calls.values()):
            if self._filled(place) and letters_of(self.grid.at(place)) != ("N",):
                typed = f"{child} has left this line, but has {quoted(self.grid.at(place))} here: it was not taken."
                self._note(place, f"{typed} Did the child stand there all the same? Show it to the chief judge.")
                return

    def _note_calls_without_tick(self) -> None:
        marked = {mark.call for mark in self.marks} | {call for _, call in self.open_cells}
        without = {call: place for call, place in self._ticks() if not self._filled(place)}
        if len(without) == len(self.frame.calls):
            words = f"No call has a tick: nothing counts but the marks. Type {TICK} under each call that was judged."
            self._note(next(iter(without.values())), words)
            return
        for call, place in without.items():
            rest = "Only its marks count, every other line is not judged." if call in marked else "It is not judged."
            self._note(place, f"Call {call} has no tick. {rest} Type {TICK} if the call was judged.")

    def _note(self, place: Place | None, message: str) -> None:
        self.notes.append(SheetNote(self._where(place) if place else self.grid.name, message))

    def _where(self, place: Place) -> str:
        return f"{self.grid.name}!{cell_name(place)}" if self.grid.name else cell_name(place)
