"""Commands before the day: new, check, plan, papers."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from tourney.cli.command import command, folder_argument, print_json

if TYPE_CHECKING:
    from tourney.day.check import Checked


@command("tourney new autumn_day")
@folder_argument
@click.option("--toml", is_flag=True, help="Write the settings as event.toml, a text file, instead of event.xlsx.")
def new(folder: Path, toml: bool, as_json: bool) -> None:
    """Start an event folder.

    Makes FOLDER with the settings (every default explained beside its key), an entry form to send to coaches, a form
    for officials, and the folders where entries and filled score sheets are dropped.
    """
    from tourney.day.new import new as start

    started = start(folder, toml)
    if as_json:
        document = {"format": "tourney-new/1", "folder": str(folder), "files": started.files, "secret": started.secret}
        print_json(document)
        return
    from tourney.cli import words

    words.heading(f"{folder} is ready.")
    for file in started.files:
        words.bullet(file)
    words.heading("Next")
    words.bullet(f"Fill in {started.files[0]}: name, date, rooms, divisions.")
    words.bullet("Send the entry form to the coaches; put what comes back into entries/.")
    words.bullet("Put the officials' list into the folder as officials.xlsx or officials.csv.")
    words.bullet(f"Run: {words.typed('check', folder)}")


@command("tourney check autumn_day")
@folder_argument
def check(folder: Path, as_json: bool) -> None:
    """Read all that was handed in.

    Lists every fault of every file at once, with the place and what would be right; lists questions that only a person
    can decide; reads the rules back in plain sentences for the committee. Returns 1 when there are faults.
    """
    from tourney.cli import words
    from tourney.day.check import check as read

    checked = read(folder)
    found = checked.handed_in
    if as_json:
        print_json(
            {
                "format": "tourney-check/1",
                "faults": [words.finding_document(fault) for fault in found.faults],
                "questions": [words.finding_document(question) for question in found.questions],
                "notes": [words.finding_document(note) for note in found.notes],
                "put_off": list(found.put_off),
                "rules": list(checked.rules),
                "secret": checked.secret,
            }
        )
    else:
        _print_checked(folder, checked)
    if found.faults:
        raise click.exceptions.Exit(1)


@command("tourney plan autumn_day")
@folder_argument
def plan(folder: Path, as_json: bool) -> None:
    """Draw the day: rotation, rooms and clock, officials, call sets.

    Writes plan.json and calls.json and prints the fairness page: each property with its measured value, its limit and
    the best that can be proven possible. Refuses, with the exact shortage, when the rules can't all be kept.

    Once score sheets are in it draws the next round of divisions that are drawn by standing, and changes nothing else.
    """
    from tourney import clock
    from tourney.day.plan import plan as draw
    from tourney.model.documents import dump

    planned = draw(folder, clock.now())
    if as_json:
        print_json(dump(planned.plan))
        return
    from tourney.cli import plan_page

    plan_page.print_plan(folder, planned)


@command("tourney papers autumn_day")
@folder_argument
@click.option("--heat", metavar="HEAT", help="Only the score sheets of this heat once more, marked COPY.")
def papers(folder: Path, heat: str | None, as_json: bool) -> None:
    """Write every document, into one folder a reader under papers/.

    Score sheets for judges, scripts for callers, the schedule, itineraries for teams and officials. A file that
    somebody changed is never overwritten: the new one is written beside it.
    """
    from tourney.day.papers import papers as write

    written = write(folder, heat)
    if as_json:
        print_json(
            {
                "format": "tourney-papers/1",
                "written": list(written.files),
                "kept": list(written.kept),
                "left": list(written.left),
            }
        )
        return
    from tourney.cli import words
    from tourney.scoring.words import counted

    words.heading(f"{counted(len(written.files), 'document')} in {folder / 'papers'}")
    readers = dict.fromkeys(file.split("/")[1] for file in written.files)
    rows = [
        (
            f"{reader}/",
            str(len(mine)),
            ", ".join(file.split("/", 2)[2] for file in mine[:3]) + (" …" if mine[3:] else ""),
        )
        for reader in readers
        if (mine := [file for file in written.files if file.split("/")[1] == reader])
    ]
    words.table(("for", "files", "such as"), rows, right=("files",))
    for kept in written.kept:
        words.bullet(f"{kept} was changed by someone and is left as it is; the new one lies beside it.")
    for left in written.left:
        words.bullet(f"{left} is of an older plan and was changed by someone: it is left where it is.")
    if heat:
        words.say("These sheets have the codes of the first ones: hand in one sheet a judge, not both.")
        return
    words.say("callers/ shows what will be called: hand it to callers alone, sealed.")
    words.say("Next: print, run the day, drop the filled sheets into returned/, then tourney collect.")


def _print_checked(folder: Path, checked: "Checked") -> None:
    from tourney.cli import words

    found = checked.handed_in
    if found.event:
        words.heading(found.event.name, f"{found.event.date:%A %d %B %Y}, {found.event.start}, {found.event.timezone}")
        rows = []
        for division in found.event.divisions:
            teams = [team for team in found.teams if team.division == division.name]
            children = sum(len(team.members) for team in teams)
            rows.append((division.name, str(len(teams)), str(children), str(len({team.club for team in teams}))))
        words.table(("division", "teams", "children", "clubs"), rows, right=("teams", "children", "clubs"))
        words.say(f"officials: {len(found.officials)}; rooms: {len(found.event.rooms)}")
    words.findings("Faults: to be mended", found.faults)
    words.findings("Questions: to be answered", found.questions)
    words.findings("Worth knowing", found.notes)
    if checked.rules:
        words.heading("The rules in words", "for the committee to sign")
        for rule in checked.rules:
            words.bullet(rule)
    words.heading("Proof of a fair draw", "post this line before the draw words are drawn")
    words.say(checked.secret)
    words.heading("In short")
    if found.faults:
        words.say(f"Faults to mend: {len(found.faults)}. Then run: {words.typed('check', folder)}")
        for sentence in found.put_off:
            words.say(sentence)
    elif found.questions:
        words.say(f"No faults. Questions to answer before tourney plan: {len(found.questions)}.")
    else:
        if found.event and not found.event.draw_words:
            words.say("There are no draw words yet. Choose them once entries are closed, and read them aloud.")
        words.say(f"All in order. Next: {words.typed('plan', folder)}")
