"""What a new event folder starts with: the settings, and the forms that go out."""

from pathlib import Path

from tourney.files import write_text
from tourney.papers.forms import entry_form, officials_form
from tourney.papers.settings_starter import settings_workbook
from tourney.papers.settings_text import settings_text


def write_starters(folder: Path, toml: bool) -> tuple[Path, ...]:
    """Write event.xlsx, or event.toml, and forms/ into an event folder; returns what was written.

    A file that is there already stays as it is: somebody may have filled it in. FileTrouble when the folder is
    read-only.
    """
    makers = {
        folder / "forms" / "entry_form.xlsx": entry_form,
        folder / "forms" / "officials_form.xlsx": officials_form,
    }
    settings = folder / ("event.toml" if toml else "event.xlsx")
    written = [path for path in (settings, *makers) if not path.exists()]
    for path in written:
        if path in makers:
            makers[path]().save(path)
        elif toml:
            write_text(path, settings_text())
        else:
            settings_workbook().save(path)
    return tuple(written)
