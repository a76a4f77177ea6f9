"""Draws repeat on any machine, and no two purposes share a stream."""

from hypothesis import assume, given
from hypothesis import strategies as st

from tourney.draw import Draw, digest, seed

words = st.lists(st.text(max_size=6), max_size=4)


def first_numbers(draw: Draw, *name: str) -> list[int]:
    stream = draw.stream(*name)
    return [stream.getrandbits(64) for _ in range(4)]


@given(words, words)
def test_other_words_other_seed(one: list[str], other: list[str]) -> None:
    assert (seed(*one) == seed(*other)) == (one == other)


def test_words_do_not_run_together() -> None:
    assert len({seed("ab", "c"), seed("a", "bc"), seed("abc"), seed("abc", ""), seed("2:ab1:c")}) == 5


@given(st.text(), st.text(), words, words)
def test_streams_repeat_and_are_independent(public: str, secret: str, one: list[str], other: list[str]) -> None:
    assert first_numbers(Draw(public, secret), *one) == first_numbers(Draw(public, secret), *one)
    assume(one != other)
    assert first_numbers(Draw(public, secret), *one) != first_numbers(Draw(public, secret), *other)


def test_a_stream_is_not_moved_by_another() -> None:
    draw = Draw("fog")
    untouched = first_numbers(draw, "rotation", "Junior")
    draw.stream("rotation", "Senior").random()
    draw.stream("rotation", "Junior").random()
    assert first_numbers(draw, "rotation", "Junior") == untouched


def test_the_secret_changes_what_it_must() -> None:
    assert first_numbers(Draw("fog"), "calls") != first_numbers(Draw("fog", "shell"), "calls")
    assert first_numbers(Draw("fog", "shell"), "calls") != first_numbers(Draw("fogshell"), "calls")


def test_known_draw() -> None:
    """Frozen values: should they ever change, no draw that was proclaimed could be worked out again.

    The first is what `printf 3:fog | sha256sum` prints.
    """
    draw = Draw("three gulls and a bell", "shell")
    assert seed("fog") == 0xE8347AB7179AD79FC01BE8761889ACB5E89DAA532A0CF520777C629F40BE39F4
    assert draw.number("rotation", "Junior") == 125_647_695
    assert first_numbers(draw, "rotation", "Junior")[0] == 0x19EEF0698FD205C2


@given(st.text(), words)
def test_numbers_fit_libraries_that_take_31_bits(public: str, name: list[str]) -> None:
    assert 0 <= Draw(public).number(*name) < 2**31


def test_digest_is_sha_256() -> None:
    """The one-block example "abc" of SHA-256, FIPS 180-4 examples (NIST). From memory."""
    assert digest("abc") == "sha256:ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
