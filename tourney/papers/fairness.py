"""The fairness page in words: what each measured property of a plan means to a person."""

from dataclasses import dataclass
from itertools import groupby

from tourney.canon.syllabus import Syllabus
from tourney.model.plan import FairnessLine

WORDS = {
    "repeated_meetings": "Times that two teams meet again, all pairs together",
    "same_club_meetings": "Times that two teams of one club meet",
    "byes_most_less_fewest": "Rounds sat out: most of a team less fewest of a team",
    "club_teams_in_one_pool_most_less_fewest": "Teams of one club in a pool: most less fewest, the most uneven club",
    "fewest_rooms_of_a_team": "Rooms that a team sees, the team with fewest",
    "most_visits_to_one_room": "Times in one room, the team with most",
    "sides_of_the_line": "Left end of the line against right end, the most uneven team",
    "late_less_early_heats": "Late heats of a round against early ones, the most uneven team",
    "one_judge_meets_one_team": "Times that one judge judges one team, the most",
    "parts_of_the_team_judge_graph": "Groups of teams and judges that never meet (1: all can be compared)",
    "least_minutes_waiting": "Minutes waiting between heats, all day, the team with fewest",
    "most_minutes_waiting": "Minutes waiting between heats, all day, the team with most",
    "least_minutes_of_rest": "Minutes of rest between two heats of a team, the shortest",
    "most_heats_of_an_official": "Heats of an official, the busiest",
    "fewest_heats_of_an_official": "Heats of an official, the least busy",
    "most_waves_in_a_row_of_an_official": "Waves that an official serves one after the other, the most",
    "finish": "The last heat ends",
    "minutes_saved_by_one_more_room": "Minutes that the day would end sooner with one more room and people for it",
    "minutes_saved_by_one_more_judge": "Minutes that the day would end sooner with one more judge alone",
    "minutes_saved_by_one_more_caller": "Minutes that the day would end sooner with one more caller alone",
    "calls_from_share_in_a_set": "Calls that a section of a set is away from its share, the most",
    "calls_from_share_after_a_round": "Calls that a section is away from its share after any round, the most",
    "section_spread_in_a_set": "Calls a section in one set: most less fewest",
    "section_spread_after_a_round": "Calls a section after any round: most less fewest",
    "use_spread_in_a_section": "Uses of one item in the day: most less fewest, in one section",
    "sets_between_reuse": "Sets heard between two uses of an item, the fewest",
    "neighbours_in_one_set": "Pairs of neighbours called in one set",
    "neighbours_within_three_calls": "Pairs of neighbours called within three calls",
    "sound_alikes_within_three_calls": "Names that sound alike called within three calls",
    "section_twice_running": "Times that a section is called twice running",
    "five_sections_running_alike": "Runs of five sections that come again, in any set",
    "sections_in_like_order": "Order of the sections in two sets: how much alike, 1 being the same (rank correlation)",
    "clean_sets_heard_before": "Sets for finals, drill-offs and heats held anew with the very calls of a round’s set",
    "calls_of_finals_heard_in_the_rounds": "Calls of finals and drill-offs that were called in some round too",
    "calls_heard_just_before_or_after": "Calls of finals, drill-offs and practice heard in the set beside them",
    "difficulty_spread_percent": "Difficulty of sets: hardest less easiest, percent of the mean",
    "difficulty_thirds_of_list_spread_calls": "Easy, middling and hard calls in a set: most less fewest, in calls",
    "difficulty_halves_bits": "Difficulty of the first half of a set against the second, in bits",
    "difficulty_thirds_of_set_bits": "Difficulty of a third of one set against that of another, in bits",
    "turns_to_speak_in_a_heat": "Turns to answer aloud in one heat: most of a child less fewest",
    "turns_to_speak_over_the_day": "Turns to answer aloud over all rounds: most of a child less fewest",
    "next_section_guessed_percent": "Chance to guess the next section by counting, percent (best: a blind guess)",
}
BOUNDED = ("repeated_meetings",)  # without a limit, since nobody knows whether a plan reaches the bound
AT_LEAST = ("least_minutes_of_rest", "sets_between_reuse")  # all other limits are not to be passed


@dataclass(frozen=True, slots=True)
class FairnessRow:
    """One measured value. limit: in words. kept: None where no limit is set.

    found_best: the fewest that was found, while nobody knows whether a plan reaches the bound.
    """

    where: str
    measured: str
    limit: str
    best: str
    kept: bool | None
    proven_best: bool
    found_best: bool
    worst: str


@dataclass(frozen=True, slots=True)
class Property:
    """One property in words, with its value in every division."""

    words: str
    rows: tuple[FairnessRow, ...]


def properties(lines: tuple[FairnessLine, ...], syllabus: Syllabus) -> tuple[Property, ...]:
    """The lines of the fairness page, gathered by property in the order in which each first comes."""
    place = {name: number for number, name in enumerate(dict.fromkeys(line.property for line in lines))}
    ordered = sorted(lines, key=lambda line: place[line.property])
    sections = dict(syllabus.section_names)
    return tuple(
        Property(property_words(name), tuple(_row(line, sections) for line in group))
        for name, group in groupby(ordered, key=lambda line: line.property)
    )


def property_words(name: str) -> str:
    """What a property of the plan means."""
    return WORDS.get(name, name.replace("_", " "))


def _row(line: FairnessLine, sections: dict[str, str]) -> FairnessRow:
    limit = f"{'at least' if line.property in AT_LEAST else 'at most'} {plain(line.limit)}"
    return FairnessRow(
        "whole day" if line.scope == "all" else line.scope,
        plain(line.measured),
        "–" if line.limit is None else limit,
        plain(line.bound),
        None if line.limit is None and line.ok else line.ok,
        line.bound is not None and line.bound == line.measured,
        line.limit is None and line.property in BOUNDED and line.bound != line.measured,
        sections.get(line.worst, line.worst) or "–",
    )


def plain(value: float | str | None) -> str:
    """A measured value for people: a dash for none, at most two decimals."""
    if value is None:
        return "–"
    said = f"{value:.2f}".rstrip("0").rstrip(".") if isinstance(value, float) else str(value)
    return said.replace("-", "−", 1) if said.startswith("-") else said
