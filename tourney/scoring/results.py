"""Results of the whole day from the sheets that are in."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from tourney.model.calls import CallBook
from tourney.model.decisions import NO_DECISIONS, Decisions
from tourney.model.people import Roster
from tourney.model.plan import Plan
from tourney.model.sheet import FilledSheet
from tourney.model.standing import DivisionResults, OpenMatter, Results, TeamStanding
from tourney.model.totals import HeatTotal
from tourney.scoring.contestants import contestant_standings
from tourney.scoring.drilled import at_the_cut
from tourney.scoring.fetch_first import fetch_first
from tourney.scoring.heat_rows import heat_standings, sections_found
from tourney.scoring.heats import score_heats
from tourney.scoring.open_matters import TIE_AT_THE_CUT, heat_matters, keeps_provisional, not_drawn
from tourney.scoring.standings import DivisionDay, division_day, standings_and_workings, table_of
from tourney.scoring.totals import total_matters, with_totals
from tourney.scoring.words import listing


def results_of(
    plan: Plan,
    book: CallBook,
    roster: Roster,
    sheets: Iterable[FilledSheet],
    protests_closed: bool,
    matters: Iterable[OpenMatter] = (),
    decisions: Decisions = NO_DECISIONS,
    totals: Iterable[HeatTotal] = (),
) -> Results:
    """Standings of every division from the sheets that are in; the order of sheets does not matter.

    sheets: at most one a judge and heat, the one that counts. matters: what others found open, such as unread files.
    decisions: what was ruled. Who is disqualified is named apart and takes no place.
    totals: of rooms that kept no sheets, at most one a team and heat; any sheet of a heat goes before them.
    Final when every call is settled, every round is drawn, no given matter keeps it open, and protests are closed.
    A call that nobody judged gives nothing yet; one that some judges judged gives what those say.
    ValueError: two sheets of one judge and heat, or a sheet of a heat that is not in the plan.
    """
    sheets, totals = tuple(sheets), tuple(totals)
    scores = with_totals(plan, score_heats(plan, book, sheets, decisions), totals)
    drilled = at_the_cut(plan, book, sheets, decisions, totals)
    open_matters = [*matters, *(matter for score in scores for matter in heat_matters(plan, score, decisions))]
    open_matters += [matter for score in scores for matter in total_matters(plan, score)]
    divisions, days = [], []
    for division in plan.event.divisions:
        day = division_day(plan, division, scores, decisions.disqualified, decisions.withdrawn, drilled)
        rows, level = standings_and_workings(day, plan.draw.words)
        sections = sections_found(day.scores, book)
        teams = tuple(replace(row, sections=sections.get(row.team, {})) for row in rows)
        heats = tuple(heat_standings(day.scores, table_of(day, plan.draw.words)))
        contestants = contestant_standings(day.scores, roster, division, day.drawn, decisions.disqualified)
        divisions.append(
            DivisionResults(division.name, teams, contestants, day.disqualified, day.drill_offs, level, heats)
        )
        open_matters += _division_matters(day, teams)
        days.append(day)
    final = protests_closed and not any(keeps_provisional(matter) for matter in open_matters)
    first = fetch_first(days, plan.draw.words, decisions.lost)
    return Results(
        "final" if final else "provisional",
        plan.revision,
        tuple(divisions),
        tuple(open_matters),
        fetch_first=first,
    )


def _division_matters(day: DivisionDay, teams: Sequence[TeamStanding]) -> Iterator[OpenMatter]:
    name = day.division.name
    if day.undrawn:
        yield not_drawn(name, day.drawn, day.drawn + day.undrawn)
    level = [row.team for row in teams if row.advances == "possible"]
    if day.settled and level:
        names = {team.id: team.name for team in day.teams}
        who = listing([names[team] for team in level])
        yield OpenMatter(TIE_AT_THE_CUT, "", f"{name}: {who} are level at the last place that advances.")
