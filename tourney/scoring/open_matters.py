"""What is still open, in words.

A matter whose kind ends in "_settled" is told, but it keeps nothing provisional: whatever it would say, the judges
already heard decide alike.
"""

from collections.abc import Iterable, Iterator, Sequence

from tourney.model.decisions import Decisions
from tourney.model.plan import Plan
from tourney.model.sheet import FilledSheet
from tourney.model.sheet_layout import sheet_code
from tourney.model.standing import OpenMatter
from tourney.scoring.heats import HeatScore
from tourney.scoring.words import listing

SETTLED = "_settled"
TIE_AT_THE_CUT = "tie_at_the_cut"
SETTLES = "The other judges settle it."
TICK = "If it was judged, let the judge tick it, and hand the sheet in once more."
ANY_MARK = "LETTERS"


def keeps_provisional(matter: OpenMatter) -> bool:
    """Whether results can't be final before it is dealt with. A tie at the cut only has to wait for the finals."""
    return not matter.kind.endswith(SETTLED) and matter.kind != TIE_AT_THE_CUT


def heat_matters(plan: Plan, score: HeatScore, decisions: Decisions) -> Iterator[OpenMatter]:
    """missing_sheet for each judge, not_judged for each sheet, open_cell and judges_differ for each cell.

    Nothing for a heat that is known by its totals alone.
    """
    if score.by_totals:
        return
    division = plan.event.division(score.heat.division)
    for judge, sheet in enumerate(score.sheets, start=1):
        code = sheet_code(score.heat.id, judge)
        name = plan.official[score.heat.judges[judge - 1]].name
        watched = [(line, call) for line, call in score.calls if division.watches(judge, line)]
        if sheet is not None:
            yield from _sheet_matters(sheet, code, score, watched, decisions)
        elif code in decisions.lost:
            what = f"Sheet {code} of {name} was ruled lost: the others decide without it."
            yield OpenMatter("missing_sheet" + SETTLED, score.heat.id, what)
        else:
            zone = division.zone(judge)
            lines = f" for lines {zone[0]} to {min(zone[1], len(score.heat.line))}" if zone and watched else ""
            alone = sum(division.zone(seat) == zone for seat in range(1, len(score.sheets) + 1)) == 1
            lost = () if alone else (f"settle {code} --lost",)
            yield _matter("missing_sheet", score, watched, f"Sheet {code} of {name} has not come in{lines}.", *lost)
    for (line, call), said in score.calls.items():
        if said.differ:
            what = f"Line {line}, call {call}: the two judges wrote different things. They need to agree."
            ruling = f"settle {score.heat.id} --line {line} --call {call} --to {ANY_MARK}"
            yield OpenMatter("judges_differ", score.heat.id, what, (ruling,))


def _sheet_matters(
    sheet: FilledSheet, code: str, score: HeatScore, watched: Sequence[tuple[int, int]], decisions: Decisions
) -> Iterator[OpenMatter]:
    """What a sheet leaves open and no ruling has answered. watched: (line, call) of all that its judge marks."""
    cells = [
        (line, call)
        for line, call in watched
        if (code, line, call) not in decisions.corrected and (score.heat.id, line, call) not in decisions.settled
    ]
    unticked = [call for call in dict.fromkeys(call for _, call in cells) if call not in sheet.judged]
    by_others = [call for call in unticked if all(score.calls[at].settled for at in cells if at[1] == call)]
    for calls in ([call for call in unticked if call not in by_others], by_others):
        if calls:
            which = f"call {calls[0]} is" if len(calls) == 1 else f"calls {listing([str(n) for n in calls])} are"
            what = f"On sheet {code} {which} not ticked as judged: a blank there is neither clean nor a fault."
            yield _matter("not_judged", score, [at for at in cells if at[1] in calls], what, cure=TICK)
    for line, call in sheet.open_cells:
        if (line, call) in cells:
            what = f"On sheet {code}, line {line}, call {call} could not be read."
            ruling = f"correct {code} --line {line} --call {call} --to {ANY_MARK}"
            yield _matter("open_cell", score, [(line, call)], what, ruling)


def _matter(
    kind: str, score: HeatScore, cells: Iterable[tuple[int, int]], what: str, *rulings: str, cure: str = ""
) -> OpenMatter:
    if all(score.calls[cell].settled for cell in cells):
        return OpenMatter(kind + SETTLED, score.heat.id, f"{what} {SETTLES}")
    return OpenMatter(kind, score.heat.id, f"{what} {cure}".strip(), rulings)


def not_drawn(division: str, drawn: int, rounds: int) -> OpenMatter:
    """Rounds that are drawn only when the one before is in."""
    which = f"round {rounds} is" if rounds == drawn + 1 else f"rounds {drawn + 1} to {rounds} are"
    return OpenMatter("round_not_drawn", "", f"{division}: {which} still to be drawn.")
