"""Finds templates and sample events, from source and from an installed wheel alike."""

from pathlib import Path

_PACKAGE = Path(__file__).parent
# A wheel carries both folders inside the package; in a checkout they lie beside it.
_ROOT = _PACKAGE / "shipped" if (_PACKAGE / "shipped").is_dir() else _PACKAGE.parent


def templates() -> Path:
    """Folder of the page templates, print styles and starter files."""
    return _ROOT / "templates"


def sample_events() -> Path:
    """Folder of the sample event folders."""
    return _ROOT / "sample_events"
