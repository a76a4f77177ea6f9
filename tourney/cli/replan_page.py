"""A replanned day on the terminal: what changes, who must be told, what must be printed."""

import re
from pathlib import Path

from tourney.cli import words
from tourney.day.replan import Outcome

ONE = re.compile(r"^(heat|team|line|seat|call set|wave|round)s( are)?")  # what is counted, in the singular
KINDS = {"team": "Teams", "official": "Officials", "room": "Rooms"}


def print_replanned(folder: Path, outcome: Outcome) -> None:
    """The counts first, then places and times, people, papers, and what to do next."""
    found = outcome.replanned
    state = f"plan, revision {found.plan.revision}" if outcome.confirmed else "a preview: nothing is changed yet"
    since = "the start" if outcome.at == "00:00" else outcome.at
    words.heading(f"{found.plan.event.name}, from {since} on", state)
    for need in found.needs:
        must = ONE.sub(lambda several: several[1] + (" is" if several[2] else ""), need.must, count=1)
        words.bullet(f"{need.bound} {must if need.bound == 1 else need.must}; {need.made} {need.done}.")
    for note in found.notes:
        words.bullet(note)
    _print_moves(outcome)
    _print_clock(outcome)
    _print_options(outcome)
    _print_told(outcome)
    _print_papers(outcome)
    words.heading("Next")
    if outcome.confirmed:
        words.bullet(f"Tell the people above, then run: {words.typed('papers', folder)}")
        words.bullet("Print what is listed above, and nothing else: all other papers still hold.")
    else:
        words.bullet("If this is what you want, run the same command again with --confirm.")


def _print_moves(outcome: Outcome) -> None:
    moves = outcome.replanned.moved
    if moves:
        words.heading("Heats that move")
        rows = [
            (move.heat, f"{move.from_start} {move.from_room} ({move.from_wave})",
             f"{move.to_start} {move.to_room} ({move.to_wave})") for move in moves
        ]  # fmt: skip
        words.table(("heat", "from", "to"), rows)


def _print_clock(outcome: Outcome) -> None:
    before = {wave.id: wave for wave in outcome.before.waves}
    rows = []
    for wave in outcome.replanned.plan.waves:
        was = before.get(wave.id)
        if was is None or (was.start, was.minutes) != (wave.start, wave.minutes):
            old = f"{was.start:%H:%M}" if was else "new"
            rows.append((wave.id, old, f"{wave.start:%H:%M}", f"{wave.end:%H:%M}"))
    if rows:
        words.heading("The clock")
        words.table(("wave", "was at", "starts", "ends"), rows)


def _print_options(outcome: Outcome) -> None:
    for option in outcome.replanned.options:
        words.heading(option.about)
        for choice in option.choices:
            done = "this plan: " if choice.chosen and len(option.choices) > 1 else ""
            words.bullet(f"{done}{choice.what}", choice.cost)
        if not option.choices:
            words.bullet("Nobody is free: someone on duty changes seats.")


def _print_told(outcome: Outcome) -> None:
    told = outcome.replanned.told
    for kind, title in KINDS.items():
        mine = [one for one in told if one.kind == kind]
        if mine:
            words.heading(f"{title} to be told ({len(mine)})")
            rows = []
            for one in mine:
                who = one.name if kind == "room" else f"{one.name} ({one.id})" + (f", {one.club}" if one.club else "")
                rows += [(who if number == 0 else "", sentence) for number, sentence in enumerate(one.what)]
            words.table(("who", "what"), rows)
    if not told:
        words.heading("Nobody has to be told anything.")


def _print_papers(outcome: Outcome) -> None:
    papers = list(zip(outcome.replanned.reprint, outcome.files, strict=True))
    for title, needed in (("To be printed anew", True), ("May be printed anew; the old ones still hold", False)):
        rows = [
            (paper.paper, paper.of, f"papers/{file}", paper.why) for paper, file in papers if paper.needed is needed
        ]
        if rows:
            words.heading(title)
            words.table(("paper", "of", "where it will be", "why"), rows)
