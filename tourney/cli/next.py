"""The command that says what to do now."""

from pathlib import Path

from tourney.cli.command import command, folder_argument, print_json


@command("tourney next autumn_day")
@folder_argument
def next(folder: Path, as_json: bool) -> None:  # noqa: A001 -- the command's name
    """Say the one next thing to do, from the state of the folder and the clock."""
    from tourney import clock
    from tourney.cli import words
    from tourney.cli.ruling_page import behind_words
    from tourney.day.next import next_step

    step = next_step(folder, clock.now())
    line = words.typed(step.command, folder, step.words) if step.command else ""
    if as_json:
        print_json(
            {"format": "tourney-next/1", "state": step.state, "what": step.what, "line": line, "more": list(step.more),
             "minutes_behind": step.behind}
        )  # fmt: skip
        return
    words.heading(step.what)
    for sentence in step.more:
        words.bullet(sentence)
    if step.behind is not None:
        words.say(behind_words(step.behind))
    if line:
        words.say(f"Type: {line}")
