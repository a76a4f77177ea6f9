"""What a new event folder starts with: the settings, and the forms that go out."""

from collections.abc import Callable
from pathlib import Path

from tourney.canon.syllabus import built_in
from tourney.files import write_text
from tourney.model.table_columns import LIST_SEPARATOR, SOUND_ALIKES
from tourney.papers.forms import entry_form, officials_form
from tourney.papers.settings_starter import settings_workbook
from tourney.papers.settings_text import settings_text
from tourney.papers.workbook import Workbook


def write_starters(folder: Path, toml: bool) -> tuple[Path, ...]:
    """Write event.xlsx, or event.toml, and forms/ into an event folder; returns what was written.

    A file that is there already stays as it is: somebody may have filled it in. FileTrouble when the folder is
    read-only.
    """
    made: dict[Path, Callable[[], Workbook | str]] = {
        folder / ("event.toml" if toml else "event.xlsx"): settings_text if toml else settings_workbook,
        folder / "forms" / "entry_form.xlsx": entry_form,
        folder / "forms" / "officials_form.xlsx": officials_form,
        folder / "forms" / "sound_alikes.csv": sound_alikes_text,
    }
    written = [path for path in made if not path.exists()]
    for path in written:
        content = made[path]()
        if isinstance(content, str):
            write_text(path, content)
        else:
            content.save(path)
    return tuple(written)


def sound_alikes_text() -> str:
    """The built-in table of names that sound alike, as a file to change and put beside the settings."""
    syllabus = built_in()
    groups = (LIST_SEPARATOR.join(syllabus.item(key).name for key in group) for group in syllabus.sound_alikes)
    return "\r\n".join((SOUND_ALIKES[0].name, *groups, ""))
