"""Who has heard what."""

from dataclasses import replace

from tourney.model.calls import Call, CallBook, CallSet
from tourney.model.decisions import decided
from tourney.model.plan import Heat, Plan
from tourney.model.ruling import NoShow, Substitute, Void
from tourney.model.spent import heard_before, heard_twice, ledger, spent_calls, unheard


def call(no: int, item: str) -> Call:
    return Call(no, "book", item, "law", 1.0, item, (item,))


A = CallSet("A", "Junior", "rotation", 1, 1, 10, (call(1, "GEN"), call(2, "EXO")), (call(1, "LEV"),))
B = replace(A, id="B", calls=(call(1, "NUM"), call(2, "GEN")), round=2, order=2)
SPARE = replace(A, id="D", use="drill_off", round=None, order=None)
BOOK = CallBook((A, B, SPARE, replace(SPARE, id="P", use="practice")))
TEAM = {"T1-1": "T1", "T1-2": "T1", "T2-1": "T2"}


def heat(key: str, calls: str, *line: str) -> Heat:
    return Heat(key, "Junior", 1, "W01", "Barn", calls, ("T1", "T2"), (), "O1", None, line)


FIRST, SECOND = heat("H1", "A", "T1-1", "T2-1"), heat("H2", "B", "T1-1")


def test_everybody_in_the_line_has_heard_every_call() -> None:
    spent = spent_calls([FIRST, SECOND], BOOK, TEAM)
    assert [(line.contestant, line.sets, line.items) for line in ledger(spent)] == [
        ("T1-1", ("A", "B"), ("GEN", "EXO", "NUM")),
        ("T2-1", ("A",), ("GEN", "EXO")),
    ]


def test_a_void_call_and_its_reserve_were_both_heard_and_who_was_absent_heard_nothing() -> None:
    plan = object.__new__(Plan)
    object.__setattr__(plan, "heats", (FIRST,))
    object.__setattr__(plan, "teams", ())
    rulings = (
        Void(("H1",), 2, 1),
        NoShow("T2-1", ("H1",)),
        Substitute("H1", 1, "T1-2", "T1-1"),
    )
    spent = spent_calls([FIRST], BOOK, TEAM, decided(rulings, plan))
    assert [(one.contestant, one.item, one.reserve) for one in spent] == [
        ("T1-2", "GEN", False), ("T1-2", "EXO", False), ("T1-2", "LEV", True),
    ]  # fmt: skip


def test_a_set_is_clean_for_those_who_have_not_heard_it() -> None:
    spent = spent_calls([FIRST, SECOND], BOOK, TEAM)
    assert heard_before("B", ("T1-1", "T2-1"), spent) == ("T1-1",)
    assert unheard(BOOK, spent) == ("D",) and heard_before("D", TEAM, spent) == ()


def test_a_set_that_was_called_twice_is_told_of_who_stood_there_both_times() -> None:
    assert heard_twice(spent_calls([FIRST, SECOND], BOOK, TEAM)) == ()
    again = replace(FIRST, id="H3", line=("T1-1", "T1-2"))
    assert heard_twice(spent_calls([FIRST, SECOND, again], BOOK, TEAM)) == (("T1-1", "A"),)


def test_once_finals_have_begun_none_of_their_left_over_sets_is_called_clean() -> None:
    finals = (replace(A, id="F1", use="final"), replace(A, id="F2", use="final"))
    book = CallBook((*BOOK.sets, *finals))
    assert unheard(book, spent_calls([FIRST], BOOK, TEAM)) == ("B", "D", "F1", "F2")
    assert unheard(book, spent_calls([FIRST, heat("F", "F1", "T1-1")], book, TEAM)) == ("B", "D")
