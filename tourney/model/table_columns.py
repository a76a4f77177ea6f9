"""The columns of the tables that people hand in: shared by the writer of the forms and by the readers."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Column:
    """One column. needed: the table can't be read without it. words: what a cell may hold, the default first."""

    name: str
    meaning: str
    needed: bool = False
    words: tuple[str, ...] = ()


LIST_SEPARATOR = ";"

ENTRIES = (
    Column("club", "the club that enters the team", needed=True),
    Column("team", "the team's name", needed=True),
    Column("division", "the division the team enters", needed=True),
    Column("name", "the child's first name and surname", needed=True),
    Column("preferred_name", "the name the child wants to hear, where it is another"),
    Column("birth_date", "day of birth, year-month-day is surest; stays with the coordinator"),
    Column("grade", "school grade, a whole number"),
    Column("needs_seconds", "seconds to find a call, where this child has more than the others"),
    Column("needs", "what the child needs on the day, never why; shown to the steward alone"),
    Column("seat", "where the child should stand or sit"),
    Column("edition", "the edition that the child brings along, such as large print"),
    Column("show_name", "how the name is shown to others", words=("initial", "full", "number")),
    Column("role", "in the line, or a substitute", words=("member", "substitute")),
)

OFFICIALS = (
    Column("name", "first name and surname", needed=True),
    Column(
        "roles",
        "duties this person can do, with ; between; empty for any",
        words=("judge", "caller", "timekeeper"),
    ),
    Column("clubs", "clubs this person belongs to or helps, with ; between"),
    Column("people", "contestants in the family or close, by name, with ; between"),
    Column("cleared_until", "last day on which the local clearance to be with children holds"),
    Column("from", "there from, 24-hour clock; empty for the whole day"),
    Column("to", "there until"),
    Column("rooms_step_free", "needs a room without steps", words=("no", "yes")),
    Column("large_print", "judges from a score sheet in large print", words=("no", "yes")),
)

SYLLABUS = (
    Column("id", "a short key of the item", needed=True),
    Column("name", "the name that is called", needed=True),
    Column("other_names", "further names that count as right, with ; between"),
    Column("section", "the section over which calls are spread", needed=True),
    Column("position", "its place in the list: 1, 2, 3; neighbours come from it", needed=True),
    Column("kind", "what is asked", words=("book", "reference", "story", "finish")),
    Column("difficulty", "how hard to find, in bits; computed when left out"),
    Column("divisions", "divisions in which it may be called, with ; between; empty for all"),
    Column("say", "what is called where it is not the name: the title of a story, the beginning of a text to finish"),
    Column("ending", "how a text to finish ends"),
)

DIFFICULTY = (
    Column("item", "the item's id in the syllabus", needed=True),
    Column("difficulty", "how hard it was to find, in bits", needed=True),
    Column("se", "standard error of that, in bits"),
    Column("heard", "by how many contestants it was heard"),
)

SOUND_ALIKES = (Column("names", "names or ids of the syllabus that sound alike, with ; between", needed=True),)
