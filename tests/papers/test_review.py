"""The coach's review and the chief judge's: whose names they hold, what they keep back, and what they show."""

import csv
import re
from collections.abc import Iterator, Sequence
from functools import cache
from html import unescape
from io import StringIO
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook

from tourney.model.sheet import FilledSheet, Marked
from tourney.model.sheet_layout import sheet_code
from tourney.model.spent import spent_calls
from tourney.papers.file_names import file_names
from tourney.papers.items_workbook import difficulty_csv, write_items_workbook
from tourney.papers.judges_page import judges_page
from tourney.papers.judges_views import ChiefReview, chief_review
from tourney.papers.judges_workbook import write_judges_workbook
from tourney.papers.page_writer import Writer
from tourney.papers.review_pack import CallsReview, write_reviews
from tourney.papers.review_page import review_pages
from tourney.papers.review_views import ClubReview, club_reviews
from tourney.papers.review_words import NOTHING_YET
from tourney.papers.spent_page import spent_view
from tourney.papers.views import Hall
from tourney.review.calibration import Calibrated, Calibration, calibrate
from tourney.review.items import item_reviews
from tourney.review.judges import allowances, judge_reviews
from tourney.review.panels import agreements, pairs
from tourney.review.rooms import room_effects
from tourney.scoring.adjusted import adjusted_places
from tourney.scoring.division_day import division_day
from tourney.scoring.heard import heard_calls
from tourney.scoring.heats import score_heats
from tourney.scoring.results import results_of


def marked(day: Any) -> list[FilledSheet]:
    """All sheets of a day; who stands in line misses the more calls the further down the line."""
    sheets = []
    for number, heat in enumerate(day.plan.heats):
        calls = [call.no for call in day.book.set[heat.call_set].calls]
        for judge in range(1, len(heat.judges) + 1):
            marks = [
                Marked(line, call, (("L", "W", "S", "H")[(call + line) % 4],))
                for line in range(1, len(heat.line) + 1)
                for call in calls
                if (7 * call + 3 * line + number) % 13 < line // 3 + (judge == 2 and call % 5 == 0)
            ]
            code = sheet_code(heat.id, judge)
            sheets.append(FilledSheet(code, heat.id, judge, 1, "AB", heat.line, tuple(marks), tuple(calls)))
    return sheets


class Reviews:
    """What is handed out, before results are final or after."""

    def __init__(self, day: Any, *, final: bool) -> None:
        self.day, self.hall = day, Hall(day.plan, day.roster)
        sheets = marked(day)
        self.results = results_of(day.plan, day.book, day.roster, sheets, protests_closed=final)
        assert self.results.state == ("final" if final else "provisional")
        scores = score_heats(day.plan, day.book, sheets)
        self.heard = heard_calls(day.plan, day.book, scores)
        self.clubs: tuple[ClubReview, ...] = club_reviews(
            self.hall, self.heard, self.results, day.syllabus, () if final else None
        )
        panels = judge_reviews(self.heard, day.plan.event)
        divisions = [division_day(day.plan, division, scores) for division in day.plan.event.divisions]
        adjusted = adjusted_places(divisions, allowances((s.heat for s in scores), panels, day.plan.event), "words")
        self.chief: ChiefReview = chief_review(
            self.hall, day.roster, panels, agreements(self.heard), pairs(self.heard),
            room_effects(self.heard, day.plan.event), adjusted,
        )  # fmt: skip
        self.items = item_reviews(self.heard)
        self.calibration = calibrate(self.heard, {item.id: item.difficulty for item in day.syllabus.items})

    def write(self, folder: Path) -> None:
        calls = None
        if self.results.state == "final":
            team_of = {child: team.id for team in self.day.plan.teams for child in team.members}
            spent = spent_calls(self.day.plan.heats, self.day.book, team_of)
            calls = CallsReview(self.items, self.calibration, spent_view(self.day.book, spent))
        write_reviews(folder, self.clubs, self.chief, calls, self.day.syllabus, self.day.plan, self.results)


@pytest.fixture(scope="module")
def final(new_day: Any) -> Reviews:
    return Reviews(new_day(rounds=2), final=True)


@pytest.fixture(scope="module")
def written(final: Reviews, tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("reviews") / "review"
    final.write(folder)
    return folder


@pytest.fixture(scope="module")
def early(new_day: Any, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Written while the time for protests is not over."""
    folder = tmp_path_factory.mktemp("early") / "review"
    Reviews(new_day(rounds=2), final=False).write(folder)
    return folder


@cache
def text_of(path: Path) -> str:
    """All that a file says, markup taken away."""
    if path.suffix == ".xlsx":
        book = load_workbook(path)
        cells = (cell for sheet in book.worksheets for row in sheet.iter_rows(values_only=True) for cell in row)
        return "\n".join(
            [*(sheet.title for sheet in book.worksheets), *(str(cell) for cell in cells if cell is not None)]
        )
    content = path.read_text(encoding="utf-8")
    return unescape(re.sub("<[^>]*>", "\n", content)) + content if path.suffix == ".html" else content


def files(folder: Path) -> Iterator[Path]:
    return (path for path in sorted(folder.rglob("*")) if path.is_file() and not path.name.startswith("."))


def files_of(folder: Path, reviews: Sequence[ClubReview]) -> dict[str, tuple[Path, Path]]:
    """Club -> its page and its workbook."""
    names = file_names(review.club for review in reviews)
    clubs = folder / "clubs"
    return {club: (clubs / f"{name}.html", clubs / f"{name}.xlsx") for club, name in names.items()}


def test_a_club_is_told_of_no_other_clubs_child(final: Reviews, written: Path) -> None:
    club_of = {child: team.club for team in final.day.plan.teams for child in team.members}
    ours = files_of(written, final.clubs)
    assert sorted(path for own in ours.values() for path in own) == list(files(written / "clubs"))
    for club, own in ours.items():
        mine = {final.hall.names[child] for child, home in club_of.items() if home == club}
        others = {final.hall.names[child] for child, home in club_of.items() if home != club} - mine
        for path in own:
            said = text_of(path)
            assert all(name in said for name in mine if name in shown_in(final, club)), path
            assert not [name for name in others if name in said], path


def shown_in(final: Reviews, club: str) -> set[str]:
    """Names of a club's children who stood in a line."""
    (review,) = (one for one in final.clubs if one.club == club)
    return {child.shown_as for view in review.divisions for team in view.teams for child in team.children}


def test_no_file_holds_a_full_name_or_a_need(final: Reviews, written: Path) -> None:
    children = final.day.roster.contestants
    allowed = {child.name for child in children if child.show_name == "full"}
    hidden = {child.name for child in children if final.hall.names[child.id] != child.name} - allowed
    needs = {child.needs for child in children if child.needs}
    assert hidden and needs
    for path in files(written):
        assert not [words for words in (*hidden, *needs) if words in text_of(path)], path


def test_judges_are_for_the_chief_judge_alone(final: Reviews, written: Path) -> None:
    judges = {final.day.plan.official[one].name for heat in final.day.plan.heats for one in heat.judges}
    private = "\n".join(text_of(path) for path in files(written / "chief_judge"))
    assert all(name in private for name in judges)
    children = {name for key, name in final.hall.names.items() if name != key}
    assert not [name for name in children if name in private]
    for path in (*files(written / "clubs"), *files(written / "call_writer")):
        assert not [name for name in judges if name in text_of(path)], path


def test_before_results_are_final_no_call_is_named(early: Path, final: Reviews) -> None:
    assert not (early / "call_writer").exists()
    called = {call.say for heat in final.day.plan.heats for call in final.day.book.set[heat.call_set].calls}
    sections = {final.day.syllabus.section_name(key) for key in final.day.syllabus.sections}
    for path in files(early):
        said = text_of(path)
        assert "provisional" in said.lower(), path
        for words in (*sections, "Judges"):  # a book, and the heading of a workbook
            said = said.replace(words, "")
        assert not [name for name in called if re.search(rf"\b{re.escape(name)}\b", said)], path


def test_final_reviews_say_what_to_look_up(written: Path, final: Reviews) -> None:
    teams = [team for one in final.clubs for view in one.divisions for team in view.teams]
    child = next(child for team in teams for child in team.children if child.missed)
    page, book = files_of(written, final.clubs)[child.team.club]
    assert child.missed[0].item in text_of(page) and "rovisional" not in text_of(page)
    rows = load_workbook(book)["To look up again"].iter_rows(min_row=5, values_only=True)
    mine = [row[2:] for row in rows if row[0] == child.shown_as]
    assert mine == [(one.round or "after them", one.section, one.item, one.what) for one in child.missed]


def test_a_strip_has_no_place_and_nobody_else(final: Reviews) -> None:
    for page in review_pages(final.clubs, Writer(final.day.plan), final.results):
        strips = page.html.split('<div class="keep">')[1:]
        assert strips
        for strip in strips:
            assert not re.search("place \\d|percent|median|middle child|%", strip.split('<div class="stamp">')[0])


def test_cells_add_up(final: Reviews, written: Path) -> None:
    view = final.clubs[0].divisions[0]
    _, path = files_of(written, final.clubs)[final.clubs[0].club]
    rows = list(load_workbook(path, data_only=True)[view.label.name].iter_rows(min_row=5, values_only=True))
    first, *_ = view.teams
    children, whole = rows[: len(first.children)], rows[len(first.children)]
    assert [row[0] for row in children] == [child.shown_as for child in first.children]
    for column in (2, 3, 7, 8, 9, 10, 11):
        assert sum(int(str(row[column])) for row in children) == whole[column]
    sections = [row[-len(view.sections) :] for row in (*children, whole)]
    assert all(
        sum(cell or 0 for cell in cells if isinstance(cell, int)) == row[3]
        for cells, row in zip(sections, (*children, whole), strict=True)
    )


def test_names_that_look_like_formulas_or_markup_stay_text(written: Path) -> None:
    for path in files(written / "clubs"):
        if path.suffix == ".html":
            assert "<script>alert" not in path.read_text(encoding="utf-8")
        else:
            for sheet in load_workbook(path).worksheets:
                for row in sheet.iter_rows():
                    for cell in row:
                        assert cell.data_type != "f" or re.fullmatch(r"=D\d+/C\d+", str(cell.value))


def test_difficulty_is_an_open_table(final: Reviews, written: Path) -> None:
    content = (written / "call_writer" / "difficulty.csv").read_bytes().decode()
    assert content == difficulty_csv(final.calibration) and content.startswith("item,difficulty,se,heard\r\n")
    rows = list(csv.DictReader(StringIO(content)))
    assert [row["item"] for row in rows] == [item.id for item in final.day.syllabus.items]
    for row, one in zip(rows, final.calibration.items, strict=True):
        assert float(row["difficulty"]) == pytest.approx(max(0, one.difficulty), abs=6e-5) and float(row["se"]) > 0
    assert sum(int(row["heard"]) for row in rows) == sum(one.found.calls for one in final.items)


def test_no_item_is_easier_than_the_scale_goes() -> None:
    easy = Calibration((Calibrated("GEN", 0.1, -0.4, 0.2, 90, 90),), 0.6, 1.0, 1.0)
    assert difficulty_csv(easy) == "item,difficulty,se,heard\r\nGEN,0.0000,0.2000,90\r\n"


def test_the_private_workbooks_can_be_filtered(final: Reviews, tmp_path: Path) -> None:
    write_judges_workbook(tmp_path / "judges.xlsx", final.chief, final.day.plan, final.results)
    write_items_workbook(
        tmp_path / "items.xlsx", final.items, final.calibration, final.day.syllabus, final.day.plan, final.results
    )
    judges, items = load_workbook(tmp_path / "judges.xlsx"), load_workbook(tmp_path / "items.xlsx")
    assert judges.sheetnames == ["Read me", "Severity", "Letters", "Agreement", "Pairs", "Rooms", "Places"]
    assert judges["Severity"].max_row == 4 + len(final.chief.judges)
    assert items["Items"].max_row == 4 + len(final.items) and items["Items"].auto_filter.ref


def test_the_chief_judges_page_draws_every_judge(final: Reviews) -> None:
    page = judges_page(final.chief, Writer(final.day.plan), final.results)
    assert page.html.count("<circle") == len([row for row in final.chief.judges if row.review.severity]) + len(
        [room for room in final.chief.rooms if room.rows]
    )
    assert all(sentence[:40] in unescape(page.html) for sentence in final.chief.summary)


def test_a_small_division_shows_no_middle_child(new_day: Any) -> None:
    small = Reviews(new_day(names=("Junior",), teams=2, rooms=1, rounds=1, squad=2), final=True)
    for page in review_pages(small.clubs, Writer(small.day.plan), small.results):
        assert "Middle child of the division" not in page.html and "Too few children of other clubs" in page.html


def test_a_child_who_was_never_there_is_asked_to_come_again(new_day: Any) -> None:
    day = new_day(names=("Junior",), teams=2, rooms=1, rounds=1, squad=2)
    (heat,) = day.plan.heats
    calls = [call.no for call in day.book.set[heat.call_set].calls]
    away = tuple(Marked(1, call, ("N",)) for call in calls)
    sheets = [
        FilledSheet(sheet_code(heat.id, judge), heat.id, judge, 1, "AB", heat.line, away, tuple(calls))
        for judge in range(1, 4)
    ]
    results = results_of(day.plan, day.book, day.roster, sheets, protests_closed=True)
    heard = heard_calls(day.plan, day.book, score_heats(day.plan, day.book, sheets))
    reviews = club_reviews(Hall(day.plan, day.roster), heard, results, day.syllabus, ())
    children = [c for one in reviews for view in one.divisions for team in view.teams for c in team.children]
    absent = next(child for child in children if child.id == heat.line[0])
    assert absent.target == NOTHING_YET and absent.strengths == () and absent.missed == ()
    html = "".join(page.html for page in review_pages(reviews, Writer(day.plan), results))
    assert "No call of yours was judged" in html and "16 absent" in html
