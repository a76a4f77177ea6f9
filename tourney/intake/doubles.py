"""The same child twice: certain cases are faults, likely ones are questions, identical rows count once."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from difflib import SequenceMatcher
from itertools import combinations

from tourney.faults import Code, Question
from tourney.intake.answers import Answers, question_id
from tourney.intake.cells import as_text
from tourney.intake.entries import Entry
from tourney.intake.findings import Findings
from tourney.intake.nearest import key

TWO, ONE = "two children", "one child"

# First names that are often short for one another: common practice, no source.
_SHORT = (
    {"anthony", "tony"}, {"dorothy", "dot"}, {"edward", "ted", "ned", "eddie"}, {"elizabeth", "beth", "betty", "libby"},
    {"henry", "harry"}, {"james", "jim", "jem"}, {"john", "jack"}, {"katherine", "catherine", "kate", "kitty", "kit"},
    {"margaret", "maggie", "meg", "peggy", "daisy"}, {"mary", "molly", "polly"}, {"richard", "dick", "rick"},
    {"robert", "bob", "bobby"}, {"sarah", "sally"}, {"theodore", "ted"}, {"william", "bill", "billy"},
)  # fmt: skip
_ALIKE_FIRST, _ALIKE_WHOLE = 0.75, 0.9  # difflib's ratio, of first names under one surname and of whole names


def single(entries: Iterable[Entry], findings: Findings) -> tuple[Entry, ...]:
    """The entries with each identical row of a team kept once; a note names the others."""
    kept: dict[tuple[tuple[str, str], ...], Entry] = {}
    for entry in entries:
        row = tuple(sorted((name, as_text(value)) for name, value in entry.row.cells.items()))
        first = kept.setdefault(row, entry)
        if first is not entry:
            message = f"{entry.name} stands here again, exactly as in {_place(first)}: counted once."
            findings.note(entry.row.file, entry.row.where(), Code.SAME_CHILD, message)
    return tuple(kept.values())


def find_doubles(entries: Sequence[Entry], answers: Answers, findings: Findings) -> None:
    """Faults for a child entered twice, questions for two who may be one."""
    for one, other in _pairs(entries):
        if _surely(one, other):
            _same(one, other, "", findings)
        elif _maybe(one, other) and answers.ask(_question(one, other), (TWO, ONE)) == ONE:
            _same(one, other, ", as the answer says", findings)


def _pairs(entries: Sequence[Entry]) -> list[tuple[Entry, Entry]]:
    """Pairs in one bucket at least, each once, in the order of entry."""
    buckets: dict[object, list[int]] = defaultdict(list)
    for number, entry in enumerate(entries):
        for bucket in (*entry.births, (key(entry.club), key(entry.name))):
            buckets[bucket].append(number)
    pairs = {pair for numbers in buckets.values() for pair in combinations(numbers, 2)}
    return [(entries[one], entries[other]) for one, other in sorted(pairs)]


def _surely(one: Entry, other: Entry) -> bool:
    namesakes = key(one.club) == key(other.club) and key(one.name) == key(other.name)
    return namesakes and bool(set(one.births) & set(other.births))


def _maybe(one: Entry, other: Entry) -> bool:
    """Alike and born on one day; or of one name in one club, whatever the dates say."""
    if set(one.births) & set(other.births):
        return alike(one, other)
    return key(one.club) == key(other.club) and key(one.name) == key(other.name)


def alike(one: Entry, other: Entry) -> bool:
    """Whether two names may be one child's: the same, a short form, or a slip of the pen."""
    first, second = key(one.name), key(other.name)
    if SequenceMatcher(None, first, second, autojunk=False).ratio() >= _ALIKE_WHOLE:
        return True
    if first.split()[-1] != second.split()[-1]:
        return False
    return any(_short_for(a, b) for a in _first_names(one) for b in _first_names(other))


def _first_names(entry: Entry) -> set[str]:
    return {key(name).split()[0] for name in (entry.name, entry.contestant.preferred_name) if name}


def _short_for(one: str, other: str) -> bool:
    shorter, longer = sorted((one, other), key=len)
    return (
        (len(shorter) >= 3 and longer.startswith(shorter))
        or any({one, other} <= group for group in _SHORT)
        or SequenceMatcher(None, shorter, longer, autojunk=False).ratio() >= _ALIKE_FIRST
    )


def _question(one: Entry, other: Entry) -> Question:
    described = sorted(f"{key(entry.club)}|{key(entry.team)}|{key(entry.name)}" for entry in (one, other))
    return Question(
        question_id(Code.MAYBE_SAME_CHILD, *described),
        other.row.file,
        other.row.where(),
        Code.MAYBE_SAME_CHILD,
        f"{one.name} of {one.club} ({_place(one)}) and {other.name} of {other.club} may be the same child.",
        f'Delete one of the rows, or answer "{TWO}".',
    )


def _same(one: Entry, other: Entry, reason: str, findings: Findings) -> None:
    findings.fault(
        other.row.file,
        other.row.where(),
        Code.SAME_CHILD,
        f"{other.name} of {other.club} is entered twice{reason}: here and in {_place(one)}.",
        "Delete one of the two rows.",
    )


def _place(entry: Entry) -> str:
    return f"{entry.row.file}, {entry.row.where()}"
