"""Approve all documents as they are made now: python -m tests.golden, then read what git says has changed."""

from pathlib import Path
from tempfile import TemporaryDirectory

from tests.golden.documents import DOCUMENTS, FILES

for name, make in DOCUMENTS.items():
    with TemporaryDirectory() as folder:
        (FILES / f"{name}.txt").write_text(make(Path(folder)), encoding="utf-8")
