"""Where the readers put what they find, file by file, until all is shown together."""

from dataclasses import dataclass, field

from tourney.faults import Code, Fault, Question


@dataclass
class Findings:
    """Faults, questions and notes of one reading, in the order in which they were found.

    lost: files of which a row or more could not be taken in, so that what seems to be missing may be in them.
    """

    faults: list[Fault] = field(default_factory=list)
    questions: list[Question] = field(default_factory=list)
    notes: list[Fault] = field(default_factory=list)
    lost: set[str] = field(default_factory=set)

    def fault(self, file: str, where: str, code: Code, message: str, hint: str = "") -> None:
        """Something that must be mended."""
        self.faults.append(Fault(file, where, code, message, hint))

    def loss(self, file: str, where: str, code: Code, message: str, hint: str = "") -> None:
        """A fault that keeps at least one row from being read."""
        self.lost.add(file)
        self.fault(file, where, code, message, hint)

    def note(self, file: str, where: str, code: Code, message: str, hint: str = "") -> None:
        """Something worth knowing."""
        self.notes.append(Fault(file, where, code, message, hint))
