"""One call as one contestant heard it, with what the panel and each judge said: what reviews are made from."""

from dataclasses import dataclass

from tourney.model.calls import Call
from tourney.model.documents import Exact
from tourney.model.plan import Heat
from tourney.model.sheet import Letter

Word = tuple[Letter, ...]


@dataclass(frozen=True, slots=True)
class Heard:
    """One call of one contestant in one heat.

    asked: this contestant was asked for the spoken answer. word: letters that the panel agreed on, empty for clean;
    None while it is open, and where the judges agree neither way. points: what the panel gave, None while it is open.
    marks: what each judge of the heat wrote, in the plan's order; None for who did not judge it or watches other lines.
    given: the points of each of these marks.
    """

    heat: Heat
    line: int
    contestant: str
    team: str
    call: Call
    asked: bool
    word: Word | None
    points: Exact | None
    marks: tuple[Word | None, ...]
    given: tuple[int | None, ...]

    @property
    def there(self) -> bool:
        """Whether the panel's word is known and the contestant was not absent."""
        return self.word is not None and "N" not in self.word

    @property
    def found(self) -> bool | None:
        """Whether the item was found in time, in the right place; None where that is not known."""
        return None if self.word is None or "N" in self.word else not {"L", "W"} & set(self.word)

    @property
    def answered(self) -> bool | None:
        """Whether the spoken answer was right; None for who was not asked, or did not find it and so had no chance."""
        return "S" not in (self.word or ()) if self.asked and self.found else None


@dataclass(frozen=True, slots=True)
class Allowance:
    """What would make up for a strict panel: part of the points available, below 0 for a lenient one, and its doubt.

    se: standard deviation of the part.
    """

    part: float
    se: float
