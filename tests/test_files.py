"""Writing files: the old one or the new one, never a half; and a plain sentence when it can't be done."""

import errno
import json
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tourney import files
from tourney.errors import FileTrouble

HARD_FOLDERS = ["a day with spaces", "Ørsted è 汐野", "يوم السباق", "100% & more; #1 'quoted'", "." + "ж" * 40]


def refuse(reason: OSError) -> object:
    """A stand-in for a system call that fails: permissions can't be tried as a user who may do everything."""

    def call(*_: object, **__: object) -> None:
        raise reason

    return call


@pytest.mark.parametrize("name", HARD_FOLDERS)
def test_any_folder_and_any_letters(tmp_path: Path, name: str) -> None:
    path = tmp_path / name / "deep er" / f"{name}.json"
    files.write_json(path, {"name": name, "points": [1, "25/2"]})
    assert files.read_json(path) == {"name": name, "points": [1, "25/2"]}
    assert name in path.read_text("utf-8")
    assert [entry.name for entry in path.parent.iterdir()] == [path.name]


@pytest.mark.parametrize("name", ["a" * 251, "灯" * 83, "🏮" * 62])
def test_a_long_name_leaves_room_for_the_file_beside_it(tmp_path: Path, name: str) -> None:
    path = tmp_path / f"{name}.txt"  # about as long as most systems allow: 255 bytes
    files.write_text(path, "light")
    assert path.read_text("utf-8") == "light"


def test_line_ends_and_bytes_stay_as_given(tmp_path: Path) -> None:
    files.write_text(tmp_path / "a.csv", "é\r\n\n")
    assert files.read_bytes(tmp_path / "a.csv") == b"\xc3\xa9\r\n\n"
    assert files.read_bytes(tmp_path / "a.csv", 2) == b"\xc3\xa9"


@given(content=st.binary(max_size=200), before=st.none() | st.binary(max_size=20))
def test_what_is_written_is_read(
    tmp_path_factory: pytest.TempPathFactory, content: bytes, before: bytes | None
) -> None:
    path = tmp_path_factory.mktemp("f") / "x.bin"
    if before is not None:
        path.write_bytes(before)
    files.write_bytes(path, content)
    assert files.read_bytes(path) == content


@pytest.mark.parametrize("written", [b"", b"half of the n"])
def test_a_writer_that_fails_leaves_the_old_file(tmp_path: Path, written: bytes) -> None:
    path = tmp_path / "plan.json"
    path.write_bytes(b"old")

    def writer(target: Path) -> None:
        target.write_bytes(written)
        raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        files.save(path, writer)
    assert {entry.name: entry.read_bytes() for entry in tmp_path.iterdir()} == {"plan.json": b"old"}


def test_a_full_disk_leaves_the_old_file(tmp_path: Path) -> None:
    path = tmp_path / "plan.json"
    path.write_bytes(b"old")

    def writer(target: Path) -> None:
        target.write_bytes(b"half")
        raise OSError(errno.ENOSPC, "No space left on device")

    with pytest.raises(FileTrouble, match=r"plan\.json can't be written: No space left on device\."):
        files.save(path, writer)
    assert {entry.name: entry.read_bytes() for entry in tmp_path.iterdir()} == {"plan.json": b"old"}


def test_a_file_that_is_open_elsewhere(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """As on a system that locks open files: the rename is what fails."""
    path = tmp_path / "results.xlsx"
    path.write_bytes(b"old")
    monkeypatch.setattr(Path, "replace", refuse(PermissionError(errno.EACCES, "Permission denied")))
    with pytest.raises(FileTrouble, match=r"results\.xlsx can't be written") as trouble:
        files.write_bytes(path, b"new")
    assert "close it there" in trouble.value.hint
    assert {entry.name: entry.read_bytes() for entry in tmp_path.iterdir()} == {"results.xlsx": b"old"}


@pytest.mark.parametrize("call", ["open", "mkdir"])
def test_a_read_only_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, call: str) -> None:
    monkeypatch.setattr(Path, call, refuse(PermissionError(errno.EACCES, "Permission denied")))
    with pytest.raises(FileTrouble, match="can't be written") as trouble:
        files.write_text(tmp_path / "day" / "plan.json", "new")
    assert "read-only" in trouble.value.hint


def test_a_read_only_disk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Path, "mkdir", refuse(OSError(errno.EROFS, "Read-only file system")))
    with pytest.raises(FileTrouble, match="can't be written: Read-only file system"):
        files.write_text(tmp_path / "plan.json", "new")


def test_a_file_in_the_place_of_a_folder(tmp_path: Path) -> None:
    (tmp_path / "papers").write_text("a file")
    with pytest.raises(FileTrouble, match="can't be written"):
        files.write_text(tmp_path / "papers" / "plan.json", "new")
    assert (tmp_path / "papers").read_text() == "a file"


def test_a_missing_file(tmp_path: Path) -> None:
    with pytest.raises(FileTrouble, match="does not exist") as trouble:
        files.read_bytes(tmp_path / "plan.json")
    assert trouble.value.hint


def test_a_folder_in_the_place_of_a_file(tmp_path: Path) -> None:
    with pytest.raises(FileTrouble, match="can't be read"):
        files.read_bytes(tmp_path)


def test_a_file_that_may_not_be_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Path, "read_bytes", refuse(PermissionError(errno.EACCES, "Permission denied")))
    with pytest.raises(FileTrouble, match="can't be read"):
        files.read_json(tmp_path / "plan.json")


@pytest.mark.parametrize("content", [b"", b'{"a": 1', b"\xff\xfe\x00", b"PK\x03\x04"])
def test_damaged_json_is_named(tmp_path: Path, content: bytes) -> None:
    (tmp_path / "plan.json").write_bytes(content)
    with pytest.raises(FileTrouble, match=r"plan\.json is damaged"):
        files.read_json(tmp_path / "plan.json")


def test_json_is_for_people_too(tmp_path: Path) -> None:
    files.write_json(tmp_path / "a.json", {"name": "灯里", "line": [1, 2]})
    written = (tmp_path / "a.json").read_bytes()
    assert json.loads(written) == {"name": "灯里", "line": [1, 2]}
    assert "灯里".encode() in written
    assert written.endswith(b"}\n")
    assert b"\r" not in written
