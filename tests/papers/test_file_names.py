"""File names that every system takes, from words that people typed."""

from hypothesis import given
from hypothesis import strategies as st

from tourney.papers.file_names import RESERVED, file_name, file_names


def test_words_of_people_become_readable_names() -> None:
    assert file_name("St. X / Y: Youth") == "St_X_Y_Youth"
    assert file_name("../../etc") == "etc"
    assert file_name("小林 波") == "小林_波"
    assert file_name("???") == "unnamed"


def test_device_names_are_stepped_around() -> None:
    """Microsoft Learn, "Naming Files, Paths, and Namespaces": CON, PRN, AUX, NUL, COM1.., LPT1.. are reserved."""
    assert [file_name(word) for word in ("CON", "nul", "Com1", "Conch")] == ["CON_", "nul_", "Com1_", "Conch"]


def test_two_clubs_never_share_a_file() -> None:
    assert file_names(("Gull Point", "gull/point", "GULL.POINT")) == {
        "Gull Point": "Gull_Point",
        "gull/point": "gull_point_2",
        "GULL.POINT": "GULL_POINT_3",
    }


@given(st.lists(st.text(), max_size=8))
def test_names_are_plain_short_and_all_different(words: list[str]) -> None:
    names = file_names(words)
    assert set(names) == set(words)
    assert len({name.casefold() for name in names.values()}) == len(names)
    for name in names.values():
        assert name and len(name) <= 70
        assert not set(name) & set('<>:"/\\|?*.\0')
        assert name.casefold() not in RESERVED
