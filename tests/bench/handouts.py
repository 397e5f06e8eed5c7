"""What a handout costs beside a browser's print of the same page: `python tests/bench/handouts.py`, by hand, by the clock.

The book is open and the site is built; both begin with the recipe's name and end with the bytes of a PDF. The browser is
Chromium, once with its start, as somebody prints one page, and once running already. Medians of seven, in turns.
"""

from __future__ import annotations

import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))
from measuring import TOOLS

sys.path.insert(0, str(TOOLS))

from browser import open_browser
from mothermold.desk.story import replay_story
from mothermold.handouts.command import make_handout
from mothermold.publish.building import build_site
from mothermold.view.view import open_view

RECIPE = "application/full-face"
TURNS = 7


def seconds(work: Callable[[], object]) -> float:
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        book, site = Path(folder) / "book", Path(folder) / "site"
        replay_story(book)
        build_site(book, "private", site)
        view, address = open_view(book, "private"), (site / f"recipes/{RECIPE}.html").as_uri()

        def printed(browser: object) -> None:
            page = browser.new_page()  # type: ignore[attr-defined]
            page.goto(address)
            page.pdf(format="A4", tagged=True)
            page.close()

        def started() -> None:
            with open_browser() as browser:
                printed(browser)

        make_handout(view, RECIPE, None, "a4")
        ours, running, cold = [], [], []
        with open_browser() as browser:
            printed(browser)
            for _ in range(TURNS):
                ours.append(seconds(lambda: make_handout(view, RECIPE, None, "a4")))
                running.append(seconds(lambda: printed(browser)))
        for _ in range(TURNS):
            ours.append(seconds(lambda: make_handout(view, RECIPE, None, "a4")))
            cold.append(seconds(started))
        handout = statistics.median(ours)
        print(f"student sheet of {RECIPE}: {handout * 1000:.0f} ms")
        for name, taken in (("a browser that runs", running), ("a browser that is started", cold)):
            print(
                f"{name}: {statistics.median(taken) * 1000:.0f} ms, {statistics.median(taken) / handout:.0f} times as long"
            )


main()
