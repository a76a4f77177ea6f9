"""A sound event of two clubs, to be broken in one place."""

from pathlib import Path

import pytest

FILES = {
    "event.toml": """\
[event]
name = "Millrace Day"
date = 2027-04-17
timezone = "Europe/Dublin"
[[rooms]]
name = "Barn"
[[divisions]]
name = "Junior"
ages = [8, 10]
[[divisions]]
name = "Senior"
ages = [11, 13]
""",
    "entries/oxbow.csv": """\
club,team,division,name,birth_date,role
Oxbow,Herons,Junior,Ada Quill,2017-05-03,
Oxbow,Herons,Junior,Ben Torrow,2017-11-30,
Oxbow,Herons,Junior,Cleo Marsh,2016-10-20,
""",
    "entries/tarn.csv": """\
club,team,division,name,birth_date,role
Tarn,Otters,Senior,Dov Amberly,2014-01-15,
Tarn,Otters,Senior,Elke Fenn,2013-12-24,
Tarn,Otters,Senior,Finn Gorse,2014-08-08,member
""",
    "officials.csv": """\
name,roles,clubs,people,cleared_until,from,to,rooms_step_free
Greta Hollin,judge;caller,Oxbow,,2028-01-01,,,no
Hal Iverne,,,Elke Fenn,2028-01-01,09:00,17:00,
""",
}


class EventFolder:
    """An event folder and the changes that tests make to it."""

    def __init__(self, path: Path) -> None:
        self.path = path
        for name, text in FILES.items():
            self.write(name, text)

    def write(self, name: str, text: str | bytes) -> None:
        path = self.path / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(text.encode() if isinstance(text, str) else text)

    def swap(self, name: str, old: str, new: str) -> None:
        """Write `new` for the only `old` in a file."""
        text = (self.path / name).read_text(encoding="utf-8")
        assert text.count(old) == 1, f"{old!r} is not once in {name}"
        self.write(name, text.replace(old, new))

    def add(self, name: str, text: str) -> None:
        """Write something at the end of a file."""
        self.write(name, (self.path / name).read_text(encoding="utf-8") + text)

    def drop(self, name: str) -> None:
        (self.path / name).unlink()


@pytest.fixture
def event_folder(tmp_path: Path) -> EventFolder:
    return EventFolder(tmp_path / "Millrace Day")
