"""A planned day on the terminal: what was drawn, when, and how fair it is."""

from pathlib import Path

from tourney.cli import words
from tourney.day.plan import Planned
from tourney.model.plan import FairnessLine, Plan


def print_plan(folder: Path, planned: Planned) -> None:
    """The plan in short, its clock, and the fairness page."""
    plan = planned.plan
    words.heading(plan.event.name, f"plan, revision {plan.revision}")
    if not planned.changed:
        words.say("Nothing that was handed in has changed: the plan is the same as before.")
    words.table(
        ("division", "teams", "rounds", "heats", "byes"), _divisions(plan), right=("teams", "rounds", "heats", "byes")
    )
    words.heading("The clock")
    words.table(("wave", "starts", "minutes", "heats"), _waves(plan), right=("minutes",))
    print_fairness(plan.fairness)
    words.heading("Next")
    words.bullet(f"tourney papers {folder}")
    words.bullet(
        "calls.json and draw_secret.txt show what will be called: keep them from coaches until the day is over."
    )


def print_fairness(lines: tuple[FairnessLine, ...]) -> None:
    """Each property with its measured value, its limit and the best that can be proven possible."""
    held = sum(line.ok for line in lines)
    words.heading("Fairness", f"{held} of {len(lines)} properties within their limits")
    rows = [
        (
            "ok" if line.ok else "NOT OK",
            line.property.replace("_", " "),
            "" if line.scope == "all" else line.scope,
            _figure(line.measured),
            _figure(line.limit),
            _figure(line.bound),
            "" if line.ok else line.worst,
        )
        for line in lines
    ]
    words.table(("", "property", "division", "measured", "limit", "best possible", "worst"), rows,
                right=("measured", "limit", "best possible"))  # fmt: skip


def _figure(value: float | int | str | None) -> str:
    return "–" if value is None else f"{value:g}" if isinstance(value, float) else str(value)


def _divisions(plan: Plan) -> list[tuple[str, ...]]:
    rows: list[tuple[str, ...]] = []
    for division in plan.event.divisions:
        teams = sum(team.division == division.name for team in plan.teams)
        heats = sum(heat.division == division.name for heat in plan.heats)
        byes = sum(bye.division == division.name for bye in plan.byes)
        rounds = plan.drawn_rounds.get(division.name, 0)
        rows.append((division.name, str(teams), str(rounds), str(heats), str(byes)))
    return rows


def _waves(plan: Plan) -> list[tuple[str, ...]]:
    """A row a wave, and one a pause between them."""
    pauses = {pause.after_wave: pause for pause in plan.event.day.pauses}
    rows: list[tuple[str, ...]] = []
    for number, wave in enumerate(plan.waves, 1):
        heats = [heat for heat in plan.heats if heat.wave == wave.id]
        said = ", ".join(
            f"{sum(heat.division == name for heat in heats)} {name}, round {round_}"
            for name, round_ in dict.fromkeys((heat.division, heat.round) for heat in heats)
        )
        rows.append((wave.id, f"{wave.start:%H:%M}", str(wave.minutes), said))
        if number in pauses and number < len(plan.waves):
            rows.append(("", f"{wave.end:%H:%M}", str(pauses[number].minutes), pauses[number].label))
    return rows
