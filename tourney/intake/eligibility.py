"""Whether each child is in a division that takes it. Nobody is ever moved: what does not fit is said."""

from collections.abc import Iterable
from datetime import date as Date

from tourney.faults import Code, Question
from tourney.intake.answers import Answers, question_id
from tourney.intake.dates import long_date
from tourney.intake.entries import Entry
from tourney.intake.findings import Findings
from tourney.model.ages import age, age_day, asked, takes
from tourney.model.event import Division, Event


def check_divisions(entries: Iterable[Entry], event: Event, answers: Answers, findings: Findings) -> None:
    """Compare each child's age and grade with the division that the coach wrote.

    A date with two readings is a question only when the division takes the child by one and not by the other.
    """
    for entry in entries:
        if entry.division is not None and _known(entry, entry.division):
            _check(entry, entry.division, event, answers, findings)


def _known(entry: Entry, division: Division) -> bool:
    """Whether all is there that the division asks for; what is not has its own fault."""
    return not (division.ages and not entry.births) and not (division.grades and entry.grade is None)


def _check(entry: Entry, division: Division, event: Event, answers: Answers, findings: Findings) -> None:
    births: tuple[Date | None, ...] = entry.births if division.ages else (None,)
    verdicts = {birth: takes(division, event.date, birth, entry.grade) for birth in births}
    if len(set(verdicts.values())) > 1:
        chosen = _asked(entry, division, event, answers)
        if chosen is None:
            return
        births = (chosen,)
    if not any(verdicts[birth] for birth in births):
        _wrong(entry, division, event, births, findings)


def _asked(entry: Entry, division: Division, event: Event, answers: Answers) -> Date | None:
    """The day that the coordinator says it is."""
    days = entry.births
    offers = [day.isoformat() for day in days]
    readings = " or ".join(f"{long_date(day)} ({_years(division, event, day)})" for day in days)
    question = Question(
        question_id(Code.AMBIGUOUS_DATE, entry.club, entry.team, entry.name),
        entry.row.file,
        entry.row.where("birth_date"),
        Code.AMBIGUOUS_DATE,
        f"The birth date of {entry.name} can be {readings}; {division.name} is for {asked(division)}.",
        f"Write it as year-month-day in the entry, or answer {' or '.join(offers)}.",
    )
    answer = answers.ask(question, offers)
    return None if answer is None else Date.fromisoformat(answer)


def _wrong(entry: Entry, division: Division, event: Event, births: tuple[Date | None, ...], findings: Findings) -> None:
    by_age = division.ages is not None
    facts = []
    if by_age:
        day = long_date(age_day(division, event.date))
        ages = " or ".join(dict.fromkeys(str(_age(division, event, birth)) for birth in births if birth))
        facts.append(f"is {ages} on {day} (born {entry.row.text('birth_date')})")
    if division.grades:
        facts.append(f"is in grade {entry.grade}")
    fitting = [
        other.name
        for other in event.divisions
        if any(
            takes(other, event.date, birth, entry.grade) for birth in (births if by_age else entry.births or (None,))
        )
    ]
    where = "birth_date" if by_age else "grade"
    findings.fault(
        entry.row.file,
        entry.row.where("division"),
        Code.WRONG_DIVISION,
        f"{entry.name} is entered in {division.name}, for {asked(division)}, but {' and '.join(facts)}: "
        + (f"that is {' or '.join(fitting)}." if fitting else "no division is for that."),
        f"Ask the club whether the {where.replace('_', ' ')} or the division is wrong, and mend that.",
    )


def _years(division: Division, event: Event, birth: Date) -> str:
    return f"{_age(division, event, birth)} years old on the day that counts"


def _age(division: Division, event: Event, birth: Date) -> int:
    return age(birth, age_day(division, event.date), division.leap_birthday)
