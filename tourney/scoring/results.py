"""Results of the whole day from the sheets that are in."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from tourney.model.calls import CallBook
from tourney.model.decisions import NO_DECISIONS, Decisions
from tourney.model.people import Roster
from tourney.model.plan import Plan, pool_cut
from tourney.model.sheet import FilledSheet
from tourney.model.standing import DivisionResults, LevelAtTheCut, OpenMatter, Results
from tourney.model.totals import HeatTotal
from tourney.scoring.contestants import contestant_standings
from tourney.scoring.division_day import DivisionDay, division_day, table_of
from tourney.scoring.drilled import at_the_cut
from tourney.scoring.fetch_first import fetch_first
from tourney.scoring.heat_rows import heat_standings, sections_found
from tourney.scoring.heats import score_heats
from tourney.scoring.open_matters import TIE_AT_THE_CUT, heat_matters, keeps_provisional, not_drawn
from tourney.scoring.standings import standings_of
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
        rows, level, cut = standings_of(day, plan.draw.words)
        sections = sections_found(day.scores, book)
        teams = tuple(replace(row, sections=sections.get(row.team, {})) for row in rows)
        heats = tuple(heat_standings(day.scores, table_of(day, plan.draw.words)))
        contestants = contestant_standings(day.scores, roster, division, day.drawn, decisions.disqualified)
        divisions.append(
            DivisionResults(
                division.name,
                teams,
                contestants,
                day.disqualified,
                cut,
                day.drilled,
                {team: made for pool in day.pools for team, made in pool.drilled.items()},
                level,
                heats,
            )
        )
        open_matters += _division_matters(day, cut)
        days.append(day)
    final = protests_closed and not any(keeps_provisional(matter) for matter in open_matters)
    parts = [part for day in days for part in day.pools or (day,)]
    first = fetch_first(parts, plan.draw.words, decisions.lost)
    return Results(
        "final" if final else "provisional",
        plan.revision,
        tuple(divisions),
        tuple(open_matters),
        fetch_first=first,
    )


def _division_matters(day: DivisionDay, cut: Sequence[LevelAtTheCut]) -> Iterator[OpenMatter]:
    name = day.division.name
    if day.undrawn:
        yield not_drawn(name, day.drawn, day.drawn + day.undrawn)
    names = {team.id: team.name for team in day.teams}
    pool = {pool_cut(part.pool): f", pool {part.pool}" for part in day.pools}
    for found in cut if day.settled else ():
        who = listing([names[team] for team in found.teams])
        where = f"{name}{pool.get(found.about, '')}"
        yield OpenMatter(TIE_AT_THE_CUT, "", f"{where}: {who} are level at the last place that advances.")
