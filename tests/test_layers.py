"""The house keeps its floors: imports point strictly down, and heavy libraries stay in their rooms."""

import ast
from collections.abc import Iterator
from pathlib import Path

PACKAGE = Path(__file__).parents[1] / "tourney"
FLOORS = {
    "cli": 5,
    "day": 4,
    **dict.fromkeys(("intake", "papers", "record", "verify"), 3),
    **dict.fromkeys(("planning", "scoring", "finals", "review", "simulation"), 2),
    **dict.fromkeys(("canon", "model"), 1),
}
SAME_FLOOR = {("canon", "model"), ("finals", "scoring")}
ONLY_IN = {
    "click": {"cli"},
    "rich": {"cli"},
    "openpyxl": {"intake", "papers"},
    "python_calamine": {"intake", "papers"},
    "jinja2": {"papers"},
    "icalendar": {"papers"},
    "sqlalchemy": {"record"},
    "networkx": {"planning", "finals"},
    "ortools": {"planning", "finals"},
}
NO_FILES_BELOW = 3  # floors 1 and 2 open nothing, read no clock, print nothing
FORBIDDEN_CALLS = {"open", "print", "input"}


def room(path: Path) -> str:
    """The room of a file; files at the top of the package stand on floor 0."""
    parts = path.relative_to(PACKAGE).parts
    return parts[0] if len(parts) > 1 else ""


def imports(tree: ast.AST) -> Iterator[str]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, "imports are absolute"
            yield from (f"{node.module}.{alias.name}" for alias in node.names)


def offences(path: Path, tree: ast.AST) -> Iterator[str]:
    here = room(path)
    for name in imports(tree):
        top, *rest = name.split(".")
        if top == "tourney" and rest and rest[0] in FLOORS and path.name != "__main__.py":
            there = rest[0]
            down = FLOORS[there] < FLOORS.get(here, 0) or there == here or (here, there) in SAME_FLOOR
            if not down:
                yield f"{path.name}: {here or 'floor 0'} imports {there}"
        if here not in ONLY_IN.get(top, {here}):
            yield f"{path.name}: {top} in {here or 'floor 0'}"
        if FLOORS.get(here, 0) in (1, 2) and name.startswith(("tourney.clock", "tourney.files")):
            yield f"{path.name}: {name} in {here}"
    calls = (node.func for node in ast.walk(tree) if isinstance(node, ast.Call))
    names = {func.id for func in calls if isinstance(func, ast.Name)}
    if 0 < FLOORS.get(here, 0) < NO_FILES_BELOW and names & FORBIDDEN_CALLS:
        yield f"{path.name}: {sorted(names & FORBIDDEN_CALLS)} in {here}"


def test_every_room_is_known() -> None:
    assert {room(path) for path in PACKAGE.rglob("*.py")} - {""} <= set(FLOORS)


def test_imports_point_down() -> None:
    found = [
        offence for path in PACKAGE.rglob("*.py") for offence in offences(path, ast.parse(path.read_text("utf-8")))
    ]
    assert found == []


def test_an_upward_import_is_caught() -> None:
    tree = ast.parse("from tourney.cli import main\nimport click\nopen('x')")
    assert len(list(offences(PACKAGE / "model" / "event.py", tree))) == 3
