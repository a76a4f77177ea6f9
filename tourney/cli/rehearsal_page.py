"""A played rehearsal on the terminal: what was made, who won and why, how fair it was, how long it took."""

from tourney.cli import words
from tourney.cli.plan_page import print_fairness
from tourney.cli.score_page import print_open, print_teams, taken_sheets
from tourney.day.rehearse import Rehearsed
from tourney.day.results import team_names
from tourney.scoring.words import counted

BEST = 3  # places of the finals that are shown


def print_rehearsal(played: Rehearsed) -> None:
    """The summary of a played day."""
    plan, results = played.plan, played.results
    words.heading(f"{plan.event.name}: rehearsed", str(played.folder))
    first, last = plan.waves[0], plan.waves[-1]
    sheets = f"{taken_sheets(played.first)} taken, {played.first.collected.count('noted')} of them with notes"
    heats, waves = counted(len(plan.heats), "heat"), counted(len(plan.waves), "wave")
    rows = [
        ("Plan", f"{counted(len(plan.teams), 'team')}, {heats} in {waves}"),
        ("Clock", f"{first.start:%H:%M} to {last.end:%H:%M}"),
        ("Papers", f"{counted(len(played.papers.files), 'document')} in papers/"),
        ("Sheets", f"{sheets}; {taken_sheets(played.second)} more after asking"),
        ("Results", f"{results.state}, in results/results.xlsx"),
    ]
    words.facts(rows)
    words.heading("Honest mistakes that judges made")
    for mishap in played.mishaps:
        words.bullet(mishap)
    names = team_names(plan)
    for division in results.divisions:
        print_teams(division, plan.event.division(division.division), names, 3)
    print_open(played.folder, results)
    for finals in played.finals.divisions if played.finals else ():
        best = [f"{place} {names[team]}" for place, team in finals.places if place <= BEST]
        words.heading(f"Finals of {finals.division}")
        words.say(", ".join(best) or "Not drawn.")
    print_fairness(plan.fairness)
    words.heading("How long it took")
    rows = [(step.step, f"{step.seconds:.1f} s") for step in played.steps]
    rows.append(("All", f"{sum(step.seconds for step in played.steps):.1f} s"))
    words.table(("step", "time"), rows, right=("time",))
