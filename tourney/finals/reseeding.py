"""Finals that were drawn, beside the rounds as they stand now: whoever a correction would bring in, and put out."""

from collections.abc import Mapping

from tourney.finals.drawing import draw_finals, finalists
from tourney.model.plan import DrawnFinals, Plan
from tourney.model.standing import DivisionResults
from tourney.scoring.words import listing


def unlike_seeds(plan: Plan, drawn: DrawnFinals, standing: DivisionResults, names: Mapping[str, str]) -> str:
    """A sentence on what the rounds would change in these finals; empty where they would be drawn just so.

    standing: of the rounds as if no finals were drawn. names: of teams by id.
    """
    certain = [row.team for row in finalists(standing)]
    open_ = [row.team for row in standing.teams if row.advances == "possible"]
    came = [team for team in certain if team not in drawn.seeds]
    left = [team for team in drawn.seeds if team not in certain and team not in open_]
    told = []
    if open_:
        told.append(f"whether {_listed(open_, names, 'reach', 'reaches')} the finals is open once more")
    if came:
        told.append(f"{_listed(came, names, 'come', 'comes')} in")
    if left:
        told.append(f"{_listed(left, names, 'are', 'is')} out")
    if not told and len(certain) > 1:
        fresh = draw_finals(plan, standing).seeds
        told = [
            f"seed {seed} is {names[team]}, not {names[was]}"
            for seed, (team, was) in enumerate(zip(fresh, drawn.seeds, strict=True), 1)
            if team != was
        ]
    if not told:
        return ""
    return f"{drawn.division}: the rounds changed after these finals were drawn. By the rounds now {'; '.join(told)}."


def _listed(teams: list[str], names: Mapping[str, str], several: str, one: str) -> str:
    return f"{listing([names[team] for team in teams])} {several if len(teams) > 1 else one}"
