"""Why a command stops without doing its work. Each carries sentences for a person, never a traceback."""

from dataclasses import dataclass, field

from tourney.faults import Fault, Question


class Stopped(Exception):
    """Base of all: the command returns 1 and prints the sentence."""


@dataclass
class FileTrouble(Stopped):
    """A file or folder can't be read or written: missing, open elsewhere, read-only."""

    message: str
    hint: str = ""

    def __str__(self) -> str:
        return self.message


@dataclass
class FaultsFound(Stopped):
    """What was handed in has faults, or questions that must be answered first."""

    faults: tuple[Fault, ...]
    questions: tuple[Question, ...] = ()

    def __str__(self) -> str:
        faults, questions = len(self.faults), len(self.questions)
        return f"{faults} fault{'s' * (faults != 1)} and {questions} open question{'s' * (questions != 1)}"


@dataclass(frozen=True, slots=True)
class Shortage:
    """What is short: have against need, in the unit that `what` names."""

    what: str
    have: int
    need: int
    why: str = ""


@dataclass
class Refusal(Stopped):
    """The rules can't all be kept. Nothing was written, nothing was relaxed.

    proven: True where counting or a solver shows it impossible; False where none was found within the limit.
    cures: the smallest changes that would help, best first.
    """

    message: str
    shortages: tuple[Shortage, ...] = ()
    cures: tuple[str, ...] = ()
    proven: bool = True
    details: tuple[str, ...] = field(default=())

    def __str__(self) -> str:
        return self.message
