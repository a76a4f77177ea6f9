"""How the terminal looks: one console, headings, tables, and the sentences for stopping.

Nothing is said by colour alone, and names from files are never read as markup.
"""

import sys
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from rich import box
from rich.console import Console
from rich.padding import Padding
from rich.progress import BarColumn, MofNCompleteColumn, Progress, SpinnerColumn, TextColumn, TimeElapsedColumn
from rich.table import Table
from rich.text import Text

from tourney.day.step import typed as typed
from tourney.errors import FaultsFound, FileTrouble, Refusal, Stopped
from tourney.faults import Fault, Question

# A file or another program has no width of its own: lines are kept long there, so that paths stay in one piece.
WIDTH = None if sys.stdout.isatty() else 140
console = Console(markup=False, highlight=False, emoji=False, safe_box=True, width=WIDTH)


def heading(title: str, aside: str = "") -> None:
    """A bold line, with something quieter behind it."""
    line = Text(title, style="bold")
    if aside:
        line.append(f"  {aside}", style="dim")
    console.print()
    console.print(line)


def say(sentence: str, style: str = "") -> None:
    """One sentence, wrapped, indented under its heading."""
    console.print(Padding(Text(sentence, style=style), (0, 0, 0, 2), expand=False))


def sentences(title: str, said: Iterable[str]) -> None:
    """A heading and a bullet each; nothing where nothing is said."""
    for at, sentence in enumerate(said):
        if not at:
            heading(title)
        bullet(sentence)


def bullet(sentence: str, aside: str = "") -> None:
    """A sentence in a list; what helps stands below it."""
    grid = Table.grid(padding=(0, 1))
    grid.add_row("  ·", Text(sentence))
    if aside:
        grid.add_row("", Text(aside, style="dim"))
    console.print(grid)


def ruling_line(folder: Path, ruling: str) -> str:
    """The whole line by which a matter is settled; capitals stand for what is still to be said."""
    return typed("rule", folder, f"{ruling} --by NAME --why REASON")


def table(columns: Sequence[str], rows: Iterable[Sequence[str]], right: Iterable[str] = ()) -> None:
    """A table without vertical rules; columns named in `right` hold numbers."""
    numbers = set(right)
    grid = Table(box=box.SIMPLE_HEAD, header_style="bold", pad_edge=False, padding=(0, 2, 0, 0))
    for name in columns:
        grid.add_column(name, justify="right" if name in numbers else "left", overflow="fold")
    for row in rows:
        grid.add_row(*(Text(cell) for cell in row))
    console.print(Padding(grid, (0, 0, 0, 2), expand=False))


def facts(rows: Iterable[tuple[str, str]]) -> None:
    """Two columns without a header: what, and how it is."""
    grid = Table.grid(padding=(0, 2, 0, 0))
    for name, value in rows:
        grid.add_row(Text(f"  {name}", style="dim"), Text(value))
    console.print(grid)


@contextmanager
def progress(steps: int) -> Iterator[Callable[[str], None]]:
    """Show a long piece of work on the error stream: yields a function to call with the name of each step."""
    bar = Progress(
        SpinnerColumn("line"), TextColumn("{task.description}", markup=False), BarColumn(24), MofNCompleteColumn(),
        TimeElapsedColumn(), console=Console(stderr=True, markup=False, highlight=False), transient=True,
    )  # fmt: skip
    with bar:
        task = bar.add_task("", total=steps, completed=-1, visible=False)
        yield lambda name: bar.update(task, description=name, advance=1, visible=True)


def findings(title: str, found: Sequence[Fault] | Sequence[Question]) -> None:
    """Faults, questions or notes, file by file, with what would be right below each."""
    if not found:
        return
    heading(f"{title} ({len(found)})")
    for file in dict.fromkeys(each.file for each in found):
        console.print(Text(f"  {file}", style="underline"))
        grid = Table.grid(padding=(0, 2, 0, 0))
        grid.add_column(no_wrap=True)
        grid.add_column(overflow="fold")
        for each in found:
            if each.file == file:
                grid.add_row(f"    {each.where}", Text(each.message))
                hint = f"{each.hint} (question {each.id})" if isinstance(each, Question) else each.hint
                if hint:
                    grid.add_row("", Text(hint, style="dim"))
        console.print(grid)


def finding_document(found: Fault | Question) -> dict[str, str]:
    """A fault or question as --json shows it."""
    document = {
        "code": str(found.code), "file": found.file, "where": found.where, "message": found.message, "hint": found.hint,
    }  # fmt: skip
    return {"id": found.id, **document} if isinstance(found, Question) else document


def print_stopped(reason: Stopped) -> None:
    """Why the command stopped, and what would help."""
    if isinstance(reason, FaultsFound):
        findings("To be mended first", reason.faults)
        findings("To be answered first", reason.questions)
        heading(
            "Nothing was done.", "Mend the places above and run this again; `tourney check` lists them at any time."
        )
    elif isinstance(reason, Refusal):
        heading("Not done: " + reason.message)
        for shortage in reason.shortages:
            why = f": {shortage.why}" if shortage.why else ""
            bullet(f"{shortage.what}: {shortage.have} there, {shortage.need} needed{why}.")
        for detail in reason.details:
            bullet(detail)
        if reason.shortages:
            say("This was proven impossible." if reason.proven else "None was found within the limit; one may exist.")
        for cure in reason.cures:
            bullet(cure)
        say("Nothing was written.")
    elif isinstance(reason, FileTrouble):
        heading(reason.message)
        if reason.hint:
            say(reason.hint)


def stopped_document(reason: Stopped) -> dict[str, Any]:
    """Why the command stopped, as --json shows it."""
    document: dict[str, Any] = {"format": "tourney-stopped/1", "message": str(reason)}
    if isinstance(reason, FaultsFound):
        document["faults"] = [finding_document(fault) for fault in reason.faults]
        document["questions"] = [finding_document(question) for question in reason.questions]
    elif isinstance(reason, Refusal):
        document["proven"] = reason.proven
        document["shortages"] = [
            {"what": short.what, "have": short.have, "need": short.need, "why": short.why} for short in reason.shortages
        ]
        document["cures"] = list(reason.cures)
        document["details"] = list(reason.details)
    elif isinstance(reason, FileTrouble):
        document["hint"] = reason.hint
    return document
