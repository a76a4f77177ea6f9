"""Finals on the terminal: the brackets, the heats just drawn, what is waited for, what comes next."""

from collections import Counter
from pathlib import Path

from tourney.cli import words
from tourney.day.drill_offs import drill_off_line, level_words
from tourney.day.finals import DivisionFinals, FinalsDay
from tourney.finals.drill_offs import Tied
from tourney.papers.bracket_text import bracket_text
from tourney.scoring.words import place_words

SHOWN = 8  # sentences that are waited for, a division


def print_finals(folder: Path, found: FinalsDay) -> None:
    """Division by division, then what was drawn and written."""
    if found.preview:
        words.heading("What that would change")
        for sentence in found.unsettled or ("No heat that is drawn or decided.",):
            words.bullet(sentence)
        words.say("Nothing was recorded. Add --confirm to do it.")
        return
    words.heading(f"Finals, {found.state}", f"plan revision {found.plan.revision}")
    for division in found.divisions:
        _print_division(folder, found, division)
    for title, sentences in (
        ("Changed by this", found.unsettled),
        ("To be decided", _again(found)),
        ("The rounds have changed", found.unlike),
    ):
        words.sentences(title, sentences)
    if found.drawn:
        words.heading("Drawn now")
        words.table(("wave", "start", "room", "heat", "teams"), _drawn_rows(found))
    words.heading("Written")
    for file in found.files:
        words.bullet(str(folder / file))
    words.say(_next(folder, found))


def _print_division(folder: Path, found: FinalsDay, division: DivisionFinals) -> None:
    words.heading(division.division)
    if division.bracket:
        words.console.print(bracket_text(division.bracket, found.team_names), soft_wrap=True)
    if division.places and division.over:
        taken = Counter(place for place, _ in division.places)
        places = [
            f"{place_words(place, shared=taken[place] > 1)} {found.team_names[team]}" for place, team in division.places
        ]
        words.say(f"Places: {', '.join(places)}")
    for tie in division.ties:
        words.bullet(*_tie_words(folder, found, tie))
    for sentence in division.waiting[:SHOWN]:
        words.bullet(sentence)
    if len(division.waiting) > SHOWN:
        words.bullet(f"and {len(division.waiting) - SHOWN} more")


def _tie_words(folder: Path, found: FinalsDay, tie: Tied) -> tuple[str, str]:
    return f"{level_words(tie, found.team_names)}.", f"{found.to_drill[tie]} {drill_off_line(folder, tie)}"


def _again(found: FinalsDay) -> list[str]:
    return [
        f"{heat} was heard by others than those who now belong in it. With --confirm it is held once more."
        for heat in found.again
    ]


def _drawn_rows(found: FinalsDay) -> list[tuple[str, ...]]:
    plan = found.plan
    heats = [plan.heat[key] for key in found.drawn]
    return [
        (
            heat.wave,
            f"{plan.wave[heat.wave].start:%H:%M}",
            heat.room,
            heat.id,
            " – ".join(found.team_names[team] for team in heat.teams),
        )
        for heat in sorted(heats, key=lambda heat: (heat.wave, heat.id))
    ]


def _next(folder: Path, found: FinalsDay) -> str:
    again = words.typed("finals", folder)
    collected = f"{words.typed('collect', folder)}, then {again}"
    if found.drawn:
        return f"Next: print what lies in papers/finals; when the sheets are back: {collected}"
    if not all(division.over for division in found.divisions):
        return f"Next: {collected}"
    if found.state != "final":
        return f"Every place is decided. Once the time for protests is over, all is final: {again}"
    return f"Every place is decided. Next: {words.typed('record', folder, '--backup FILE')}"
