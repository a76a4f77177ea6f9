"""The results workbook: exact numbers, formulas to follow, safe names, nothing that looks final when it is not."""

from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from typing import Any
from zipfile import ZipFile

import pytest
from openpyxl import Workbook, load_workbook

from tourney.model.sheet import FilledSheet, Marked
from tourney.model.sheet_layout import sheet_code
from tourney.model.standing import (
    Asked,
    ContestantStanding,
    DivisionResults,
    HeatStanding,
    LevelGroup,
    OpenMatter,
    Results,
    TeamStanding,
)
from tourney.papers.results_workbook import write_results_workbook
from tourney.papers.views import Hall

HALF = Fraction(1, 2)


def standing(place: int, team: str, rounds: tuple[Fraction, ...], **more: Any) -> TeamStanding:
    usual = TeamStanding(
        place, False, team, sum(rounds, Fraction()), Fraction(1440), 99, 3, 6, 9, 12, 9, "clean_calls", "because",
        (place, place + 1), "possible", rounds,
    )  # fmt: skip
    return replace(usual, **more)


ROUNDS = {
    "J01": (Fraction(400), Fraction(380) + HALF, Fraction(390)),
    "J02": (Fraction(300), Fraction(300), Fraction(300)),
    "J06": (Fraction(350), Fraction(250), Fraction(300)),
}


@pytest.fixture(scope="module")
def results(day: Any) -> Results:
    found = {"law": (41, 48), "gospels_acts": (0, 12)}
    teams = (
        standing(1, "J01", ROUNDS["J01"], range=(1, 1), advances="certain", sections=found),
        standing(2, "J02", ROUNDS["J02"], shared=True, decided_by="shared"),
        standing(2, "J06", ROUNDS["J06"], shared=True),
    )
    heats = tuple(
        HeatStanding(heat.id, heat.round, team, ROUNDS[team][heat.round - 1], Fraction(480), 33, 1, 2, 3, 4, 3)
        for heat in day.plan.heats
        for team in heat.teams
        if team in ROUNDS
    )
    contestants = (
        ContestantStanding(1, False, "J02-4", "=SUM(A1) O.", "J02", Fraction(1301, 3), Fraction(480), "A", "",
                           (Fraction(1301, 3), Fraction(), Fraction())),
        ContestantStanding(2, False, "J01-1", "Cosmo O.", "J01", Fraction(400), Fraction(480), None,
                           "B from 360, 3/4 of 480: 1 short", (Fraction(200), Fraction(100), Fraction(100))),
    )  # fmt: skip
    matter = OpenMatter("missing_sheet", "J-R1-1", "Sheet J-R1-1.B.Z has not come in.")
    level = LevelGroup(
        ("J01", "J02", "J06"),
        (
            Asked("points", 0, {"J01": "900", "J02": "900", "J06": "900"}, "points"),
            Asked("head_to_head", 0, {}, note="not all of them met, so heats among them don't count"),
            Asked("margin", 0, {"J01": "30½", "J02": "-4", "J06": "-4"}, "points of margin", ("J01",)),
        ),
    )
    return Results(
        "provisional", 1, (DivisionResults("Junior", teams, contestants, level=(level,), heats=heats),), (matter,)
    )


@pytest.fixture(scope="module")
def sheet(day: Any) -> FilledSheet:
    heat = day.plan.heats[0]
    marks = (Marked(1, 2, ("L",)), Marked(1, 3, ("W", "S")), Marked(2, 16, ("H",)))
    judged = tuple(range(1, 16))
    return FilledSheet(sheet_code(heat.id, 1), heat.id, 1, 1, "AB", heat.line, marks, judged, ((2, 5),))


@pytest.fixture(scope="module")
def path(day: Any, results: Results, sheet: FilledSheet, tmp_path_factory: pytest.TempPathFactory) -> Path:
    target = tmp_path_factory.mktemp("results") / "results.xlsx"
    write_results_workbook(target, results, day.plan, day.roster, [sheet])
    return target


@pytest.fixture(scope="module")
def workbook(path: Path) -> Workbook:
    return load_workbook(path)


def table(workbook: Workbook, tab: str) -> list[dict[str, Any]]:
    """The rows of a tab by their headings."""
    rows = [[cell.value for cell in row] for row in workbook[tab].iter_rows(min_row=4)]
    return [dict(zip(map(str, rows[0]), row, strict=True)) for row in rows[1:]]


def test_tabs(workbook: Workbook) -> None:
    expected = [
        "Read me",
        "Junior",
        "Junior contestants",
        "Rounds",
        "Tie-break workings",
        "Charts",
        "Sections",
        "Raw marks",
        "Corrections",
        "Open matters",
        "Fairness",
        "Settings",
    ]
    assert workbook.sheetnames == expected


def test_totals_add_up_the_rounds_and_these_the_heats(workbook: Workbook, path: Path) -> None:
    first, _, _ = table(workbook, "Junior")
    assert first["Round 2"] == "=SUMIFS('Rounds'!$H$5:$H$13,'Rounds'!$E$5:$E$13,\"J01\",'Rounds'!$B$5:$B$13,2)"
    assert first["Clean calls"] == "=SUMIFS('Rounds'!$K$5:$K$13,'Rounds'!$E$5:$E$13,\"J01\")"
    assert first["Total"] == "=SUM(D5:F5)"
    assert first["Part of available"] == '=IF(H5>0,G5/H5,"")'
    shown = table(load_workbook(path, data_only=True), "Junior")
    assert [[row[f"Round {number}"] for number in (1, 2, 3)] for row in shown] == [
        [float(points) for points in rounds] for rounds in ROUNDS.values()
    ]
    assert [[row[name] for name in ("Available", "Clean calls", "L", "W", "S", "H")] for row in shown] == [
        [1440, 99, 3, 6, 9, 12]
    ] * 3
    heats = table(workbook, "Rounds")
    for team, rounds in ROUNDS.items():
        rows = [row for row in heats if row["Team no."] == team]
        assert [row["Points"] for row in rows] == [float(points) for points in rounds]
        assert [row["Round"] for row in rows] == [1, 2, 3]
    assert [row["Remark"] for row in heats if row["Points"] == 380.5] == ["points 380½"]


def test_a_division_may_be_called_as_another_tab(new_day: Any, tmp_path: Path) -> None:
    day = new_day(names=("Rounds",))
    heat = day.plan.heats[0]
    row = HeatStanding(heat.id, 1, "R01", Fraction(400), Fraction(480), 40, 0, 0, 0, 0, 3)
    found = DivisionResults("Rounds", (standing(1, "R01", (Fraction(400),)),), (), heats=(row,))
    write_results_workbook(tmp_path / "r.xlsx", Results("final", 1, (found,), ()), day.plan, day.roster, [])
    (first,) = table(load_workbook(tmp_path / "r.xlsx"), "Rounds")
    assert first["Round 1"] == "=SUMIFS('Rounds 2'!$H$5:$H$5,'Rounds 2'!$E$5:$E$5,\"R01\",'Rounds 2'!$B$5:$B$5,1)"


def test_a_heat_that_is_not_in_yet_is_no_heat_without_points(new_day: Any, tmp_path: Path) -> None:
    day = new_day(names=("Junior",), rounds=2)
    heats = [next(heat for heat in day.plan.heats if heat.round == n and "J01" in heat.teams) for n in (1, 2)]
    rows = [
        HeatStanding(heat.id, heat.round, "J01", Fraction(points), Fraction(480), 40, 0, 0, 0, 0, 3, heard=bool(points))
        for heat, points in zip(heats, (400, 0), strict=True)
    ]
    child = ContestantStanding(
        1, False, "J01-1", "Ada", "J01", Fraction(100), Fraction(160), None, "", (Fraction(100), Fraction(0))
    )
    team = standing(1, "J01", (Fraction(400), Fraction(0)))
    found = DivisionResults("Junior", (team,), (child,), heats=tuple(rows))
    path = tmp_path / "r.xlsx"
    write_results_workbook(path, Results("provisional", 1, (found,), ()), day.plan, day.roster, [])
    shown = load_workbook(path, data_only=True)
    assert [table(shown, name)[0]["Round 2"] for name in ("Junior", "Junior contestants")] == ["–", "–"]
    assert [(row["Points"], row["Clean calls"], row["Remark"]) for row in table(shown, "Rounds")] == [
        (400, 40, None), (None, None, "not in yet"),
    ]  # fmt: skip


def test_the_next_award_says_by_how_much_it_was_missed(workbook: Workbook) -> None:
    first, second = table(workbook, "Junior contestants")
    assert (first["Points"], second["Part of available"]) == ("=SUM(D5:F5)", '=IF(H6>0,G6/H6,"")')
    assert (first["Band"], first["Next award"]) == ("A", None)
    assert (second["Band"], second["Next award"]) == (None, "B from 360, 3/4 of 480: 1 short")
    assert [second[f"Round {number}"] for number in (1, 2, 3)] == [200, 100, 100]


def test_sections_are_a_strip_of_bars_whose_boxes_hold_both_numbers(workbook: Workbook) -> None:
    first, second, _ = table(workbook, "Sections")
    assert (first["Law"], first["Gospels and Acts"], first["All"]) == ("=41/48", "=0/12", "=41/60")
    assert (second["Law"], second["All"]) == (None, None)
    ((boxes, (rule,)),) = [(str(one.sqref), one.rules) for one in workbook["Sections"].conditional_formatting]
    assert (boxes, rule.type) == ("C5:E7", "dataBar")


def test_what_is_not_whole_is_told_exactly(workbook: Workbook) -> None:
    first, second, _ = table(workbook, "Junior")
    assert first["Exact where not whole"] == "total 1170½, round 2 380½"
    assert second["Exact where not whole"] in ("", None)
    assert table(workbook, "Junior contestants")[0]["Exact where not whole"] == "points 433⅔, round 1 433⅔"


def test_a_shared_place_is_a_number_that_shows_its_sign(workbook: Workbook) -> None:
    places = [workbook["Junior"].cell(row, 1) for row in (5, 6, 7)]
    assert [cell.value for cell in places] == [1, 2, 2]
    assert [cell.number_format for cell in places] == ["General", '0"="', '0"="']


def test_every_place_has_its_reason_and_range(workbook: Workbook) -> None:
    first, second, _ = table(workbook, "Junior")
    assert (first["Decided by"], first["Why this place"], first["Place can still be"]) == (
        "clean calls",
        "because",
        "1",
    )
    assert (second["Place can still be"], second["Advances"]) == ("2 to 3", "possible")


def test_contestants_stand_by_the_names_that_may_be_shown(workbook: Workbook, day: Any) -> None:
    rows = table(workbook, "Junior contestants")
    assert [row["Contestant"] for row in rows] == ["=SUM(A1) O.", "Cosmo O."]
    assert workbook["Junior contestants"]["B5"].data_type == "s"
    held = {cell.value for sheet in workbook for row in sheet.iter_rows() for cell in row}
    hidden = {child.name for child in day.roster.contestants} - set(Hall(day.plan, day.roster).names.values())
    assert hidden and not held & hidden
    assert not any("large print" in str(value) for value in held)


def test_raw_marks_tell_clean_fault_not_judged_and_unread_apart(workbook: Workbook, sheet: FilledSheet) -> None:
    first, second, *rest = table(workbook, "Raw marks")
    assert len(rest) == len(sheet.contestants) - 2
    assert [first[str(call)] for call in (1, 2, 3, 16)] == ["·", "L", "WS", "–"]
    assert (first["L"], first["W"], first["S"], first["H"], first["Open"]) == (1, 1, 1, 0, 1)
    assert [second[str(call)] for call in (5, 16)] == ["?", "H–"]
    assert second["Open"] == 2
    assert second["H"] == 0  # under no tick: not judged, so not a fault either


def test_provisional_is_said_on_every_sheet(workbook: Workbook, day: Any, results: Results, tmp_path: Path) -> None:
    for found in workbook.worksheets:
        head: Any = found.oddHeader
        assert head.right.text == "PROVISIONAL: 1 matter open"
    write_results_workbook(
        tmp_path / "r.xlsx", replace(results, state="final", open_matters=()), day.plan, day.roster, []
    )
    assert load_workbook(tmp_path / "r.xlsx")["Read me"]["B3"].value == "FINAL"


def test_fairness_and_rules_are_there(workbook: Workbook, day: Any) -> None:
    fairness = table(workbook, "Fairness")
    assert [row["Kept"] for row in fairness] == ["yes" if line.ok else "NO" for line in day.plan.fairness]
    assert fairness[0]["Property"] == "Times that two teams of one club meet"
    rules = {(row["Of"], row["Key"]): row["Value"] for row in table(workbook, "Settings")}
    assert rules["Junior", "points.spoken"] == "5"
    assert rules["room Boat Shed", "line_limit"] == "12"


def test_points_by_round_are_drawn_over_the_cells_of_the_table(path: Path) -> None:
    with ZipFile(path) as parts:
        (name,) = [name for name in parts.namelist() if name.startswith("xl/charts/chart")]
        drawn = parts.read(name).decode()
    assert [f"'Junior'!${letter}$5:${letter}$7" in drawn for letter in "BDEF"] == [True] * 4
    assert "maxMin" in drawn, "the best team stands above"


def test_tables_filter_scroll_and_print(workbook: Workbook) -> None:
    for found in [sheet for sheet in workbook.worksheets[1:] if sheet.title not in ("Charts", "Tie-break workings")]:
        assert found.auto_filter.ref.startswith("A4:")
        assert str(found.freeze_panes).endswith("5")
        assert found.print_title_rows == "$4:$4"
        wide = found.title in ("Junior", "Senior")
        assert (found.page_setup.orientation, found.page_setup.fitToWidth) == ("landscape", 2 if wide else 1), (
            found.title
        )


def test_the_same_results_give_the_same_bytes(
    path: Path, day: Any, results: Results, sheet: FilledSheet, tmp_path: Path
) -> None:
    write_results_workbook(tmp_path / "again.xlsx", results, day.plan, day.roster, [sheet])
    assert (tmp_path / "again.xlsx").read_bytes() == path.read_bytes()


def test_tie_break_workings_frame_and_name_what_settled_a_place(workbook: Workbook) -> None:
    sheet = workbook["Tie-break workings"]
    assert sheet["A4"].value == "Junior: 1st to 2nd, level on points"
    assert [cell.value for cell in sheet[5]] == [
        "Place", "Team", "Settled by", "Points", "Head to head", "Margin\npoints of margin",
    ]  # fmt: skip
    assert [[cell.value for cell in sheet[row]][2:] for row in (6, 7)] == [
        ["margin", 900, "–", "30½"],
        ["level to the end: shared", 900, "–", "-4"],
    ]
    framed = [cell.coordinate for row in sheet["D6:F8"] for cell in row if cell.border.left.style == "medium"]
    assert framed == ["F6"]
    assert sheet["B9"].value == "Head to head: not all of them met, so heats among them don't count."


def test_workings_say_so_where_nobody_is_level(day: Any, results: Results, tmp_path: Path) -> None:
    apart = replace(results, divisions=tuple(replace(found, level=()) for found in results.divisions))
    write_results_workbook(tmp_path / "apart.xlsx", apart, day.plan, day.roster, [])
    assert "no tie-break was needed" in load_workbook(tmp_path / "apart.xlsx")["Tie-break workings"]["A2"].value
