"""Names as they may be shown."""

from hypothesis import given
from hypothesis import strategies as st

from tourney.model.names import called, meant, shown_names
from tourney.model.people import Contestant, ShowName

# Few letters, so that namesakes are common; ids that could be mistaken for a name too.
words = st.text(alphabet="aAbßé ", max_size=6)
wishes: st.SearchStrategy[ShowName] = st.sampled_from(["full", "initial", "number"])
children = st.lists(
    st.tuples(words, words, wishes).filter(lambda child: child[0].strip() != ""), min_size=1, max_size=12
).map(
    lambda rows: [
        Contestant(f"J{place:02}-1", name, preferred, show) for place, (name, preferred, show) in enumerate(rows)
    ]
)


@given(children)
def test_never_two_alike(everyone: list[Contestant]) -> None:
    shown = shown_names(everyone)
    assert set(shown) == {child.id for child in everyone}
    assert len({name.casefold() for name in shown.values()}) == len(everyone)


@given(children)
def test_order_does_not_matter(everyone: list[Contestant]) -> None:
    assert shown_names(everyone[::-1]) == shown_names(everyone)


@given(children)
def test_who_asked_for_a_number_is_never_named(everyone: list[Contestant]) -> None:
    shown = shown_names(everyone)
    assert all(shown[child.id] == child.id for child in everyone if child.show_name == "number")


def test_as_each_entry_asks() -> None:
    everyone = (
        Contestant("J01-1", "Mira Tolvarra"),
        Contestant("J01-2", "Ottoline Fairloch", preferred_name="Otti"),
        Contestant("J01-3", "Ulla Marlowith", show_name="full"),
        Contestant("J01-4", "Thandi Norquay", show_name="number"),
        Contestant("J01-5", "Zennor"),
        Contestant("J01-6", "灯里 汐野"),
    )
    assert list(shown_names(everyone).values()) == [
        "Mira T.",
        "Otti F.",
        "Ulla Marlowith",
        "J01-4",
        "Zennor",
        "灯里 汐.",
    ]


def test_initials_grow_until_names_differ() -> None:
    everyone = (Contestant("a", "Mira Tolvarra"), Contestant("b", "Mira Toskelle"), Contestant("c", "Miro Tolvarra"))
    assert shown_names(everyone) == {"a": "Mira Tol.", "b": "Mira Tos.", "c": "Miro T."}


def test_namesakes_carry_their_number_and_never_a_whole_surname() -> None:
    everyone = (Contestant("J01-1", "Juno Grebeley"), Contestant("J02-1", "Juno Grebeley"), Contestant("c", "Juno Gro"))
    assert shown_names(everyone) == {"J01-1": "Juno G. (J01-1)", "J02-1": "Juno G. (J02-1)", "c": "Juno Gr."}


def test_the_name_that_a_child_wants_to_hear() -> None:
    assert called(Contestant("a", "Jessamy Okonjira", preferred_name="Jess")) == "Jess"
    assert called(Contestant("a", "Jessamy Okonjira")) == "Jessamy"


def test_nobody() -> None:
    assert shown_names(()) == {}


def test_who_is_meant_goes_by_number_first_then_by_name() -> None:
    names = {"J01": "Herons", "J02": "J01", "S01": "herons"}
    assert meant(" j01 ", names) == ("J01",), "a number stands before a name that looks like it"
    assert meant("HERONS", names) == ("J01", "S01")
    assert meant("Hern", names) == () == meant("", names)
