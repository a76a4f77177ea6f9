"""The files of an event folder: written whole, read with care, the secret made once."""

import json
from pathlib import Path

import pytest

from tourney.errors import FileTrouble
from tourney.model.calls import CallBook
from tourney.model.event import Day, Event
from tourney.model.plan import Plan
from tourney.record.folder import EventFiles, new_secret, read_book, read_plan, secret, write_book, write_plan


def test_plan_and_calls_come_back(tmp_path: Path, plan: Plan, book: CallBook) -> None:
    folder = tmp_path / "святкування day"
    write_plan(folder, plan)
    write_book(folder, book)
    assert (read_plan(folder), read_book(folder)) == (plan, book)
    assert {path.name for path in folder.iterdir()} == {"plan.json", "calls.json"}


def test_a_folder_without_a_plan_says_what_to_run(tmp_path: Path) -> None:
    with pytest.raises(FileTrouble, match=r"plan\.json does not exist") as trouble:
        read_plan(tmp_path)
    assert "tourney plan" in trouble.value.hint
    with pytest.raises(FileTrouble, match=r"calls\.json does not exist"):
        read_book(tmp_path)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (lambda text: text[:200], "is damaged"),
        (lambda _: "[]", "is damaged: the whole of it"),
        (lambda text: json.dumps(json.loads(text) | {"heats": 7}), "is damaged: heats is not what was written"),
        (lambda text: text.replace("tourney-plan/1", "tourney-plan/9"), "of the kind tourney-plan/9"),
    ],
)
def test_a_damaged_plan_is_named(tmp_path: Path, plan: Plan, change: object, words: str) -> None:
    assert callable(change)
    write_plan(tmp_path, plan)
    path = tmp_path / "plan.json"
    path.write_text(change(path.read_text("utf-8")), "utf-8")
    with pytest.raises(FileTrouble, match=r"plan\.json") as trouble:
        read_plan(tmp_path)
    assert words in str(trouble.value)


def test_the_secret_is_made_once(tmp_path: Path) -> None:
    first = secret(tmp_path)
    assert len(first) == 32
    assert secret(tmp_path) == first
    assert (tmp_path / "draw_secret.txt").read_text() == first + "\n"


def test_a_new_secret_is_like_no_other() -> None:
    # The function as it was when this file was read: tests of whole folders have a secret that repeats.
    found = {new_secret() for _ in range(100)}
    assert len(found) == 100
    assert all(len(bytes.fromhex(one)) == 16 for one in found)


def test_a_secret_of_ones_own_is_read_as_it_is(tmp_path: Path) -> None:
    path = tmp_path / "draw_secret.txt"
    path.write_bytes("\ufefftwelve blue herons \r\n".encode())
    assert secret(tmp_path) == "twelve blue herons"
    path.write_text("\n")
    with pytest.raises(FileTrouble, match="is empty"):
        secret(tmp_path)
    assert path.read_text() == "\n"


def test_where_the_record_is_kept(tmp_path: Path, plan: Plan) -> None:
    files = EventFiles(tmp_path)
    assert files.record(plan.event) == tmp_path / "record.sqlite"
    elsewhere: Event = plan.event.model_copy(update={"day": Day(record="postgresql://desk/day")})
    assert files.record(elsewhere) == "postgresql://desk/day"
