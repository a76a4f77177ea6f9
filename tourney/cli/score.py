"""Commands of the day: collect, results."""

from pathlib import Path

import click

from tourney.cli.command import clock_option, command, folder_argument, print_json


@command("tourney collect autumn_day")
@folder_argument
@click.argument("files", nargs=-1, type=click.Path(path_type=Path))
def collect(folder: Path, files: tuple[Path, ...], as_json: bool) -> None:
    """Take filled score sheets into the record.

    Takes FILES (of a folder among them, all that lies in it), or all of FOLDER/returned when none are named: workbooks
    of any kind (.xlsx .xlsm .ods .xls), a sheet saved as .csv, or a table of totals (a .csv with the columns heat, team
    and points) from rooms that kept no more. Sheets are known by the code inside them, never by file name. A cell that
    can't be read is named and stays open; nothing is guessed. A sheet keyed by two people is compared cell by cell.
    Running it twice changes nothing.
    """
    from tourney import clock
    from tourney.day.collect import collect as take

    taken = take(folder, files, clock.now())
    if as_json:
        print_json(
            taken.collected.document() | {"missing": list(taken.missing), "totals_open": list(taken.totals_open)}
        )
        return
    from tourney.cli import score_page

    score_page.print_collected(folder, taken)


@command("tourney results autumn_day")
@folder_argument
@clock_option("--as-of", "As the record was at that time of the day; nothing is written.")
def results(folder: Path, as_of: str | None, as_json: bool) -> None:
    """Rank teams and children, with the reason of every place.

    Writes results/results.json and results/results.xlsx. Results are provisional until every sheet is in, nothing is
    open and the time for protests is over; then they are final.
    """
    from tourney import clock
    from tourney.day.results import results as rank
    from tourney.day.results import results_as_of
    from tourney.model.documents import dump

    ranked = results_as_of(folder, as_of) if as_of else rank(folder, clock.now())
    if as_json:
        print_json(dump(ranked.results))
        return
    from tourney.cli import score_page

    score_page.print_results(folder, ranked, f" at {as_of}" if as_of else "")
