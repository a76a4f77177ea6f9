"""Brackets in letters: every team and heat is there, lines meet where they should, nothing is wider than asked."""

from dataclasses import replace
from fractions import Fraction

import pytest

from tests.papers.sample_brackets import (
    best_two_go_on,
    double_knockout_of_four,
    knockout,
    last_out,
    line,
    names_of,
    played,
    won_without_the_deciding_heat,
)
from tourney.model.bracket import Bracket
from tourney.papers.bracket_text import bracket_text, cells, short
from tourney.papers.bracket_tree import Leaf, Node, in_parts, trees


def text(bracket: Bracket, width: int = 100) -> str:
    return bracket_text(bracket, names_of(bracket), width)


def test_four_teams_and_a_heat_for_the_third_place() -> None:
    assert text(played(knockout(4, third=True), 1)).splitlines() == [
        "1 Gull Point Juniors ─────── 299 ┬─ Gull Point Juniors ──┬─ Final",
        "4 St. Quill / Marsh: Youth…  292 ┘                       │",
        "2 Copper Mill Juniors ────── 298 ┬─ Copper Mill Juniors ─┘",
        "3 Fernbank Juniors ───────── 291 ┘",
        "",
        "Third place",
        "St. Quill / Marsh: Youth… ─┬─ Third place",
        "Fernbank Juniors ──────────┘",
    ]


def test_a_bye_goes_straight_to_the_heat_where_its_team_begins() -> None:
    assert text(played(knockout(3), 1)).splitlines() == [
        "1 Gull Point Juniors ──────────────────────────────┬─ Final",
        "2 Copper Mill Juniors  299 ┬─ Copper Mill Juniors ─┘",
        "3 Fernbank Juniors ─── 292 ┘",
    ]


def test_a_deciding_heat_that_is_not_needed_says_so() -> None:
    assert text(won_without_the_deciding_heat()).splitlines()[-3:] == [
        "Gull Point Juniors  294 ┬─ Gull Point Juniors ─┬─ Deciding heat: not needed",
        "Fernbank Juniors ── 287 ┘                      │",
        "loser of Final ────────────────────────────────┘",
    ]


def test_who_comes_from_elsewhere_is_told() -> None:
    said = text(double_knockout_of_four())
    assert "loser of Heat of winners" in said and "loser of Final" in said
    assert [title for title in ("Not beaten", "Beaten once", "For the title: Deciding heat") if title in said]
    assert "2nd of Heat 1" in text(best_two_go_on())


@pytest.mark.parametrize("count", [2, 3, 5, 8, 13, 64, 100, 256])
@pytest.mark.parametrize("width", [60, 100])
def test_any_number_of_entries_is_drawn_or_listed_in_the_width(count: int, width: int) -> None:
    bracket = played(knockout(count))
    said = text(bracket, width)
    names = names_of(bracket)
    if all(line[:1] in " 0123456789" for line in said.splitlines()):  # drawn; a list has sentences of any length
        assert max(map(cells, said.splitlines())) <= width
        assert len(said.splitlines()) == count
        assert said.count("┘") == count - 1, "one for each heat"
    for team in bracket.seeds:
        assert short(names[team], 26) in said
    assert ("┬" in said) is (count <= (8 if width == 60 else 100))


def test_columns_stay_upright_whatever_letters_names_have() -> None:
    bracket = played(knockout(4), 1)
    names = {**names_of(bracket), "K02": "小林 波", "K03": "Zoe\u0308 Harbour"}
    lines = bracket_text(bracket, names).splitlines()
    places = [cells(line[: line.index(sign)]) for line, sign in zip(lines, "┬┘┬┘", strict=True)]
    assert len(set(places)) == 1


def test_a_line_is_a_table_with_the_places() -> None:
    assert text(played(line(3))).splitlines() == [
        "Seed  Team                 Final  Place",
        "   1  Gull Point Juniors     299      1",
        "   2  Copper Mill Juniors    292      2",
        "   3  Fernbank Juniors       285      3",
    ]
    rows = text(played(last_out(4), 2)).splitlines()
    assert rows[3].split()[-4:] == ["285", "284", "–", "3"]
    assert rows[4].split()[-4:] == ["278", "–", "–", "4"]
    assert rows[1].split()[-1] == "298", "nobody has a place before the last heat"


def test_the_last_heat_is_named_where_heats_are_too_many_for_columns() -> None:
    lines = text(played(last_out(12))).splitlines()
    assert max(map(cells, lines)) <= 100 and lines[0].endswith("Last heat  Points  Place")
    assert lines[-1].split()[-4:] == ["Set", "1", "222", "12"]
    assert [line.split()[-1] for line in lines[1:]] == [str(place) for place in range(1, 13)]
    assert all("Set" not in line for line in text(last_out(12)).splitlines()), "before the first is heard"


def test_level_teams_share_a_place_in_the_table() -> None:
    (heat,) = (bracket := played(line(4))).heats
    level = replace(heat, points=(Fraction(299), *(Fraction(545, 2),) * 2, Fraction(9)), places=(1, 2, 2, 4))
    rows = text(replace(bracket, heats=(level,))).splitlines()[1:]
    assert [row.split()[-2:] for row in rows] == [["299", "1"], ["272½", "2="], ["272½", "2="], ["9", "4"]]


def test_footnotes_stand_beneath() -> None:
    noted = replace(knockout(2), footnotes=("Seeds 2 and 3 changed seats.",))
    assert text(noted).splitlines()[-1] == "Seeds 2 and 3 changed seats."


def leaves(node: Node) -> list[Leaf]:
    return [leaf for seat in node.seats for leaf in (leaves(seat) if isinstance(seat, Node) else [seat])]


@pytest.mark.parametrize("count", [65, 100, 128, 256])
def test_a_large_tree_falls_into_parts_that_hold_every_heat_and_seed_once(count: int) -> None:
    bracket = knockout(count)
    (tree,) = trees(bracket)
    parts = in_parts(tree, 64)
    assert all(part.root.leaves <= 64 for part in parts)
    assert sorted(node.heat.id for part in parts for node in part.root.nodes) == sorted(h.id for h in bracket.heats)
    seeds = [leaf.seed for part in parts for leaf in leaves(part.root) if leaf.seed]
    assert sorted(seeds) == list(range(1, count + 1))


def test_short_keeps_to_its_width() -> None:
    assert short("  Copper \n Mill ", 20) == "Copper Mill"
    assert short("Copper Mill", 7) == "Copper…"
    assert cells(short("小林 波小林 波", 6)) <= 6
