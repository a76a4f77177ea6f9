"""The command that makes practice for coaches."""

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from tourney.cli.command import command, folder_argument, print_json

if TYPE_CHECKING:
    from tourney.day.practice import Practised

SHOWN = 3  # sections that the terminal names


@command("tourney practice autumn_day --team J01 --weeks 2")
@folder_argument
@click.option("--club", default="", metavar="NAME", help="For this club's children, division by division.")
@click.option("--team", default="", metavar="TEAM", help="For this team, by its number or its name.")
@click.option("--child", default="", metavar="NUMBER", help="For this child, by its number.")
@click.option("--calls", type=click.IntRange(4, 60), help="Calls in a set; the division's own when left out.")
@click.option("--seconds", type=click.IntRange(3, 60), help="Seconds for each call; the division's own when left out.")
@click.option("--weeks", type=click.IntRange(1, 4), default=2, show_default=True, help="How long the plan runs.")
@click.option("--number", type=click.IntRange(1), default=1, show_default=True, help="Another number, other sets.")
@click.option(
    "--tally",
    "tallies",
    multiple=True,
    type=click.Path(path_type=Path),
    help="A tally saved from the caller's page; may be given several times.",
)
def practice(folder: Path, tallies: tuple[Path, ...], as_json: bool, **wish: Any) -> None:
    """Make practice for coaches: a page to call from, cards, a quiz, a plan of ten minutes a day.

    Without a name it is made for each division. Once results are final and finals are decided, what was missed on the
    day comes first; until then nothing of the day is used, and no set is one that is sealed for it.
    """
    from tourney import clock
    from tourney.day.practice import Wish
    from tourney.day.practice import practice as make

    made = make(folder, Wish(**wish, tallies=tallies), clock.now())
    if as_json:
        print_json(_document(made))
    else:
        _print_made(folder, made)


def _document(made: "Practised") -> dict[str, Any]:
    groups = [
        {
            "group": one.group.title,
            "division": one.group.division,
            "members": list(one.group.members),
            "files": list(one.files),
            "calls": one.needs.calls,
            "sections": [
                {"section": row.section, "missed": row.missed, "calls": row.calls} for row in one.needs.sections
            ],
        }
        for one in made.made
    ]
    spent = [
        {"contestant": row.contestant, "team": row.team, "sets": list(row.sets), "items": list(row.items)}
        for row in made.spent
    ]
    return {
        "format": "tourney-practice/1",
        "state": made.state,
        "groups": groups,
        "tally": {"noted": made.noted, "of_these": made.mine},
        "kept": list(made.kept),
        "spent": spent,
        "unheard_sets": list(made.unheard),
    }


def _print_made(folder: Path, made: "Practised") -> None:
    from tourney.cli import words
    from tourney.scoring.words import counted

    words.heading(f"Practice in {folder / 'results' / 'practice'}")
    for one in made.made:
        words.bullet(f"{one.group.title}: {', '.join(file.rsplit('/', 1)[1] for file in one.files)}")
        if one.needs.calls:
            most = zip(one.sections, one.needs.sections[:SHOWN], strict=False)
            said = ", ".join(f"{name} {row.calls - row.missed} of {row.calls}" for name, row in most)
            words.say(f"From {counted(one.needs.calls, 'call')} noted. Most to gain in: {said}.")
    for file in made.kept:
        words.bullet(f"{file} was changed by someone and is left as it is; the new one lies beside it.")
    if made.noted:
        words.say(f"Of {counted(made.noted, 'call')} in tallies, {made.mine} of these children.")
    if made.state == "sealed":
        words.say("The day is not over: nothing of its results is used, and no set is one that is sealed for it.")
    if made.unheard:
        words.say(f"Who has heard what stands in --json. Nobody has heard {', '.join(made.unheard)}.")
    words.say("Open caller.html in a browser: space bar or clicker goes on. Print plan.html and cards.html.")
    words.say("Give each coach the folder of their own children alone. Your local safeguarding rules come first.")
