"""What a handout costs beside a browser's print of the same page: `python tests/bench/handouts.py`, by hand, on a quiet machine.

A person who prints a page starts a browser, waits for the page and prints it; who wants a handout types `handout`, or taps at it
under `serve`, where the book is open already. Each is measured as a whole, start to finish of its processes, in the same run and in
turns: by the processor's seconds of all its processes, and by the clock. The command is warm: what it keeps is there already.
"""

from __future__ import annotations

import resource
import statistics
import subprocess
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
GOAL = 30
# What a person's print comes to, in a process of its own: the browser is started, the page is loaded and printed.
_PRINTS = """
import sys
sys.path.insert(0, sys.argv[1])
from browser import open_browser
with open_browser() as browser:
    page = browser.new_page()
    page.goto(sys.argv[2])
    page.pdf(format="A4", tagged=True)
"""


def taken(work: Callable[[], object]) -> tuple[float, float]:
    """The processor's seconds of this process and all it started, and seconds by the clock."""
    before, start = _used(), time.perf_counter()
    work()
    return _used() - before, time.perf_counter() - start


def _used() -> float:
    own, others = resource.getrusage(resource.RUSAGE_SELF), resource.getrusage(resource.RUSAGE_CHILDREN)
    return own.ru_utime + own.ru_stime + others.ru_utime + others.ru_stime


def program(*words: str, cwd: Path | None = None) -> Callable[[], object]:
    """A Python program, run to its end."""
    return lambda: subprocess.run([sys.executable, *words], cwd=cwd, capture_output=True, check=True)


def main(turns: int) -> None:
    with tempfile.TemporaryDirectory() as folder:
        book, site = Path(folder) / "book", Path(folder) / "site"
        replay_story(book)
        build_site(book, "private", site)
        address = (site / f"recipes/{RECIPE}.html").as_uri()
        view = open_view(book, "private")
        unasked = iter([each for each in view.recipes if each != RECIPE])
        tests = str(Path(__file__).resolve().parents[1])
        # As it is installed, the command's own folder is on the path; here that is told.
        start = f"import sys; sys.path.insert(0, {str(TOOLS)!r}); from mothermold.cli.main import main; sys.exit(main(sys.argv[1:]))"
        ways = {
            "a browser started, loaded and printed": program("-c", _PRINTS, tests, address),
            "the command `handout`, warm": program("-c", start, "-C", str(book), "handout", RECIPE),
            "a tap at a sheet asked for before": lambda: make_handout(view, RECIPE, None, "a4"),
            # What lays sheets out remembers what it laid out: whoever taps at a recipe for the first time waits longer.
            "a tap at a sheet for the first time": lambda: make_handout(view, next(unasked), None, "a4"),
            "a program that does nothing": program("-c", "pass"),
        }
        for work in ways.values():
            work()
        found: dict[str, list[tuple[float, float]]] = {name: [] for name in ways}
        for _ in range(turns):
            for name, work in ways.items():
                found[name].append(taken(work))
        with open_browser() as browser:
            page = browser.new_page()
            waited = []
            for _ in range(turns):
                page.goto(address)
                waited.append(taken(lambda: page.pdf(format="A4", tagged=True))[1])
        used, clock = (
            {name: statistics.median(each[at] for each in rows) for name, rows in found.items()} for at in (0, 1)
        )
        first = next(iter(ways))
        print(f"{RECIPE}, medians of {turns}; the goal is {GOAL} times the work of a handout")
        for name in ways:
            print(
                f"{name:<40} {used[name] * 1000:>7.0f} ms of the processor ({used[first] / used[name]:>5.1f} in a print) "
                f"{clock[name] * 1000:>7.0f} ms by the clock ({clock[first] / clock[name]:>5.1f})"
            )
        tap = clock["a tap at a sheet for the first time"]
        print(
            f"{'a browser that runs, page loaded':<40} {statistics.median(waited) * 1000:>7.0f} ms by the clock, {statistics.median(waited) / tap:.1f} taps"
        )


main(int(sys.argv[1]) if len(sys.argv) > 1 else 7)
