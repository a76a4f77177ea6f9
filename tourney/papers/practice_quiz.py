"""A quiz on neighbours as a workbook: type the answer, the sheet says whether it is right. No macros."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from tourney.model.event import Event
from tourney.papers.cells import Formula
from tourney.papers.sheet_style import Look
from tourney.papers.table_sheet import (
    BODY,
    FIRST_ROW,
    REMARK,
    REMARK_ROW,
    Field,
    Shown,
    fit_pages,
    number,
    write_table,
)
from tourney.papers.workbook import Sheet, Workbook

ANSWERS, COMPARED = "Answers", "E"  # the sheet of answers, and its hidden column
RIGHT, WRONG = "right", "look again"
_ENTRY = Look(12, up="center", indent=1, number="@", rules=("light", "light", "light", "light"), entry=True)
_QUESTION = replace(BODY, size=12, up="center")
_CHECK = Look(11, bold=True, indent=1, rules=("", "", "", "light"))


@dataclass(frozen=True, slots=True)
class Question:
    """One question. answers: every name that is right, the usual one first."""

    words: str
    answers: tuple[str, ...]


def quiz_workbook(event: Event, group: str, questions: Sequence[Question]) -> Workbook:
    """The quiz, and the answers on a sheet of their own."""
    workbook = Workbook(f"Neighbours, {group}", event.date)
    sheet, answers = workbook.add("Neighbours"), workbook.add(ANSWERS)
    last = FIRST_ROW + len(questions) - 1
    fields = (
        Field("No.", 14, number(replace(BODY, up="center"))),
        Field("Question", 105, _QUESTION),
        Field("Your answer", 65, _ENTRY),
        Field("", 32, _CHECK),
    )
    rows = [
        (at, question.words, Shown(None, _ENTRY), Formula(_check(FIRST_ROW + at - 1), ""))
        for at, question in enumerate(questions, 1)
    ]
    write_table(sheet, f"Neighbours: {group}", "", fields, rows, filtered=False)
    count = f'SUMPRODUCT(--(D{FIRST_ROW}:D{last}="{RIGHT}"))'
    told = f"Type the name beside each question. Right so far, of {len(questions)}: "
    sheet.put(REMARK_ROW, 1, Formula(f'="{told}"&{count}', f"{told}0"), REMARK)
    for row in range(FIRST_ROW, last + 1):
        sheet.height(row, 24)
    told_rows = [
        (at, question.words, question.answers[0], ", ".join(question.answers[1:]), _compared(question))
        for at, question in enumerate(questions, 1)
    ]
    told_fields = (
        Field("No.", 14, number()),
        Field("Question", 105),
        Field("Answer", 55),
        Field("Also right", 90),
        Field("As the quiz compares it", 60),
    )
    write_table(answers, "Answers", "For whoever asks the questions.", told_fields, told_rows, filtered=False)
    answers.frame.column_dimensions[COMPARED].hidden = True
    for one in (sheet, answers):
        fit_pages(one, event.day.paper)
    _protect(sheet)
    return workbook


def _compared(question: Question) -> str:
    return f"|{'|'.join(map(_plain, question.answers))}|"


def _plain(name: str) -> str:
    """As the check compares it: small letters, single spaces, and never the sign that stands between two names."""
    return " ".join(name.replace("|", " ").split()).lower()


def _check(row: int) -> str:
    """FIND takes every letter as it is; the other search functions know wildcards."""
    typed = f'TRIM(SUBSTITUTE(C{row},"|"," "))'
    found = f'ISNUMBER(FIND("|"&LOWER({typed})&"|",{ANSWERS}!{COMPARED}{row}))'
    return f'=IF({typed}="","",IF({found},"{RIGHT}","{WRONG}"))'


def _protect(sheet: Sheet) -> None:
    """Only answers can be typed; there is no password, so a coach can take it off."""
    sheet.frame.protection.enable()
