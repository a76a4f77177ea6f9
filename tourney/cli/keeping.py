"""Commands that look after the record: record, verify, purge."""

from pathlib import Path

import click

from tourney.cli.command import command, folder_argument, print_json


@command("tourney record autumn_day --backup /media/stick/record.sqlite")
@folder_argument
@click.option("--backup", type=click.Path(path_type=Path), help="Copy the whole record into this new file.")
def record(folder: Path, backup: Path | None, as_json: bool) -> None:
    """List the record in plain words: when, what, who decided it and why.

    Nothing in the record is ever changed or removed. Its last characters stand for all of it: posted standings show
    them, and `tourney verify --head` finds them again.
    """
    from tourney.day.record import record as read

    listed = read(folder, backup)
    if as_json:
        documents = [
            {
                "row": row.row,
                "at": row.at.isoformat(),
                "kind": row.kind,
                "what": row.what,
                "by": row.who,
                "why": row.why,
            }
            for row in listed.rows
        ]
        print_json({"format": "tourney-record/1", "chain": listed.chain, "rows": documents, "copied": listed.copied})
        return
    from tourney.cli import words
    from tourney.scoring.words import counted

    words.heading(
        f"The record of {folder}", f"{counted(len(listed.rows), 'row')}, ends with {listed.chain[:12] or 'nothing'}"
    )
    rows = [
        (str(row.row), f"{row.at.astimezone(listed.zone):%d %b %H:%M:%S}", row.what, row.who, row.why)
        for row in listed.rows
    ]
    words.table(("row", "when", "what", "by", "why"), rows, right=("row",))
    if backup is not None:
        words.say(f"{counted(listed.copied or 0, 'row')} copied to {backup}, with every received file.")
        words.say("The copy names children as the record does: keep it as carefully, and remove it with the rest.")


@command("tourney verify autumn_day --head 3f9c01ab77d2")
@folder_argument
@click.option("--head", default="", help="The beginning of a hash that posted standings show.")
def verify(folder: Path, head: str, as_json: bool) -> None:
    """Check the day anew, by code that had no part in making it.

    One line a property, with what was found. Returns 1 when a rule is broken.
    """
    from tourney.day.verify import verify as check
    from tourney.model.documents import dump

    verified = check(folder, head)
    if as_json:
        lines = [dump(line) | {"status": line.status} for line in verified.lines]
        print_json({"format": "tourney-verify/1", "sound": verified.sound, "chain": verified.chain, "lines": lines})
    else:
        from tourney.cli import verify_page

        verify_page.print_verified(folder, verified)
    if not verified.sound:
        raise click.exceptions.Exit(1)


@command("tourney purge autumn_day --yes")
@folder_argument
@click.option("--yes", is_flag=True, help="Really remove it; without this, only what would be removed is said.")
@click.option("--override", is_flag=True, help="Before the days to keep are over.")
def purge(folder: Path, yes: bool, override: bool, as_json: bool) -> None:
    """Remove children's details for good, and leave the results without names.

    Destroys the keys under which the record keeps them, removes entries, papers, returned sheets and the officials'
    list (which names children in its ties), and writes the results anew with numbers for names. Leaves a receipt.
    """
    from tourney import clock
    from tourney.day.purge import RECEIPT
    from tourney.day.purge import purge as remove

    done = remove(folder, clock.now(), yes=yes, override=override)
    if as_json:
        print_json(
            {"format": "tourney-purge/1", "at": done.at.isoformat(), "children": done.children, "keys": done.keys,
             "removed": list(done.removed), "left": list(done.left), "chain": done.chain}
        )  # fmt: skip
        return
    from tourney.cli import words

    first, *more = done.receipt()
    words.heading(first)
    for sentence in more:
        words.bullet(sentence)
    words.say(f"This receipt stands in {folder / RECEIPT}.")
