"""The fairness page in words."""

from tourney.canon.syllabus import built_in
from tourney.model.plan import FairnessLine
from tourney.papers.fairness import plain, properties, property_words


def test_a_property_is_said_once_with_a_row_a_division() -> None:
    found = properties(
        (
            FairnessLine("repeated_meetings", "Junior", 0, 0, 0, True),
            FairnessLine("least_minutes_of_rest", "all", 25, 10, None, True, "J03"),
            FairnessLine("repeated_meetings", "Senior", 3, 1, 3, False, "S01-S02"),
            FairnessLine("finish", "all", "14:10", None, "14:10", True),
            FairnessLine("use_spread_in_a_section", "Junior", 1.25, 2, None, True, "minor_prophets"),
        ),
        built_in(),
    )
    assert [(item.words[:12], len(item.rows)) for item in found] == [
        ("Times that t", 2), ("Minutes of r", 1), ("The last hea", 1), ("Uses of one ", 1),
    ]  # fmt: skip
    junior, senior = found[0].rows
    assert (junior.kept, junior.limit, junior.worst) == (True, "at most 0", "–")
    assert (senior.kept, senior.proven_best, senior.worst) == (False, True, "S01-S02")
    rest, finish, uses = (item.rows[0] for item in found[1:])
    assert (rest.where, rest.limit, rest.best) == ("whole day", "at least 10", "–")
    assert (finish.measured, finish.kept, finish.limit) == ("14:10", None, "–")
    assert (uses.measured, uses.worst) == ("1.25", "Minor Prophets")


def test_the_fewest_repeats_that_were_found_are_no_failure() -> None:
    lines = (
        FairnessLine("repeated_meetings", "Junior", 45, None, 36, True, "J01-J06"),
        FairnessLine("repeated_meetings", "Senior", 0, 0, 0, True),
    )
    junior, senior = properties(lines, built_in())[0].rows
    assert (junior.kept, junior.found_best, junior.best) == (None, True, "36")
    assert (senior.kept, senior.found_best) == (True, False)


def test_a_property_without_words_of_its_own_is_still_shown() -> None:
    assert property_words("hours_of_sun") == "hours of sun"


def test_values_are_shown_plainly() -> None:
    assert [plain(value) for value in (None, 0, 2.0, 0.12345, "0 of 3")] == ["–", "0", "2", "0.12", "0 of 3"]
