"""Pages: what stands on them, what must not, and that they can be read."""

import re
from html.parser import HTMLParser
from typing import Any

import pytest

from tourney import resources
from tourney.model.rules import heat_rules
from tourney.papers.pages import pages
from tourney.papers.stamp import Stamp

Pages = dict[str, str]


class Text(HTMLParser):
    """The words of a page, its tags, and whether all were closed in order."""

    EMPTY = ("meta", "col", "br")

    def __init__(self, page: str) -> None:
        super().__init__()
        self.words: list[str] = []
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.open: list[str] = []
        self.feed(page)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        if tag not in self.EMPTY:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        if "style" not in self.open:
            self.words.append(data)

    @property
    def said(self) -> str:
        return " ".join(" ".join(self.words).split())


def html(day: Any) -> Pages:
    """Path -> HTML of every page of a day."""
    return {page.path: page.html for page in pages(day.plan, day.book, day.roster, day.syllabus)}


@pytest.fixture(scope="module")
def written(day: Any) -> Pages:
    return html(day)


@pytest.fixture(scope="module")
def said(written: Pages) -> Pages:
    return {path: Text(page).said for path, page in written.items()}


def test_one_folder_a_reader(written: Pages) -> None:
    assert {path.split("/")[0] for path in written} == {
        "public",
        "coordinator",
        "callers",
        "judges",
        "teams",
        "clubs",
        "officials",
        "steward",
    }
    assert "callers/Con_.html" in written and "callers/Boat_Shed.html" in written
    assert "clubs/St_Quill_Marsh_Youth.html" in written and "teams/J03_St_Quill_Marsh_Youth_Junior.html" in written


def test_pages_are_whole_and_stand_by_themselves(written: Pages) -> None:
    for path, page in written.items():
        text = Text(page)
        assert text.open == [], path
        assert page.startswith("<!doctype html>")
        assert not {tag for tag, _ in text.tags} & {"script", "link", "img", "iframe", "base", "form"}
        assert not [attrs for _, attrs in text.tags if {"src", "href"} & set(attrs)]
        named = page.replace(' xmlns="http://www.w3.org/2000/svg"', "")  # a name, nothing that is fetched
        assert "url(" not in page and "@import" not in page and "://" not in named


def test_every_page_carries_the_stamp(written: Pages, day: Any) -> None:
    stamp = Stamp.of(day.plan)
    for path, page in written.items():
        sheets = page.count('<section class="page')
        assert page.count('<div class="stamp">') == sheets, path
        assert page.count(f"<span>plan 1</span><span>rules {stamp.rules}</span>") == sheets, path


def test_names_that_look_like_markup_stay_words(written: Pages, said: Pages) -> None:
    assert all("<script" not in page and "<b>Ned" not in page for page in written.values())
    assert "<script>alert(1)</script> Junior" in said["public/schedule.html"]
    assert "=Tallow+Row Junior" in said["public/doors.html"]


def test_names_of_every_script_stay_whole_and_keep_their_direction(written: Pages) -> None:
    team = written["clubs/Fernbank.html"]
    assert '<bdi dir="auto">小林 波</bdi>' in team
    assert '<bdi dir="auto">نور ا.</bdi>' in team


def test_needs_are_with_the_steward_alone(said: Pages) -> None:
    assert {path for path, words in said.items() if "reads large print only" in words} == {"steward/access_list.html"}
    assert "Restricted" in said["steward/access_list.html"]
    assert "local safeguarding" in said["steward/access_list.html"]


def test_the_caller_has_the_bare_seconds(said: Pages) -> None:
    assert "Time signal at 10 s. Second signal at 15 s for line no. 3." in said["callers/Boat_Shed.html"]
    assert {
        path.split("/")[0] for path, words in said.items() if "15 s" in words.replace("\N{NO-BREAK SPACE}", " ")
    } == {"callers", "judges", "steward"}


def test_calls_are_with_the_callers_alone(said: Pages, day: Any) -> None:
    # "Judges" is a duty too.
    called = {call.say for found in day.book.sets for call in (*found.calls, *found.reserves)} - {"Judges"}
    pattern = re.compile("|".join(rf"\b{re.escape(name)}\b" for name in sorted(called)))
    # Sections may be named after books: they head the columns of the report on call sets.
    sections = re.compile("|".join(re.escape(day.syllabus.section_name(key)) for key in day.syllabus.sections))
    telling = {path for path, words in said.items() if pattern.search(sections.sub("", words))}
    assert {path.split("/")[0] for path in telling} == {"callers"}


def test_surnames_are_shown_only_where_the_entry_says_so(said: Pages, day: Any) -> None:
    everyone = day.roster.contestants
    alone = [child for child in everyone if sum(child.name == other.name for other in everyone) == 1]
    hidden = [child.name for child in alone if child.show_name != "full" and len(child.name.split()[-1]) > 2]
    assert len(hidden) > 10
    for path, words in said.items():
        assert path.startswith("steward/") or not [name for name in hidden if name in words], path


def test_public_pages_name_no_child(said: Pages, day: Any) -> None:
    from tourney.papers.views import Hall

    names = Hall(day.plan, day.roster).names.values()
    named = {path for path, words in said.items() if any(name in words for name in names)}
    coordinator = {"coordinator/sign_in.html", "coordinator/emergency.html"}
    assert {
        path for path in named if path.startswith(("public/", "officials/", "callers/", "coordinator/"))
    } == coordinator


def test_a_club_sees_its_own_children_only(said: Pages) -> None:
    """Besides the club itself, the registration desk sees them, and judges those who stand in line."""
    strange = "Maximiliana-Theodosia F."
    seen = {path for path, words in said.items() if strange in words and path.split("/")[0] in ("clubs", "teams")}
    assert seen == {"clubs/Fernbank.html", "teams/J02_Fernbank_Junior.html", "teams/S02_Fernbank_Senior.html"}
    others = {path for path, words in said.items() if strange in words} - seen
    assert others == {"coordinator/sign_in.html", "coordinator/emergency.html"}


def test_no_page_holds_a_birth_date(written: Pages) -> None:
    for page in written.values():
        words = Text(page).said.replace("17 April 2027", "")
        assert not re.search(r"\d{4}-\d\d-\d\d|\d\d?[./]\d\d?[./]\d{2,4}|\b(19|20)\d\d\b", words)


def test_an_envelope_holds_cover_calls_and_reserves(written: Pages, day: Any) -> None:
    page = written["callers/Boat_Shed.html"]
    heats = [heat for heat in day.plan.heats if heat.room == "Boat Shed"]
    sections = page.split('<section class="page')[1:]
    assert len(sections) == len(heats) * 4
    for section in sections:
        assert section.count('class="say') <= 8
    assert sections[0].count('class="say') == 0 and "If this envelope is open before its time" in sections[0]
    assert [section.count('class="say') for section in sections[1:4]] == [8, 8, 3]


def test_papers_defer_to_local_rules(said: Pages) -> None:
    for path, words in said.items():
        if path.split("/")[0] in ("teams", "clubs") or path in (
            "officials/briefing.html",
            "officials/itineraries.html",
            "coordinator/emergency.html",
            "steward/access_list.html",
            "coordinator/sign_in.html",
        ):
            assert "Your local safeguarding" in words and "come first" in words, path


def test_the_print_run_lists_what_is_printed_and_adds_it_up(day: Any) -> None:
    found = list(pages(day.plan, day.book, day.roster, day.syllabus))
    run = next(page for page in found if page.path == "coordinator/print_run.html")
    printed = [page for page in found if page.copies and page is not run]
    assert all(page.path in run.html for page in printed)
    assert not [page.path for page in found if page not in printed and page.path in run.html]
    assert {page.path.split("/")[0] for page in found if not page.copies} == {"teams", "steward"}
    assert f"{sum(page.sheets * page.copies for page in printed)} sheets of A4 in all" in Text(run.html).said
    briefing = next(page for page in found if page.path == "officials/briefing.html")
    assert (briefing.sheets, briefing.copies) == (1, len(day.roster.officials))


def test_the_briefing_says_the_rules_of_the_day(said: Pages, day: Any) -> None:
    words = said["officials/briefing.html"]
    assert "Briefing at 08:30, first wave at 09:00, last heat ends at 11:30. Lunch 09:35–10:15." in words
    assert "signal at 10 s ( Junior, Senior )" in words
    assert all(rule in words for rule in heat_rules(day.plan.event))


def test_slips_are_numbered_as_in_the_log(said: Pages) -> None:
    words = said["coordinator/protests.html"]
    assert [int(number) for number in re.findall(r"Protest no. (\d+)", words)] == list(range(1, 13))
    assert "until 10 minutes after the last sheet" in words


def test_large_print_is_the_stewards_and_large(written: Pages, style: str) -> None:
    page = written["steward/large_print/J01-3.html"]
    assert '<section class="page large">' in page and "Line number: <b>3</b>" in page
    assert float(re.findall(r"\.large \{ font-size: ([\d.]+)pt", style)[0]) >= 20
    assert "large_print/J01-3.html" in written["steward/access_list.html"]


def test_the_fairness_page_says_what_is_not_kept(said: Pages) -> None:
    words = said["coordinator/fairness.html"]
    assert "measured 2 times against a limit: 1 is kept, 1 is not" in words
    assert "Times that two teams meet again, all pairs together Junior 2 at most 1 1 ✗ not kept J01 and J02" in words
    assert "all day, the team with most Senior 45 – – no limit S03" in words


def test_the_same_plan_gives_the_same_pages(written: Pages, new_day: Any) -> None:
    again = new_day()
    assert html(again) == written


def test_days_of_other_sizes_have_pages_too(new_day: Any) -> None:
    for words in (
        {"teams": 2, "rooms": 1, "names": ("Only",), "timekeeper": "caller", "judges": 1, "rounds": 1, "calls": 1},
        {"teams_per_heat": 4, "squad": 3, "calls": 30, "paper": "Letter", "names": tuple("ABCDEFGH")},
    ):
        day = new_day(**words)
        written = html(day)
        assert all(Text(page).open == [] for page in written.values())


# --- the style sheet ---


def luminance(colour: str) -> float:
    """Relative luminance of "#rrggbb" (Web Content Accessibility Guidelines 2.2, W3C 2023, "relative luminance")."""
    parts = [int(colour[start : start + 2], 16) / 255 for start in (1, 3, 5)]
    red, green, blue = (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio (same source)."""
    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)


@pytest.fixture(scope="module")
def style() -> str:
    return (resources.templates() / "pages" / "print.css").read_text(encoding="utf-8")


def test_the_contrast_formula_meets_known_values() -> None:
    """21 for black on white is the guidelines' own; #767676 as the lightest grey that passes 4.5 is from memory."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#767676", "#ffffff") >= 4.5 > contrast("#777777", "#ffffff")


def test_text_can_be_read_on_every_ground(style: str) -> None:
    """4.5:1 for text is success criterion 1.4.3 of the same guidelines, 3:1 for lines is 1.4.11."""
    colours = dict(re.findall(r"--(\w+): (#[0-9a-f]{6});", style))
    assert set(colours) == {"ink", "soft", "paper", "tint", "rule"}
    for ground in ("paper", "tint"):
        assert contrast(colours["ink"], colours[ground]) >= 4.5
        assert contrast(colours["soft"], colours[ground]) >= 4.5
        assert contrast(colours["rule"], colours[ground]) >= 3


def test_no_other_colour_is_used_and_none_but_greys(style: str) -> None:
    named = dict(re.findall(r"--(\w+): (#[0-9a-f]{6});", style))
    assert set(re.findall(r"#[0-9a-fA-F]{3,8}", style)) == set(named.values())
    assert not re.search(r"rgb|hsl|opacity", style)
    for colour in named.values():
        red, green, blue = (int(colour[start : start + 2], 16) for start in (1, 3, 5))
        assert max(red, green, blue) - min(red, green, blue) <= 4


def test_type_sizes_are_large_enough(style: str) -> None:
    """11 pt to read, 16 pt and up to call: common practice, no source."""
    sizes = {name: float(size) for name, size in re.findall(r"--(\w+): ([\d.]+)pt;", style)}
    assert sizes["body"] >= 11 and sizes["call"] >= 16 and sizes["tiny"] >= 9
    assert re.search(r"\.call \.say \{ font-size: var\(--big\)", style)
    assert re.search(r"\.call \.say\.long \{ font-size: var\(--call\)", style)


def test_each_division_has_a_bar_of_its_own(style: str) -> None:
    bars = re.findall(r"^\.mark(?:-\d)? \{([^}]*)\}", style, re.MULTILINE)
    assert len(bars) == len(set(bars)) == 6
