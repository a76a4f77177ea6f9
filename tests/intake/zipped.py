"""A workbook taken apart into its parts, and put together again."""

import io
import zipfile
from collections.abc import Mapping

from openpyxl import Workbook

PAGE = "xl/worksheets/sheet1.xml"


def saved(book: Workbook) -> bytes:
    """A workbook's bytes."""
    target = io.BytesIO()
    book.save(target)
    return target.getvalue()


def parts_of(content: bytes) -> dict[str, bytes]:
    """Part by name."""
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def packed(parts: Mapping[str, bytes]) -> bytes:
    """The other way round."""
    target = io.BytesIO()
    with zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, part in parts.items():
            archive.writestr(name, part)
    return target.getvalue()
