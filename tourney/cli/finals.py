"""The finals command: who advances, brackets, and who moves on."""

from pathlib import Path

import click

from tourney.cli.command import command, folder_argument, print_json


def _made(_ctx: click.Context, _param: click.Parameter, value: tuple[str, ...]) -> tuple[tuple[str, int], ...]:
    """(team, points) of each TEAM=N."""
    found = []
    for typed in value:
        team, _, points = typed.rpartition("=")
        if not points.strip().isdecimal():
            raise click.BadParameter(f"{typed} does not read TEAM=N, such as J04=25.")
        found.append((team.strip(), int(points)))
    return tuple(found)


@command("tourney finals autumn_day")
@folder_argument
@click.option(
    "--drill-off", multiple=True, metavar="TEAM=N", callback=_made, help="What a level team made in the drill-off."
)
@click.option(
    "--heat", default="", help="The heat of the finals after which it was held; else it was for a place in them."
)
@click.option("--withdraw", multiple=True, metavar="TEAM", help="A team that goes on no more: shows what that changes.")
@click.option("--replay", multiple=True, metavar="HEAT", help="A heat to be held once more: shows what that changes.")
@click.option(
    "--redraw",
    multiple=True,
    metavar="DIVISION",
    help="Finals to be drawn anew, after the rounds were corrected: shows what that changes.",
)
@click.option("--confirm", is_flag=True, help="Do what was shown.")
@click.option("--override", is_flag=True, help="Draw although the time for protests is not over.")
@click.option("--by", default="", help="Who decided it.")
@click.option("--why", default="", help="The reason, in a few words.")
def finals(
    folder: Path,
    drill_off: tuple[tuple[str, int], ...],
    heat: str,
    withdraw: tuple[str, ...],
    replay: tuple[str, ...],
    redraw: tuple[str, ...],
    confirm: bool,
    override: bool,
    by: str,
    why: str,
    as_json: bool,
) -> None:
    """Draw the finals, take what is in, and move winners on.

    Run it when the rounds are settled: it seeds who advances, draws the first heats with calls that nobody heard and
    officials without a tie, and prints their papers. Collect their sheets as ever, and run it again: winners move on,
    and the next stage is drawn, until every place is decided. Level teams where it matters hold a drill-off.
    """
    from tourney import clock
    from tourney.day.finals import Asked
    from tourney.day.finals import finals as draw

    asked = Asked(
        drill_off,
        heat.strip().upper(),
        tuple(team.strip() for team in withdraw),
        tuple(one.strip().upper() for one in replay),
        tuple(one.strip() for one in redraw),
        by,
        why,
    )
    found = draw(folder, asked, clock.now(), confirm=confirm, override=override)
    if as_json:
        print_json(found.document())
        return
    from tourney.cli import finals_page

    finals_page.print_finals(folder, found)
