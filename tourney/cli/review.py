"""The command after the day: review."""

from pathlib import Path

from tourney.cli.command import command, folder_argument, print_json


@command("tourney review autumn_day")
@folder_argument
def review(folder: Path, as_json: bool) -> None:
    """Review the day for coaches, the chief judge and the call writer.

    Writes results/review/: a page and a workbook a club, with a strip to take home for each child; in private for the
    chief judge how strict judges were and how far panels agreed; for the call writer how each item went, with
    difficulty.csv for the next event. Before results are final and finals decided, what was called is not named.
    """
    from tourney import clock
    from tourney.day.review import review as look_back

    done = look_back(folder, clock.now())
    if as_json:
        print_json(
            {"format": "tourney-review/1", "state": done.state, "calls_named": done.named, "clubs": done.clubs,
             "children": done.children, "summary": list(done.summary), "files": list(done.files),
             "kept": list(done.kept)}
        )  # fmt: skip
        return
    from tourney.cli import words
    from tourney.scoring.words import counted

    words.heading(
        f"Reviews of {counted(done.clubs, 'club')} and {counted(done.children, 'child', 'children')}", done.state
    )
    if done.state != "final":
        words.say("Results are provisional: each page says so, and what was called is not named yet.")
    elif not done.named:
        words.say("Finals are not decided: what was called is not named yet. Run tourney review again after them.")
    for sentence in done.summary:
        words.bullet(sentence)
    for name in done.kept:
        words.bullet(f"{name} was changed by somebody: it stays, and the new one lies beside it.")
    words.heading("Where they are")
    where = folder / "results" / "review"
    words.bullet(f"{where / 'clubs'}: for each club's leaders, theirs alone.")
    words.bullet(f"{where / 'chief_judge'}: for the chief judge, in private.")
    if done.named:
        words.bullet(
            f"{where / 'call_writer'}: for the call writer: items, who heard which set (who_heard_what.html), and "
            "difficulty.csv, which goes into the next event's folder."
        )
