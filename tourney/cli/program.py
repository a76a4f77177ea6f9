"""The `tourney` command and its table of contents."""

import sys
from importlib import import_module
from io import TextIOWrapper

import click

from tourney import __version__
from tourney.cli.command import Commands

# Command -> the module that holds it, in the order of a day. Modules are imported when their command is asked for.
COMMANDS = {
    "new": "prepare",
    "check": "prepare",
    "plan": "prepare",
    "papers": "prepare",
    "collect": "score",
    "replan": "replan",
    "rule": "rulings",
    "results": "score",
    "finals": "finals",
    "review": "review",
    "practice": "practice",
    "next": "next",
    "record": "keeping",
    "verify": "keeping",
    "purge": "keeping",
    "rehearse": "rehearse",
}
SUMMARIES = {
    "new": "Start an event folder with settings and forms to fill in.",
    "check": "Read all that was handed in; list every fault; read the rules back.",
    "plan": "Draw who drills when, where, with whom, and what is called.",
    "papers": "Write score sheets, scripts, schedules and itineraries.",
    "collect": "Take filled score sheets into the record.",
    "replan": "Change the plan when the day goes wrong: fewest changes, who must know.",
    "rule": "Correct a mark, void a call, settle what is open: who, when, why.",
    "results": "Rank everyone, with the reason of every place.",
    "finals": "Draw the finals, take what is in, move winners on.",
    "review": "Review the day for coaches, the chief judge and the call writer.",
    "practice": "Make practice for coaches: a page to call from, cards, a quiz, a plan.",
    "next": "Say the one next thing to do, from the folder and the clock.",
    "record": "List the record in plain words, or copy it.",
    "verify": "Check plan, draw and record anew.",
    "purge": "Remove children's details for good; leave a receipt.",
    "rehearse": "Play a whole day with made-up marks, in a folder of its own.",
}


class DayOrder(Commands):
    """A group that lists its commands in the order of a day and loads each one when it is wanted."""

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002 -- click's signature
        """Names in the order of a day."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:  # noqa: ARG002
        """The command of that name, or None."""
        if cmd_name not in COMMANDS:
            return None
        command: click.Command = getattr(import_module(f"tourney.cli.{COMMANDS[cmd_name]}"), cmd_name)
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:  # noqa: ARG002
        """The list of commands, without loading any."""
        with formatter.section("Commands, in the order of a day"):
            formatter.write_dl(list(SUMMARIES.items()))


@click.group(
    cls=DayOrder,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
    epilog="See a day played from end to end:  tourney rehearse sample_events/small_hall --into my_rehearsal",
)
@click.version_option(__version__, prog_name="tourney")
def main() -> None:
    """Plan, print, score and rank a day of scripture-drill competition.

    A folder goes in: settings, club entries, officials. Each command does one step of the day and leaves its files in
    that folder. Start with `tourney new FOLDER`, then `check`, `plan`, `papers`; on the day `collect` and `results`.
    """
    # A name that this terminal can't show is no reason to stop.
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, TextIOWrapper):
            stream.reconfigure(errors="replace")
