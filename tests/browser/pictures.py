"""Makes the pictures that the README shows, from a rehearsal of the sample: python -m tests.browser.pictures

Needs Chromium, LibreOffice and pdftoppm. Look at each picture before it is kept.
"""

import base64
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from pathlib import Path

from playwright.sync_api import Browser, FloatRect, sync_playwright

from tourney.clock import now
from tourney.day.practice import Wish, practice
from tourney.day.rehearse import rehearse
from tourney.resources import sample_events

PICTURES = Path(__file__).parents[2] / "sample_events" / "pictures"
FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking"]
WIDTH, THUMB = 1000, 190  # px: of one picture, and of a portrait page among all documents
# Every kind of document: its file, and which of its sheets is shown.
SHOWN = (
    ("papers/public/schedule.html", 0),
    ("papers/public/doors.html", 0),
    ("papers/public/standings_board.html", 0),
    ("papers/judges/Lamp_Room.html", 0),
    ("papers/judges/Lamp_Room.html", 2),
    ("papers/callers/Lamp_Room.html", 0),
    ("papers/callers/practice_calls.html", 0),
    ("papers/callers/drill_off/Junior.html", 0),
    ("papers/callers/drill_off/Junior.html", 1),
    ("papers/callers/reserve/Junior.html", 0),
    ("papers/clubs/Ambersluice_Club.html", 0),
    ("papers/clubs/Ambersluice_Club.html", 1),
    ("papers/officials/briefing.html", 0),
    ("papers/officials/itineraries.html", 0),
    ("papers/steward/access_list.html", 0),
    ("papers/steward/large_print/M05-2.html", 0),
    ("papers/coordinator/run_sheet.html", 1),
    ("papers/coordinator/print_run.html", 0),
    ("papers/coordinator/schedule.html", 0),
    ("papers/coordinator/sign_in.html", 0),
    ("papers/coordinator/protests.html", 0),
    ("papers/coordinator/protests.html", 1),
    ("papers/coordinator/emergency.html", 0),
    ("papers/coordinator/fairness.html", 0),
    ("papers/coordinator/call_sets.html", 0),
    ("results/awards.html", 0),
    ("results/certificates.html", 60),
    ("results/wall.html", 0),
)


def main() -> None:
    """Play the sample and write every picture."""
    with tempfile.TemporaryDirectory() as scratch, sync_playwright() as playwright:
        day = Path(scratch) / "day"
        rehearse(sample_events() / "lantern_coast", day, lambda _: None)
        chromium = next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))))
        browser = playwright.chromium.launch(executable_path=chromium, args=FLAGS)
        sheet = _workbook_page(day / "papers/judges/Lamp_Room.xlsx", 1)
        standings = _workbook_page(day / "results/results.xlsx", 2)
        pages = list(_sheets(browser, day))
        _compose(browser, "score_sheet.png", [sheet], WIDTH, (0, 0, 1, 0.72))
        _compose(browser, "schedule.png", [pages[0]], WIDTH)
        _compose(browser, "results.png", [pages[-1]], WIDTH, (0, 0, 1, 0.62))
        caller = _callers_page(browser, sample_events() / "lantern_coast", Path(scratch) / "coast")
        _compose(browser, "callers_page.png", [caller], WIDTH)
        _compose(browser, "contact_sheet.png", [*pages, sheet, standings], THUMB)
        browser.close()


def _workbook_page(path: Path, page: int) -> bytes:
    """One printed page of a workbook, as LibreOffice has it."""
    with tempfile.TemporaryDirectory() as scratch:
        office = ["soffice", f"-env:UserInstallation=file://{scratch}/profile", "--headless", "--convert-to", "pdf"]
        subprocess.run([*office, "--outdir", scratch, path], check=True, capture_output=True)
        made = Path(scratch) / f"{path.stem}.pdf"
        only = ["-f", str(page), "-l", str(page), "-singlefile"]
        subprocess.run(["pdftoppm", "-r", "150", "-png", *only, made, made.with_suffix("")], check=True)
        return made.with_suffix(".png").read_bytes()


def _callers_page(browser: Browser, source: Path, folder: Path) -> bytes:
    """The page that a coach calls from, with a call's answer on it."""
    shutil.copytree(source, folder)
    made = practice(folder, Wish(), now())
    page = next(folder / name for one in made.made for name in one.files if name.endswith("caller.html"))
    tab = browser.new_page(viewport={"width": 1600, "height": 900})
    tab.goto(page.as_uri())
    for _ in range(4):  # two cues, the call, the clock
        tab.keyboard.press(" ")
    tab.get_by_role("button", name="Time is up").click()
    tab.keyboard.press(" ")
    image = tab.screenshot()
    tab.close()
    return image


def _sheets(browser: Browser, day: Path) -> Iterator[bytes]:
    """The shown sheet of every document, with white margins as on paper."""
    tab = browser.new_page(viewport={"width": 1200, "height": 1200}, device_scale_factor=1.5)
    tab.emulate_media(media="print")
    for name, number in SHOWN:
        tab.set_content((day / name).read_text(encoding="utf-8"))
        tab.add_style_tag(content=".page { border: 12mm solid white; box-sizing: content-box; }")
        yield tab.locator(".page").nth(number).screenshot()
    tab.close()


def _compose(
    browser: Browser, name: str, images: list[bytes], width: int, kept: tuple[float, float, float, float] = (0, 0, 1, 1)
) -> None:
    """Write one picture. width: of a page held upright, or of a single one, in px.

    kept: its left, upper, right and lower edge, in parts of the whole.
    """
    alone = len(images) == 1
    tab = browser.new_page(viewport={"width": width if alone else 7 * (width + 12) + 12, "height": 100})
    parts = "".join(f'<img src="data:image/png;base64,{base64.b64encode(image).decode()}">' for image in images)
    wide = f"width: {width}px" if alone else f"height: {round(width * 2**0.5)}px; border: 1px solid #999"
    tab.set_content(
        f"<style>body {{ margin: {0 if alone else 6}px; background: {'white' if alone else '#ddd'}; display: flex; "
        f"flex-wrap: wrap; gap: 10px; align-items: center; filter: grayscale(1) }} img {{ {wide} }}</style>{parts}"
    )
    box = tab.locator("body").bounding_box()
    assert box is not None
    across, along = box["width"] + 2 * box["x"], box["height"] + 2 * box["y"]
    left, top, right, bottom = kept
    clip: FloatRect = {
        "x": across * left,
        "y": along * top,
        "width": across * (right - left),
        "height": along * (bottom - top),
    }
    tab.screenshot(path=PICTURES / name, full_page=True, clip=clip)
    tab.close()


if __name__ == "__main__":
    main()
