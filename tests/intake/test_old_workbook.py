"""Old binary workbooks (.xls), built byte by byte as [MS-CFB] 2 and [MS-XLS] 2.3 lay them out."""

import struct
from collections.abc import Callable, Mapping

import pytest

from tourney.intake.grid import Unreadable
from tourney.intake.reader import open_workbook

SECTOR = 512
FREE, END, TABLE = 0xFFFFFFFF, 0xFFFFFFFE, 0xFFFFFFFD
LEAST = 4096  # shorter streams would lie elsewhere


def compound(streams: Mapping[str, bytes]) -> bytes:
    """A container with these streams, each filled up with zeros to `LEAST` bytes."""
    names = ["Root Entry", *streams]
    table = [TABLE, *range(2, 2 + (len(names) - 1) // 4), END]  # the table itself, then the directory
    body = bytearray()
    entries = []
    for number, name in enumerate(names):
        content = streams.get(name, b"").ljust(LEAST, b"\0") if number else b""
        sectors = -(-len(content) // SECTOR)
        start = len(table) if number else END
        table += [*range(start + 1, start + sectors), END] if number else []
        body += content.ljust(sectors * SECTOR, b"\0")
        following = number + 1 if 0 < number < len(streams) else FREE
        entries.append(_entry(name, 2 if number else 5, following, FREE if number else 1, start, len(content)))
    directory = b"".join(entries).ljust(-(-len(entries) // 4) * SECTOR, b"\0")
    assert len(table) <= SECTOR // 4
    head = struct.pack(
        "<8s16xHHHHH6xIIIIIIIII", b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", 62, 3, 0xFFFE, 9, 6, 0, 1, 1, 0, LEAST, END, 0,
        END, 0,
    )  # fmt: skip
    head += struct.pack("<I", 0) + struct.pack("<I", FREE) * 108
    return (
        head + struct.pack(f"<{SECTOR // 4}I", *table, *[FREE] * (SECTOR // 4 - len(table))) + directory + bytes(body)
    )


def _entry(name: str, kind: int, right: int, child: int, start: int, size: int) -> bytes:
    letters = (name + "\0").encode("utf-16-le")
    return struct.pack("<64sHBBIII36xIQ", letters, len(letters), kind, 1, FREE, right, child, start, size)


def record(kind: int, body: bytes = b"") -> bytes:
    return struct.pack("<HH", kind, len(body)) + body


def begin(what: int) -> bytes:
    """what: 5 for the workbook, 16 for a worksheet."""
    return record(0x0809, struct.pack("<HHHHII", 0x0600, what, 0, 0, 0, 0))


def label(row: int, column: int, text: str) -> bytes:
    return record(0x0204, struct.pack("<HHHHB", row, column, 0, len(text), 0) + text.encode("ascii"))


def old_workbook(*sheets: bytes) -> bytes:
    """A workbook (.xls) of sheets, each the records between its beginning and its end."""
    names = [f"Sheet{number}" for number, _ in enumerate(sheets, 1)]
    size = len(begin(5)) + sum(len(record(0x0085, bytes(8 + len(name)))) for name in names) + len(record(0x000A))
    listed, parts = b"", b""
    for name, sheet in zip(names, sheets, strict=True):
        listed += record(0x0085, struct.pack("<IBBBB", size + len(parts), 0, 0, len(name), 0) + name.encode())
        parts += begin(16) + sheet + record(0x000A)
    return compound({"Workbook": begin(5) + listed + record(0x000A) + parts})


def listed_without_end() -> bytes:
    return compound({"Workbook": begin(5) + record(0x0085, bytes(9)) * 3000 + record(0x000A)})


def under_a_password() -> bytes:
    return compound({"Workbook": begin(5) + record(0x002F, bytes(6))})


REFUSED: dict[str, tuple[Callable[[], bytes], str]] = {
    "password": (lambda: compound({"EncryptedPackage": b"\1" * 5000}), "has a password."),
    "password on an old one": (under_a_password, "has a password."),
    "an old document": (lambda: compound({"WordDocument": b""}), "is not a workbook, whatever its name says."),
    "cut short": (lambda: old_workbook(label(0, 0, "L"))[:900], "is damaged or cut short."),
    "a beginning alone": (lambda: old_workbook(label(0, 0, "L"))[:20], "is damaged or cut short."),
    "no records": (lambda: compound({"Workbook": b"\7" * 5000}), "is damaged or cut short."),
    "sheets without end": (listed_without_end, "is far larger than it should be."),
    "a far cell": (
        lambda: old_workbook(label(65_535, 0, "L")),
        "has something far away from the rest, in cell A65536.",
    ),
}


@pytest.mark.parametrize("name", REFUSED)
def test_one_sentence(name: str) -> None:
    make, says = REFUSED[name]
    with pytest.raises(Unreadable) as refused:
        open_workbook(make())
    assert (refused.value.message, refused.value.hint.endswith((".", "?"))) == (says, True)


def test_an_old_workbook_is_read_with_all_that_is_odd_about_it() -> None:
    odd = label(0, 0, "L") + record(0x0205, struct.pack("<HHHBB", 1, 1, 0, 0x2A, 1))
    odd += record(0x0205, struct.pack("<HHHBB", 1, 2, 0, 1, 0)) + record(
        0x0006, struct.pack("<HHHdHIH", 2, 2, 0, 12.0, 0, 0, 0)
    )
    odd += record(0x00E5, struct.pack("<H4H", 1, 5, 6, 0, 1))
    first, second = open_workbook(old_workbook(odd, label(1, 1, "x")))
    assert [first.at(place) for place in ((0, 0), (1, 1), (1, 2), (2, 2))] == ["L", "", True, 12]
    assert dict(first.doubts) == {(1, 1): "shows an error", (2, 2): "holds a formula"}
    assert first.doubt((6, 1)) == "is joined with other cells"
    assert (second.name, second.at((1, 1)), second.doubts) == ("Sheet2", "x", {})


@pytest.mark.parametrize("typed", [b"\x1d\1", b"\x21\x22\0", b"\x41\x22\0", b"\x61\x22\0"])
def test_a_truth_value_kept_as_a_formula_is_taken_as_typed(typed: bytes) -> None:
    """PtgBool and PtgFunc of TRUE, as [MS-XLS] 2.5.198 has them."""
    value = struct.pack("<BxB3xH", 1, 1, 0xFFFF)
    held = record(0x0006, struct.pack("<HHH8sHIH", 0, 0, 0, value, 0, 0, len(typed)) + typed)
    summed = record(0x0006, struct.pack("<HHH8sHIH", 0, 1, 0, value, 0, 0, len(typed) + 1) + typed + b"\x13")
    (grid,) = open_workbook(old_workbook(held + summed))
    assert grid.at((0, 0)) is True
    assert dict(grid.doubts) == {(0, 1): "holds a formula"}


def comment(number: int, *pieces: bytes, letters: int) -> bytes:
    """A drawn object with its text, as [MS-XLS] 2.4.181 and 2.4.329 have it."""
    drawn = record(0x005D, struct.pack("<HHHHH12x", 0x15, 0x12, 0x19, number, 0))
    text = record(0x01B6, struct.pack("<HHHIHHI", 0, 0, 0, 0, letters, 16, 0))
    return drawn + record(0x00EC, b"\0" * 8) + text + b"".join(record(0x003C, piece) for piece in pieces)


def note(row: int, column: int, number: int) -> bytes:
    return record(0x001C, struct.pack("<HHHH", row, column, 0, number))


def test_comments_word_for_word() -> None:
    wide, narrow = "voilà, 波".encode("utf-16-le"), b"asked twice, "
    runs = struct.pack("<HHI", 0, 0, 0) * 2  # how its letters look: not to be read as text
    sheet = (
        label(0, 0, "L")
        + comment(7, b"\0" + narrow, b"\1" + wide, runs, letters=len(narrow) + 8)
        + comment(8, b"\0 clean ", runs, letters=7)
        + note(0, 0, 7)
        + note(3, 2, 8)
        + note(4, 2, 99)
    )
    (grid,) = open_workbook(old_workbook(sheet))
    assert grid.comments == {
        (0, 0): "asked twice, voilà, 波",
        (3, 2): "clean",
        (4, 2): "(Open the file to read it.)",
    }
