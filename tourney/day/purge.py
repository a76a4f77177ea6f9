"""Remove children's details: destroy their keys in the record, and remove the files that name them."""

import shutil
from dataclasses import dataclass
from datetime import date as Date
from datetime import datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

from tourney.errors import FileTrouble, Refusal
from tourney.files import trouble, write_text
from tourney.model.plan import Plan

NAMING = ("entries", "papers", "returned", "results", "officials.csv", "officials.xlsx")
KEPT = ("plan.json", "calls.json", "draw_secret.txt", "record.sqlite", "results", "forms", "event.toml", "event.xlsx",
        "syllabus.csv", "syllabus.xlsx", "sound_alikes.csv", "difficulty.csv", "purge_receipt.txt")  # fmt: skip
RECEIPT = "purge_receipt.txt"


@dataclass(frozen=True, slots=True)
class Purged:
    """What was removed. keys: how many this run destroyed. removed: files, as folder/ with their number or by name.

    left: what lies in the folder besides, and was not touched. chain: the hash of the record's last row.
    """

    event: str
    at: datetime
    children: int
    keys: int
    removed: tuple[str, ...]
    left: tuple[str, ...]
    chain: str

    def receipt(self) -> tuple[str, ...]:
        """The receipt, sentence by sentence."""
        return (
            f"Children's details of {self.event} were removed on {self.at:%Y-%m-%d at %H:%M}.",
            f"Children: {self.children}. Keys destroyed in the record: {self.keys}; what they sealed is lost for good.",
            f"Files removed: {', '.join(self.removed) or 'none were left'}.",
            "Kept: the plan, the calls, the record and the results, with numbers instead of children's names; "
            "the names of clubs, teams and officials.",
            f"Not touched, look at it yourself: {', '.join(self.left) or 'nothing'}.",
            "Not reached from here: printed papers, mails, copies of this folder, backups of the record, "
            "recycle bins and synchronised folders. Remove these as well, as your local rules ask.",
            f"The record ends with {self.chain[:12]}; tourney verify still checks it.",
        )


def purge(folder: Path, now: datetime, *, yes: bool, override: bool) -> Purged:
    """Destroy the keys, remove the files that name children, and write the results anew with numbers for names.

    Refusal without `yes`, saying what would be removed, and before the days to keep are over unless `override`. Run
    again after a file could not be removed, it finishes.
    """
    from tourney.day.results import results
    from tourney.day.state import need_folder
    from tourney.record.folder import EventFiles, read_plan
    from tourney.record.journal import Journal

    need_folder(folder)
    plan = read_plan(folder)
    targets = _targets(folder)
    _refuse_unless_meant(plan, folder, targets, now, yes=yes, override=override)
    with_results = (folder / "results").exists()
    where = EventFiles(folder).record(plan.event)
    with Journal.open(where) as journal:
        keys = journal.purge(at=now)
        chain = journal.stored()[-1].hash
    removed = tuple(_remove(folder, target) for target in targets)
    if with_results:
        results(folder, now)
    left = sorted(path.name for path in folder.iterdir() if path.name not in KEPT)
    at = now.astimezone(ZoneInfo(plan.event.timezone))
    done = Purged(plan.event.name, at, _children(plan), keys, removed, tuple(left), chain)
    write_text(folder / RECEIPT, "\n".join(done.receipt()) + "\n")
    return done


def _targets(folder: Path) -> list[Path]:
    """Files and folders that may name children, and the settings when they hold answers or officials."""
    from tourney.intake.folder import read_folder

    found = [folder / name for name in NAMING if (folder / name).exists()]
    handed_in = read_folder(folder)
    beside = any((folder / name).exists() for name in ("officials.csv", "officials.xlsx"))
    if handed_in.event is None or handed_in.event.answers or (handed_in.officials and not beside):
        found += [folder / name for name in ("event.toml", "event.xlsx") if (folder / name).exists()]
    return found


def _refuse_unless_meant(
    plan: Plan, folder: Path, targets: list[Path], now: datetime, *, yes: bool, override: bool
) -> None:
    due = plan.event.date + timedelta(days=plan.event.day.keep_days)
    today: Date = now.astimezone(ZoneInfo(plan.event.timezone)).date()
    details = (
        f"In the record, names, needs and all else about {_children(plan)} children, and every file that was received.",
        f"These files: {', '.join(_named(target) for target in targets) or 'none'}.",
    )
    if not yes:
        raise Refusal(
            f"This would remove for good what names children in {folder}.",
            details=details,
            cures=("If that is meant, add --yes. Copy first what you must keep by your local rules.",),
        )
    if today < due and not override:
        raise Refusal(
            f"The settings keep children's details until {due:%Y-%m-%d}, keep_days after the event.",
            cures=("To remove them earlier, add --override.",),
        )


def _children(plan: Plan) -> int:
    return sum(len(team.members) for team in plan.teams)


def _named(target: Path) -> str:
    if not target.is_dir():
        return target.name
    count = sum(path.is_file() for path in target.rglob("*"))
    return f"{target.name}/ ({count} {'file' if count == 1 else 'files'})"


def _remove(folder: Path, target: Path) -> str:
    name = _named(target)
    try:
        if target.is_dir():
            shutil.rmtree(target)
        else:
            target.unlink()
    except OSError as reason:
        what = trouble(target, reason, "write")
        raise FileTrouble(
            f"{target.relative_to(folder)} could not be removed. The keys in the record are destroyed already.",
            f"{what.hint} Then run this again: it finishes.",
        ) from reason
    return name
