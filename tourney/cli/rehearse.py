"""The rehearsal command: a whole day with made-up marks."""

from pathlib import Path

import click

from tourney.cli.command import command, print_json


@command("tourney rehearse sample_events/lantern_coast --into my_rehearsal")
@click.argument("source", type=click.Path(path_type=Path))
@click.option(
    "--into", required=True, type=click.Path(path_type=Path), help="A folder of its own; made when not there."
)
def rehearse(source: Path, into: Path, as_json: bool) -> None:
    """Play a whole day with made-up marks.

    Copies what was handed in, plans it, writes the papers, lets simulated judges fill the real score sheets with a few
    honest mistakes, collects them and works out the results. SOURCE is only read, and the rehearsal draws calls of its
    own, so that nobody learns what will be called on the day. Finals are played to the end too.
    """
    from tourney.day.rehearse import STEPS
    from tourney.day.rehearse import rehearse as play
    from tourney.model.documents import dump

    if as_json:
        played = play(source, into, lambda _: None)
        steps = [{"step": step.step, "seconds": round(step.seconds, 3)} for step in played.steps]
        print_json({"format": "tourney-rehearsal/1", "folder": str(played.folder), "mishaps": list(played.mishaps),
                    "steps": steps, "results": dump(played.results),
                    "finals": played.finals.document() if played.finals else None})  # fmt: skip
        return
    from tourney.cli import rehearsal_page, words

    with words.progress(STEPS) as tell:
        played = play(source, into, tell)
    rehearsal_page.print_rehearsal(played)
