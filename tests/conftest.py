"""What all tests share: the command line as a user calls it."""

import json
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

import pytest
from click.testing import CliRunner
from hypothesis import settings

from tourney.cli import main
from tourney.record import folder

# Properties are tried without a deadline: a machine that is busy is no fault. What is tried repeats, so that a change
# that passes here passes elsewhere; `--hypothesis-profile=explore` tries anew each time.
settings.register_profile("explore", deadline=None)
settings.register_profile("house", deadline=None, derandomize=True)
settings.load_profile("house")


@pytest.fixture(scope="session", autouse=True)
def secret_that_repeats(request: pytest.FixtureRequest) -> Iterator[None]:
    """A folder's secret is another in each run, and so are its calls: here it stays the same, but when exploring."""
    with pytest.MonkeyPatch.context() as patch:
        if request.config.getoption("--hypothesis-profile") != "explore":
            patch.setattr(folder, "new_secret", lambda: "0123456789abcdef" * 2)
        yield


@dataclass(frozen=True)
class Said:
    """What a command returned and printed."""

    code: int
    out: str
    err: str

    @property
    def text(self) -> str:
        """What was printed, in one line: where the terminal breaks lines does not matter."""
        return " ".join(self.out.split())

    @property
    def document(self) -> Any:
        """The one JSON document of --json."""
        return json.loads(self.out)


Tourney = Callable[..., Said]


@pytest.fixture
def tourney() -> Tourney:
    """Run a command: tourney("check", folder) -> what it said. An escaped exception fails the test."""

    def run(*words: object) -> Said:
        result = CliRunner().invoke(main, [str(word) for word in words], prog_name="tourney")
        if result.exception is not None and not isinstance(result.exception, SystemExit):
            raise result.exception
        assert "Traceback" not in result.output
        return Said(result.exit_code, result.stdout, result.stderr)

    return run
