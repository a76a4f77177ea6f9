"""What differs between score sheets of one size: who stands where, whose sheet it is, who is asked."""

from functools import cache
from xml.sax.saxutils import escape

from tourney.model.sheet_layout import judge_letter, line_tag
from tourney.papers.cells import Gap, Runs, text_xml
from tourney.papers.sheet_facts import SheetFacts, Standing
from tourney.papers.sheet_grid import Grid
from tourney.papers.sheet_names import name_parts
from tourney.papers.text_cells import corner

IDENTITY, TITLE, CODE, FACTS = Gap("identity"), Gap("title"), Gap("code"), Gap("facts")
HEAD_LEFT, HEAD_RIGHT = Gap("head left"), Gap("head right")
FOOT_LEFT, FOOT_CENTER, FOOT_RIGHT = Gap("foot left"), Gap("foot center"), Gap("foot right")
COPY = "COPY"  # of a sheet printed once more, so that nobody takes two sheets of one code for two judges


def line_gap(line: int) -> Gap:
    """The hidden tag of a line."""
    return Gap(f"line {line}")


def name_gap(line: int) -> Gap:
    """Who stands there."""
    return Gap(f"name {line}")


def box_gap(line: int, call: int) -> Gap:
    """The look of a box, another one where the child is asked for the spoken answer."""
    return Gap(f"box {line} {call}")


def gaps_of(facts: SheetFacts, grid: Grid, asked: int) -> dict[str, str]:
    """Everything that stands in the gaps of one sheet. asked: number of the look of a speaker's box."""
    heat, stamp, code, space = facts.heat, facts.stamp, facts.identity.code, grid.name_mm
    mark = (COPY,) if facts.copy else ()
    texts = {
        IDENTITY: facts.identity.text(),
        CODE: code,
        TITLE: "   ·   ".join((*mark, heat.division, facts.occasion, facts.start, heat.room)),
        FACTS: "   ·   ".join(
            (
                stamp.event,
                stamp.date,
                f"wave {heat.wave}",
                f"judge {judge_letter(facts.identity.judge)}: {facts.judge}",
                *facts.zone_words,
                f"{facts.seconds} seconds a call",
                *facts.tasks,
                "line 1 stands on your left",
            )
        ),
    }
    corners = {
        HEAD_LEFT: corner(f"{stamp.event}, {stamp.date}"),
        HEAD_RIGHT: corner("  ".join((*mark, facts.start, heat.room, code))),
        FOOT_LEFT: corner(f"Plan {stamp.revision}  ·  rules {stamp.rules}"),
        FOOT_CENTER: corner(f"Calls {facts.call_mark}: must be the same on the caller's script"),
        FOOT_RIGHT: f"{corner(code)}  ·  page &P of &N",
    }
    return {
        **{gap.key: text_xml(text) for gap, text in texts.items()},
        **{gap.key: escape(text) for gap, text in corners.items()},
        **{line_gap(line).key: text_xml(line_tag(line, who.contestant)) for line, who in enumerate(facts.line, 1)},
        **{name_gap(line).key: _name_xml(who, *space) for line, who in enumerate(facts.line, 1)},
        **{box_gap(line, call).key: str(asked) for call, line in enumerate(facts.speakers, 1)},
    }


@cache
def _name_xml(who: Standing, width: float, height: float) -> str:
    """Name and team; kept, since three judges and all rounds see the same children."""
    return text_xml(Runs(name_parts(who, width, height)))
