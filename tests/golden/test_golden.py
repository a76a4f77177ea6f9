"""Documents look as they were last approved; python -m tests.golden approves what is made now."""

from pathlib import Path

import pytest

from tests.golden.documents import DOCUMENTS, FILES


@pytest.mark.parametrize("name", DOCUMENTS)
def test_a_document_is_as_it_was_approved(name: str, tmp_path: Path) -> None:
    assert DOCUMENTS[name](tmp_path) == (FILES / f"{name}.txt").read_text(encoding="utf-8")


def test_no_approved_file_is_left_over() -> None:
    assert {path.stem for path in FILES.glob("*.txt")} == set(DOCUMENTS)
