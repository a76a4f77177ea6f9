"""What is to be done about finals: draw them, hear them, separate level teams, end them."""

from collections.abc import Iterator, Sequence
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from tourney.day.step import SHOWN, Step, rest
from tourney.errors import FileTrouble
from tourney.scoring.words import counted, listing

if TYPE_CHECKING:
    from tourney.day.state import PlannedDay
    from tourney.finals.drill_offs import Tied
    from tourney.finals.progress import Progress
    from tourney.model.standing import OpenMatter, Results

MISSING = "missing_sheet"


def finals_steps(
    folder: Path, day: "PlannedDay", results: "Results", here: datetime, behind: int | None
) -> Iterator[Step]:
    """Results to write once they are final; then finals to draw, to hear, and to end."""
    from tourney.day.finals import begin, heard_finals, stand
    from tourney.day.results import protests_end
    from tourney.finals.drill_offs import drawn_for
    from tourney.finals.progress import NOBODY_CAME

    if not day.plan.finals and _state_of(folder, "results.json") != results.state:
        yield Step("results", "Results are final. Write them, and post wall.html.", "results", behind=behind)
    begun, waiting = begin(day, results, here, override=True)
    if begun:
        names = listing([drawn.division for drawn in begun])
        yield Step("finals", f"Draw the finals of {names}.", "finals", behind=behind)
    going = stand(day)
    ties = [*(tie for found in waiting for tie in found.ties), *(tie for found in going for tie in found.ties)]
    awaited = {heat for tie in ties for heat in drawn_for(day.plan, tie)}
    open_ = [matter for matter in heard_finals(day).open_matters if matter.heat in awaited]
    open_ += [matter for found in going for matter in found.waiting if matter.heat not in awaited]
    for matter in open_:
        if matter.kind == NOBODY_CAME:
            what, words = f"{matter.heat}: {matter.what}", "--withdraw TEAM --by NAME --why REASON"
            yield Step("finals_nobody_came", what, "finals", words, behind=behind)
    if open_:
        yield _sheets(open_, awaited, behind)
    for tie in ties:
        yield _level(day, going, tie, behind)
    yield from _next_heats(day, going, behind)
    end = protests_end(day, results, about_finals=True) if going else None
    ended = _state_of(folder, "finals.json") == "final"
    if end is not None and here < end and not ended:
        what = f"Protests about the finals are heard until {end:%H:%M}."
        yield Step("finals_protests", what, "finals", behind=behind)
    if going and not ended:
        yield Step(
            "finals_end", "The finals are decided. Write their places and certificates.", "finals", behind=behind
        )


def needless_heats(day: "PlannedDay") -> set[str]:
    """Heats of finals and drill-offs that are in the plan and will not be held, or not as they are drawn."""
    from tourney.day.finals import stand
    from tourney.finals.drill_offs import needless_drill_offs

    going = stand(day)
    heats = [heat for found in going for heat in found.played.bracket.heats]
    decided = {heat.id for heat in heats if not heat.needed or (heat.order and not heat.points)}
    unsettled = {heat for found in going for heat in found.unsettled}
    unsettled |= {one.heat for found in going for one in found.played.absent}
    return decided | unsettled | needless_drill_offs(day.plan, day.state.decisions)


def heats_of_others(day: "PlannedDay", behind: int | None) -> Iterator[Step]:
    """Heats that are drawn for others than those who belong in them now: not to be held before they are drawn anew."""
    from tourney.day.finals import heats_in, stand

    heard = heats_in(day)
    drawn = [heat.id for found in stand(day) for heat in found.due if heat.id in day.plan.heat and heat.id not in heard]
    if drawn:
        one = len(drawn) == 1
        what = f"{listing(drawn)} {'is' if one else 'are'} drawn for others than those who belong there now."
        yield Step("finals_next", f"{what} Draw {'it' if one else 'them'} anew.", "finals", behind=behind)


def halted_heats(day: "PlannedDay") -> tuple[str, ...]:
    """Sentences on heats that must wait until it is known who belongs in them."""
    from tourney.day.finals import stand

    return tuple(sentence for found in stand(day) for sentence in found.halted)


def _sheets(open_: Sequence["OpenMatter"], awaited: set[str], behind: int | None) -> Step:
    """Sheets that are out, and what is open about those that are in."""
    what = "A drill-off is on" if all(matter.heat in awaited for matter in open_) else "Finals are on"
    more = (*(f"{matter.heat}: {matter.what}" for matter in open_[:SHOWN]), *rest(len(open_)))
    if all(matter.kind == MISSING for matter in open_):
        return Step("finals_sheets", f"{what}. Take the sheets when they come.", "collect", "", more, behind)
    ruling = next((matter.rulings[0] for matter in open_ if matter.rulings and matter.kind != MISSING), "")
    words = f"{ruling} --by NAME --why REASON" if ruling else ""
    what = f"{what}, and {counted(len(open_), 'matter')} to settle."
    return Step("finals_matters", what, "rule" if ruling else "collect", words, more, behind)


def _level(day: "PlannedDay", going: Sequence["Progress"], tie: "Tied", behind: int | None) -> Step:
    """Level teams whose drill-off is to be drawn, or goes on by hand."""
    from tourney.day.drill_offs import due_drill_offs, how_to_drill, level_words, typed_points
    from tourney.day.results import team_names

    who = f"{day.plan.team[tie.teams[0]].division}: {level_words(tie, team_names(day.plan))}"
    if due_drill_offs(day, going, (tie,)):
        return Step("drill_off", f"{who}. Draw their drill-off.", "finals", behind=behind)
    return Step("drill_off_by_hand", f"{who}.", "finals", typed_points(tie), (how_to_drill(day, tie),), behind)


def _next_heats(day: "PlannedDay", going: Sequence["Progress"], behind: int | None) -> Iterator[Step]:
    """Heats whose teams are known now, and heats that others have heard than those who belong in them."""
    from tourney.day.finals import heats_in

    due = [heat.id for found in going for heat in found.due]
    again = [heat for heat in due if heat in heats_in(day)]
    if again and again == due:
        what = f"{listing(again)} was heard by others than those who now belong in it. Hold it once more."
        yield Step("finals_again", what, "finals", "--confirm", behind=behind)
    elif due:
        yield Step("finals_next", "The heats so far are decided. Draw the next ones.", "finals", behind=behind)


def _state_of(folder: Path, name: str) -> str:
    """The state that a document of results/ tells; empty where there is none, or one that can't be read."""
    from tourney.files import read_json
    from tourney.record.folder import EventFiles

    path = EventFiles(folder).results / name
    if not path.exists():
        return ""
    try:
        document = read_json(path)
    except FileTrouble:
        return ""
    return str(document.get("state", "")) if isinstance(document, dict) else ""
