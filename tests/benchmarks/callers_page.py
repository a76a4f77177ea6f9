"""The caller's page in real time: how late its signals are over a set of 16 calls, beside a plain chain of timers.

python -m tests.benchmarks.callers_page, in the checkout, writes callers_page.md beside this file and returns 1 when a
target is missed. Needs Chromium; takes two minutes and a half.
"""

import shutil
import sys
import tempfile
from collections.abc import Sequence
from pathlib import Path
from time import perf_counter

from playwright.sync_api import sync_playwright

from tests.benchmarks.whole_process import machine
from tourney.canon.syllabus import built_in
from tourney.papers.caller_page import CallerPage, PageSet, caller_page, page_call
from tourney.planning.calls.kinds import call_of

HERE = Path(__file__).parent
FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking"]
CALLS, SECONDS, SETS = 16, 7, 20
PACE = {"cue": 400, "call": 400, "time": 400, "answer": 400}  # ms: short, so that the clock itself is most of the run
ONE_CALL = 2 * PACE["cue"] + PACE["call"] + 1000 * SECONDS + PACE["time"] + PACE["answer"]
DRIFT, SIZE = 50.0, 150_000.0  # ms over the set; bytes
# Notes when every step comes, and runs a chain beside it in which each timer starts when the one before came.
WATCH = """steps => { window.seen = []; window.peer = []; window.began = performance.now();
    new MutationObserver(() => window.seen.push([document.body.dataset.phase, performance.now() - window.began]))
        .observe(document.body, { attributeFilter: ['data-phase'] });
    const next = at => { if (at < steps.length) setTimeout(() => { window.peer.push(performance.now() - window.began);
        next(at + 1); }, steps[at]); };
    next(0);
    document.dispatchEvent(new KeyboardEvent('keydown', { key: 'a', bubbles: true })); }"""


def page() -> CallerPage:
    """Many sets of 16 books; the first is played."""
    syllabus = built_in()
    sets = []
    for number in range(SETS):
        items = [syllabus.items[(7 * number + 4 * place) % 66].id for place in range(CALLS)]
        calls = tuple(page_call(call_of(syllabus, no, item)) for no, item in enumerate(items, 1))
        sets.append(PageSet(f"S{number}", f"Set {number}", SECONDS, calls))
    return CallerPage(
        "A benchmark", "A benchmark", "Junior", "Everyone", ("Stand ready", "Books closed", "Find it"), "A4",
        tuple(sets), "For practice.", ("",) * 12, pace=PACE,
    )  # fmt: skip


def played(html: str) -> tuple[list[float], list[float], list[float]]:
    """ms by which each signal was late, by which each clock was long, and by which the peer's signals were late."""
    peer_steps = [step for _ in range(CALLS) for step in (ONE_CALL - PACE["answer"], PACE["answer"])]
    with tempfile.TemporaryDirectory() as scratch, sync_playwright() as playwright:
        (Path(scratch) / "page.html").write_text(html, encoding="utf-8")
        chromium = next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))))
        browser = playwright.chromium.launch(executable_path=chromium, args=FLAGS)
        tab = browser.new_page(viewport={"width": 1920, "height": 1080})
        tab.goto((Path(scratch) / "page.html").as_uri())
        tab.evaluate(WATCH, peer_steps)
        tab.wait_for_selector("body[data-phase=done]", timeout=CALLS * ONE_CALL + 30_000)
        tab.wait_for_timeout(1000)  # for the last of the peer's timers
        seen, peer = tab.evaluate("window.seen"), tab.evaluate("window.peer")
        browser.close()
    runs = [moment for phase, moment in seen if phase == "run"]
    signals = [moment for phase, moment in seen if phase == "time"]
    # The first step follows when the first cue has been shown for its time; so does the whole of every later call.
    first = 2 * PACE["cue"] + PACE["cue"] + PACE["call"] + 1000 * SECONDS
    late = [signal - first - number * ONE_CALL for number, signal in enumerate(signals)]
    long = [signal - run - 1000 * SECONDS for run, signal in zip(runs, signals, strict=True)]
    plain = [came - (number + 1) * ONE_CALL + PACE["answer"] for number, came in enumerate(peer[::2])]
    return late, long, plain


def table(late: Sequence[float], long: Sequence[float], plain: Sequence[float], size: int, took: float) -> str:
    """The page's table in Markdown."""
    drift = late[-1] - late[0]
    rows = (
        ("drift over the set: the last signal's lateness less the first one's", drift, "ms", DRIFT),
        ("the latest signal of the set", max(late), "ms", DRIFT),
        ("the longest clock, beyond its seconds", max(long), "ms", None),
        ("the shortest clock, beyond its seconds", min(long), "ms", None),
        ("peer: drift of a chain of timers, each started when the one before came", plain[-1] - plain[0], "ms", None),
        (f"a page of {SETS} sets of {CALLS} calls", size / 1000, "kB", SIZE / 1000),
        ("making that page", 1000 * took, "ms", None),
    )
    lines = [
        "# The caller's page",
        "",
        f"{machine()}. Written by `python -m tests.benchmarks.callers_page`: one set of {CALLS} calls of {SECONDS} s "
        "in Chromium, going on by itself.",
        "",
        "| what | measured | target | met |",
        "|---|---:|---:|---|",
    ]
    for what, measured, unit, target in rows:
        met = "" if target is None else "yes" if abs(measured) < target else "no"
        lines.append(f"| {what} | {measured:.1f} {unit} | {'' if target is None else f'{target:.0f} {unit}'} | {met} |")
    return "\n".join(lines) + "\n"


def main() -> int:
    """Play the set, write the table; 1 when a target is missed."""
    caller_page(page(), built_in())  # templates are compiled once
    began = perf_counter()
    html = caller_page(page(), built_in())
    took = perf_counter() - began
    late, long, plain = played(html)
    text = table(late, long, plain, len(html.encode()), took)
    (HERE / "callers_page.md").write_text(text, encoding="utf-8")
    print(text)
    return int("| no |" in text)


if __name__ == "__main__":
    sys.exit(main())
