"""A planned day on the terminal: what was drawn, when, and how fair it is."""

from collections import Counter
from pathlib import Path

from tourney.cli import words
from tourney.day.plan import Planned
from tourney.model.plan import FairnessLine, Plan
from tourney.scoring.words import counted


def print_plan(folder: Path, planned: Planned) -> None:
    """The plan in short, its clock, and the fairness page."""
    plan = planned.plan
    words.heading(plan.event.name, f"plan, revision {plan.revision}")
    for division, number in planned.next_rounds:
        words.say(f"Round {number} of {division} is drawn by the standings. All that was drawn before is as it was.")
    if not planned.changed:
        words.say("Nothing that was handed in has changed: the plan is the same as before.")
    words.table(
        ("division", "teams", "rounds", "heats", "byes"), _divisions(plan), right=("teams", "rounds", "heats", "byes")
    )
    words.heading("The clock")
    words.table(("wave", "starts", "minutes", "heats"), _waves(plan), right=("minutes",))
    _print_one_more(plan)
    print_fairness(plan.fairness)
    words.heading("Next")
    words.bullet(words.typed("papers", folder))
    if plan.reserved:
        again = words.typed("plan", folder)
        words.bullet(f"When a round is in and collected, {again} draws the next one; then papers again.")
    words.bullet(
        "calls.json and draw_secret.txt show what will be called: keep them from coaches until the day is over."
    )


def _print_one_more(plan: Plan) -> None:
    """What one more room, judge or caller would save."""
    saved = {line.property: line.measured for line in plan.fairness}
    room = saved.get("minutes_saved_by_one_more_room")
    if room is None:
        return
    people = counted(max((len(heat.seats) for heat in plan.heats), default=0), "more official")
    words.say(f"One more room, with {people} for it, would end the day {_minutes(room)} sooner.")
    seats = [person for heat in plan.heats for _, person in heat.seats]
    serving = len(set(seats))
    lighter = f"{len(seats) / (serving + 1):.1f} heats each instead of {len(seats) / serving:.1f}"
    for one in ("judge", "caller"):
        minutes = _minutes(saved[f"minutes_saved_by_one_more_{one}"])
        words.say(f"One more {one} alone would save {minutes}, since the rooms set the pace; {lighter}.")


def _minutes(saved: float | str | None) -> str:
    return counted(int(saved or 0), "minute")


def print_fairness(lines: tuple[FairnessLine, ...]) -> None:
    """A row a property, a column a division: what was measured, and the best possible where that is less."""
    held = sum(line.ok for line in lines)
    words.heading("Fairness", f"{held} of {len(lines)} properties within their limits")
    by_place = {(line.property, line.scope): line for line in lines}
    for scopes in _kinds_of_scope(lines):
        names = dict.fromkeys(line.property for line in lines if line.scope in scopes)
        rows = [
            (
                name.replace("_", " "),
                *(_measured(by_place.get((name, scope))) for scope in scopes),
                _limit([by_place[name, scope] for scope in scopes if (name, scope) in by_place]),
            )
            for name in names
        ]
        words.table(("property", *scopes, "limit"), rows, right=(*scopes, "limit"))
    for line in lines:
        if line.property == "repeated_meetings" and line.limit is None:
            words.bullet(
                f"{line.scope}: {_figure(line.measured)} repeated meetings are the best known to us; "
                f"counting proves that no plan can have fewer than {_figure(line.bound)}."
            )
        if not line.ok:
            words.bullet(f"Not within its limit: {line.property.replace('_', ' ')}, {line.scope}. {line.worst}")


def _kinds_of_scope(lines: tuple[FairnessLine, ...]) -> list[list[str]]:
    """The divisions beside each other, then the whole day."""
    scopes = dict.fromkeys(line.scope for line in lines)
    return [group for group in ([scope for scope in scopes if scope != "all"], ["all"]) if set(group) & set(scopes)]


def _measured(line: FairnessLine | None) -> str:
    if line is None:
        return ""
    best = "" if line.bound in (None, line.measured) else f" (best {_figure(line.bound)})"
    return f"{_figure(line.measured)}{best}{'' if line.ok else ' !'}"


def _limit(lines: list[FairnessLine]) -> str:
    limits = dict.fromkeys(_figure(line.limit) for line in lines)
    return " / ".join(limits)


def _figure(value: float | int | str | None) -> str:
    return "–" if value is None else f"{value:g}" if isinstance(value, float) else str(value)


def _divisions(plan: Plan) -> list[tuple[str, ...]]:
    rows: list[tuple[str, ...]] = []
    for division in plan.event.divisions:
        teams = sum(team.division == division.name for team in plan.teams)
        heats = sum(heat.division == division.name for heat in plan.heats)
        byes = sum(bye.division == division.name for bye in plan.byes)
        drawn = plan.drawn_rounds.get(division.name, 0)
        to_come = {heat.round for heat in plan.reserved if heat.division == division.name}
        rounds = f"{drawn} of {drawn + len(to_come)}" if to_come else str(drawn)
        rows.append((division.name, str(teams), rounds, str(heats), str(byes)))
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
        kept = Counter((heat.division, heat.round) for heat in plan.reserved if heat.wave == wave.id)
        later = [f"{count} {name}, round {round_}, to be drawn" for (name, round_), count in kept.items()]
        said = ", ".join([said, *later] if said else later)
        rows.append((wave.id, f"{wave.start:%H:%M}", str(wave.minutes), said))
        if number in pauses and number < len(plan.waves):
            rows.append(("", f"{wave.end:%H:%M}", str(pauses[number].minutes), pauses[number].label))
    return rows
