"""The ruling commands: what the chief judge or the coordinator decides, into the record."""

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from tourney.cli.command import Commands, clock_option, command, folder_argument, print_json

if TYPE_CHECKING:
    from tourney.model.ruling import Ruling
    from tourney.scoring.docket import Docket

Ask = Callable[["Docket"], "Ruling"]

line_option = click.option("--line", required=True, type=int, help="Line number in the heat.")
call_option = click.option("--call", required=True, type=int, help="Number of the call.")
to_option = click.option("--to", required=True, metavar="LETTERS|clean", help="L W S H N, several together, or clean.")
wave_option = click.option("--wave", required=True, help="The wave, such as W03.")
heat_option = click.option("--heat", default="", help="One heat, such as J-R2-1; all when left out.")


class _Rule(Commands):
    """A group that lists rulings in the order in which they were written down here."""

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002 -- click's signature
        """Names, commonest first."""
        return list(self.commands)


@click.group(
    cls=_Rule,
    epilog='Example:  tourney rule autumn_day disqualify J04 --by "A. Judge" --why "two of them were too old" --json',
)
@folder_argument
@click.pass_context
def rule(ctx: click.Context, folder: Path) -> None:
    """Put one ruling into the record: who decided what, and why.

    Nothing that came in is changed: a ruling stands beside it, and reopen takes it back. Each prints the places that
    it changes; --preview shows them and records nothing. After the time for protests a ruling needs --override.
    """
    ctx.obj = folder


def ruling(name: str, example: str) -> Callable[[Callable[..., None]], None]:
    """A subcommand with the options that every ruling has."""

    def wrap(function: Callable[..., None]) -> None:
        made: Any = click.pass_obj(function)
        made = click.option("--preview", is_flag=True, help="Show what would change; record nothing.")(made)
        made = click.option("--override", is_flag=True, help="Rule after the time for protests.")(made)
        made = click.option("--why", required=True, help="The reason, in a few words.")(made)
        made = click.option("--by", required=True, help="Who decided it.")(made)
        rule.add_command(command(f"tourney rule autumn_day {name} {example} --by NAME --why REASON")(made), name)

    return wrap


@ruling("correct", "J-R1-2.A.7 --line 3 --call 5 --to L")
@click.argument("code")
@line_option
@call_option
@to_option
def correct(folder: Path, code: str, line: int, call: int, to: str, **given: Any) -> None:
    """Correct one mark of one judge's sheet, named by its CODE."""
    from tourney.day.rule import letters

    mark = letters(to)
    _give(folder, lambda docket: docket.correct(code, line, call, mark), **given)


@ruling("void", "--wave W03 --call 5 --heat J-R2-1")
@wave_option
@call_option
@heat_option
@click.option("--division", default="", help="Needed where a wave has heats of several divisions.")
@click.option("--rejudged", is_flag=True, help="The sheets hold the marks of the reserve call already.")
def void(folder: Path, wave: str, call: int, heat: str, division: str, rejudged: bool, **given: Any) -> None:
    """Take out a call that went wrong.

    As the division's rules say, a reserve call takes its place, or the call counts for nobody.
    """
    _give(folder, lambda docket: docket.void(wave, call, heat, division, rejudged), **given)


@ruling("swap", "J-R2-1 --line 3 --with 4")
@click.argument("heat")
@line_option
@click.option("--with", "other", required=True, type=int, help="The other line number.")
def swap(folder: Path, heat: str, line: int, other: int, **given: Any) -> None:
    """Two contestants of a HEAT stood on each other's line numbers."""
    _give(folder, lambda docket: docket.swap(heat, line, other), **given)


@ruling("substitute", "J-R2-1 --line 3 --contestant J04-5")
@click.argument("heat")
@line_option
@click.option("--contestant", required=True, help="Number of the contestant who stepped in.")
def substitute(folder: Path, heat: str, line: int, contestant: str, **given: Any) -> None:
    """A substitute of the same team stood in a HEAT."""
    _give(folder, lambda docket: docket.substitute(heat, line, contestant), **given)


@ruling("no-show", "J04 --heat J-R2-1")
@click.argument("who")
@heat_option
def no_show(folder: Path, who: str, heat: str, **given: Any) -> None:
    """A contestant or a team (WHO, number or name) did not come.

    In finals a team that did not come stands behind all who did, and one that came alone goes on without sheets.
    """
    _give(folder, lambda docket: docket.no_show(who, heat), **given)


@ruling("disqualify", "J04-2")
@click.argument("who")
def disqualify(folder: Path, who: str, **given: Any) -> None:
    """Disqualify a contestant or a team (WHO, number or name).

    A contestant's points then count nowhere. A team takes no place; what others made against it stands, and its
    children keep their own places.
    """
    _give(folder, lambda docket: docket.disqualify(who), **given)


@ruling("settle", "J-R1-2.A.7 --version 2")
@click.argument("what")
@click.option("--version", type=int, help="WHAT is a sheet's code: this version of it counts.")
@click.option("--lost", is_flag=True, help="WHAT is a sheet's code: it will not come in.")
@click.option("--line", type=int, help="WHAT is a heat: line number.")
@click.option("--call", type=int, help="WHAT is a heat: number of the call.")
@click.option("--to", default="", metavar="LETTERS|clean", help="WHAT is a heat: what the panel says there.")
def settle(
    folder: Path, what: str, version: int | None, lost: bool, line: int | None, call: int | None, to: str, **given: Any
) -> None:
    """Settle an open matter.

    Which version of a sheet counts (--version), that a sheet is lost (--lost), or what the panel says of one call of
    one contestant (--line, --call and --to).
    """
    from tourney.day.rule import letters
    from tourney.scoring.docket import Docket

    ask: Ask
    if version is not None and not lost and not to:
        ask = partial(Docket.count_version, code=what, version=version)
    elif lost and version is None and not to:
        ask = partial(Docket.lost_sheet, code=what)
    elif to and line is not None and call is not None and version is None and not lost:
        ask = partial(Docket.settle_call, heat=what, line=line, call=call, letters=letters(to))
    else:
        raise click.UsageError("Give --version, or --lost, or --line, --call and --to together.")
    _give(folder, ask, **given)


@ruling("reopen", "41")
@click.argument("row", type=int)
def reopen(folder: Path, row: int, **given: Any) -> None:
    """Take back the ruling of this ROW of the record."""
    _give(folder, lambda docket: docket.reopen(row), **given)


@ruling("started", "--wave W03 --at 10:04")
@wave_option
@clock_option("--at", "When it really started, by the hall's clock.", required=True)
def started(folder: Path, wave: str, at: str, **given: Any) -> None:
    """Say when a wave really started.

    From then on the minutes behind are shown.
    """
    _give(folder, lambda docket: docket.started(wave, at), **given)


def _give(folder: Path, ask: Ask, *, by: str, why: str, override: bool, preview: bool, as_json: bool) -> None:
    from tourney import clock
    from tourney.day.rule import rule as give

    given = give(folder, ask, by, why, clock.now(), override=override, preview=preview)
    if as_json:
        print_json(given.document())
        return
    from tourney.cli import ruling_page

    ruling_page.print_ruling(folder, given)
