"""Questions asked, and the coordinator's answers to them in the settings."""

from collections.abc import Sequence
from dataclasses import dataclass, field

from tourney.draw import digest
from tourney.faults import Code, Question
from tourney.intake.dates import readings
from tourney.intake.findings import Findings
from tourney.intake.nearest import key, suggestion
from tourney.intake.settings_document import Document
from tourney.model.event import Answer

_DIGITS = 6


def question_id(code: Code, *about: str) -> str:
    """A short id that stays while what it is about is called the same, such as ambiguous-date-3f9c01."""
    text = "|".join(key(word) for word in about)
    return f"{code}-{digest(text).removeprefix('sha256:')[:_DIGITS]}"


@dataclass
class Answers:
    """The answers of the settings, and which of their questions came up. document: where they stand."""

    given: Sequence[Answer]
    document: Document | None
    findings: Findings
    asked: set[str] = field(default_factory=set)

    def ask(self, question: Question, offers: Sequence[str]) -> str | None:
        """The answer, one of `offers`; None when there is no answer yet, or none that can be understood."""
        self.asked.add(question.id)
        number = next((place for place, answer in enumerate(self.given) if answer.id == question.id), None)
        if number is None:
            self.findings.questions.append(question)
            return None
        words = {key(offer): offer for offer in offers}
        text = self.given[number].answer
        days = readings(text)
        found = words.get(key(days[0].isoformat() if len(days) == 1 else text))
        if found is None:
            message = f'"{text}" does not answer the question {question.id}.'
            self._fault(number, "answer", Code.BAD_VALUE, message, f"Write one of: {', '.join(offers)}.")
        return found

    def name_unused(self) -> None:
        """A fault for each answer whose question did not come up."""
        for number, answer in enumerate(self.given):
            if answer.id not in self.asked:
                message = f"No question has the id {answer.id}."
                hint = suggestion(answer.id, sorted(self.asked)) or "Take the answer out."
                self._fault(number, "id", Code.UNUSED_ANSWER, message, hint)

    def _fault(self, number: int, name: str, code: Code, message: str, hint: str) -> None:
        if self.document is not None:
            where = self.document.where(("answers", number, name))
            self.findings.fault(self.document.file, where, code, message, hint)
