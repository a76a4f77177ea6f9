"""A recorded ruling on the terminal, with the places that it changes."""

from pathlib import Path

from tourney.cli import words
from tourney.day.rule import Given
from tourney.model.ruling import Started, ruling_words
from tourney.scoring.changes import PlaceThen
from tourney.scoring.words import counted, number, place_words


def print_ruling(folder: Path, given: Given) -> None:
    """What was recorded, who moved, and what to do next."""
    ruled = given.ruled
    kept = "a preview: nothing is recorded" if given.preview else f"recorded as row {ruled.number}, by {ruled.by}"
    words.heading(ruling_words(ruled.ruling), kept)
    if isinstance(ruled.ruling, Started) and given.behind is not None:
        words.say(behind_words(given.behind))
        return
    if given.waiting:
        words.say(
            f"{counted(len(given.waiting), 'sheet of these heats has', 'sheets of these heats have')} come in: what is "
            "said there under that call is open until the judges hand them in anew. If it is of the reserve call "
            "already, rule once more with --rejudged."
        )
    shown = {row.contestant: row.shown_as for division in given.results.divisions for row in division.contestants}
    moved = [change for change in given.changes if change.moved]
    if moved:
        rows = [
            (
                change.division,
                given.team_names.get(change.id) or f"{shown.get(change.id, change.id)} ({change.id})",
                f"{_place(change.before)} -> {_place(change.after)}",
                f"{_points(change.before)} -> {_points(change.after)}",
            )
            for change in moved
        ]
        words.table(("division", "who", "place", "points"), rows, right=("place", "points"))
    else:
        where = " of the rounds" if given.of_finals else ""
        words.say(f"No place{where} would change." if given.preview else f"No place{where} changes.")
    for sentence in given.unsettled:
        words.bullet(f"Finals: {sentence}")
    others = len(given.changes) - len(moved)
    if others:
        words.say(f"Points changed for {others} {'more ' if moved else ''}who keep{'s' * (others == 1)} the place.")
    if given.preview:
        words.say("To record it, give the same line without --preview.")
    else:
        words.say(f"To take it back: {words.ruling_line(folder, f'reopen {ruled.number}')}")
        words.say(f"Next: {words.typed('finals' if given.of_finals else 'results', folder)}")


def behind_words(minutes: int) -> str:
    """How far the day is behind its plan."""
    if minutes == 0:
        return "The day is on time."
    return f"The day is {abs(minutes)} min {'behind' if minutes > 0 else 'ahead'}."


def _place(then: PlaceThen | None) -> str:
    return place_words(then.place, shared=then.shared) if then else "none"


def _points(then: PlaceThen | None) -> str:
    return f"{number(then.points)} of {number(then.available)}" if then else "none"
