"""What all commands share: the folder, --json, and the way in which they stop."""

import json
import re
import sys
import traceback
from collections.abc import Callable
from pathlib import Path
from typing import Any

import click

from tourney.errors import FileTrouble, Stopped


class DayCommand(click.Command):
    """A command that turns every reason to stop into sentences (or one JSON document) and exit code 1."""

    def invoke(self, ctx: click.Context) -> Any:
        """Run the command; no traceback reaches the user."""
        try:
            return super().invoke(ctx)
        except Stopped as stopped:
            reason = stopped
        except (click.exceptions.Exit, click.ClickException, click.Abort):
            raise
        except Exception as unforeseen:  # noqa: BLE001 -- the last place where a mistake of ours can become a sentence
            reason = _mistake(unforeseen)
        _say_why(reason, bool(ctx.params.get("as_json")))
        return ctx.exit(1)


class Commands(click.Group):
    """A group that knows what a mistyped command was meant to be."""

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """The command that the first word names; a usage error with the nearest one where there is none."""
        try:
            return super().resolve_command(ctx, args)
        except click.UsageError as reason:
            from difflib import get_close_matches

            near = get_close_matches(args[0], self.list_commands(ctx), 1)
            raise click.UsageError(
                f"{reason.message} The nearest is '{near[0]}'." if near else reason.message, ctx
            ) from None


def command(example: str) -> Callable[[Callable[..., None]], click.Command]:
    """A command with --json and an example at the end of its help."""

    def wrap(function: Callable[..., None]) -> click.Command:
        with_json = click.option("--json", "as_json", is_flag=True, help="Print one JSON document and nothing else.")
        return click.command(cls=DayCommand, epilog=f"Example:  {example}")(with_json(function))

    return wrap


def clock_option(
    name: str, told: str, *, required: bool = False
) -> Callable[[Callable[..., None]], Callable[..., None]]:
    """An option that takes a time of day, HH:MM on the 24-hour clock; None when left out."""
    return click.option(name, required=required, metavar="HH:MM", callback=_clock, help=told)


def _clock(_ctx: click.Context, _param: click.Parameter, value: str | None) -> str | None:
    if value is None:
        return None
    found = re.fullmatch(r"([01]?\d|2[0-3]):([0-5]\d)", value.strip())
    if not found:
        raise click.BadParameter(f"{value} is no time: write it as 09:05 or 14:30.")
    return f"{int(found[1]):02}:{found[2]}"


folder_argument = click.argument("folder", type=click.Path(path_type=Path))


def print_json(document: Any) -> None:
    """The one document that --json promises, in UTF-8 whatever the terminal."""
    sys.stdout.buffer.write((json.dumps(document, indent=1, ensure_ascii=False) + "\n").encode())


def _say_why(reason: Stopped, as_json: bool) -> None:
    from tourney.cli import words

    if as_json:
        print_json(words.stopped_document(reason))
    else:
        words.print_stopped(reason)


def _mistake(reason: Exception) -> FileTrouble:
    """A sentence for a mistake of ours: what and where, without a traceback."""
    last = traceback.extract_tb(reason.__traceback__)[-1]
    said = f"{type(reason).__name__}: {reason} ({Path(last.filename).name}, line {last.lineno})"
    return FileTrouble(
        f"Something went wrong inside tourney: {said}.", "No file was left half-written. Please report it."
    )
