"""The command for when the day goes wrong."""

from pathlib import Path

import click

from tourney.cli.command import command, folder_argument, print_json


@command('tourney replan autumn_day --room-lost "Bell Room" --at 10:40')
@folder_argument
@click.option("--absent", multiple=True, metavar="TEAM", help="A team that did not come, or left. May be repeated.")
@click.option(
    "--late-team", type=click.Path(path_type=Path), metavar="FILE", help="The entry file of a team that came late."
)
@click.option("--late-apart", is_flag=True, help="Give the late team heats of its own, alone in them.")
@click.option("--room-lost", multiple=True, metavar="ROOM", help="A room that can't be used any more.")
@click.option("--official-out", multiple=True, metavar="ID", help="An official who can't go on.")
@click.option("--contestant-out", multiple=True, metavar="ID", help="A child who can't go on; a substitute steps in.")
@click.option("--leaked", multiple=True, metavar="SET", help="A call set that somebody saw before its time.")
@click.option("--delay", type=int, default=0, metavar="MINUTES", help="By how much the next wave starts late.")
@click.option("--fewer-calls", type=int, metavar="N", help="So many calls in every heat of a round, with --round.")
@click.option("--round", "round_", type=int, metavar="R", help="The round that is shortened.")
@click.option("--at", default="", metavar="HH:MM", help="The time up to which heats count as begun; now when left out.")
@click.option("--confirm", is_flag=True, help="Really do it. Without this, only what would change is said.")
def replan(
    folder: Path,
    absent: tuple[str, ...],
    late_team: Path | None,
    late_apart: bool,
    room_lost: tuple[str, ...],
    official_out: tuple[str, ...],
    contestant_out: tuple[str, ...],
    leaked: tuple[str, ...],
    delay: int,
    fewer_calls: int | None,
    round_: int | None,
    at: str,
    confirm: bool,
    as_json: bool,
) -> None:
    """Change the plan when the day goes wrong.

    Changes as little as can be, and says so: each count stands beside the least that has to change. Waves that have
    begun stay as they are. Lists who must be told what, and which papers must be printed anew; every other paper still
    holds. A preview, until --confirm records it as the next revision of the plan. Several things can be said at once;
    teams, officials and children by their id or their name.
    """
    from tourney import clock
    from tourney.day.replan import Asked
    from tourney.day.replan import replan as change

    asked = Asked(
        absent, late_team, late_apart, room_lost, official_out, contestant_out, leaked, delay, fewer_calls, round_
    )
    outcome = change(folder, asked, at, clock.now(), confirm=confirm)
    if as_json:
        print_json(outcome.document())
        return
    from tourney.cli import replan_page

    replan_page.print_replanned(folder, outcome)
