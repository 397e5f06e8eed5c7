"""Changes one condition, bound or branch at a time and looks whether a test near it notices.

By hand, from ``tests``: ``python -m campaigns.mutations [--seed 1] [--places 300] [--floor reckon] [--at view/pins.py:91]``.

The package is changed in a throw-away copy, never here. First the tests near these floors run once, and it is written down which
functions each of them reaches; then, for each of the seeded places, those run that reach its function, the nearest and
quickest first, until one fails. What no test can notice, because it cannot be seen from outside, stands in ``unseen.yaml``
with its reason.
"""

from __future__ import annotations

import argparse
import json
import multiprocessing
import os
import random
import re
import resource
import shutil
import sys
import tempfile
from collections import Counter
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from queue import Queue
from typing import Final

import pytest
import yaml

from campaigns.places import Place, places

_HOUSE: Final = Path(__file__).parents[2]
_FLOORS: Final = ("reckon", "trade", "view", "compare", "history")
_NEAR: Final = ("reckon", "published", "quantities", "trade", "compare", "view", "answers", "history")
_CPU_SECONDS: Final = (1800, 60)
"""After how much work the recorded run, and the run for one place, is stopped: a change may make a loop endless."""
# What is loaded before cannot be rewritten; on a busy machine a deadline says nothing, and each run tries the same examples.
_LOADED_BEFORE: Final = ("-W", "ignore::pytest.PytestAssertRewriteWarning", "--hypothesis-profile=ci")
_PYTEST: Final = ("-q", "-p", "no:cacheprovider", "-p", "no:xdist", "-p", "campaigns.reaching", *_LOADED_BEFORE)
# A server of processes that has loaded what no change touches, and nothing of the package.
_PROCESSES: Final = multiprocessing.get_context("forkserver")
_LOADED: Final = ["pytest", "hypothesis", "pydantic", "yaml", "git", "jinja2", "markdown_it", "mkdocs", "nh3", "segno"]

Reached = dict[str, tuple[float, list[str]]]


@dataclass(frozen=True, slots=True)
class _Change:
    floor: str
    module: str
    text: str
    place: Place

    @property
    def where(self) -> str:
        return f"{self.module}:{self.place.line}"


def _changes(floor: str) -> list[_Change]:
    package = _HOUSE / "tools" / "mothermold"
    modules = sorted((package / floor).rglob("*.py"))
    texts = {str(path.relative_to(package)): path.read_text() for path in modules}
    return [_Change(floor, module, text, place) for module, text in texts.items() for place in places(text)]


def _sampled(floors: list[str], count: int, seed: int) -> list[_Change]:
    """So many places over all floors, each floor by the number of its places."""
    every = [change for floor in floors for change in _changes(floor)]
    chosen = random.Random(seed).sample(range(len(every)), min(count, len(every)))
    return [every[number] for number in sorted(chosen)]


def _copy(folder: Path) -> Path:
    def left_out(_folder: str, names: list[str]) -> set[str]:
        return {name for name in names if name.startswith(".")}

    return Path(shutil.copytree(_HOUSE, folder, ignore=left_out))


def _child(copy: Path, arguments: list[str], settings: dict[str, str]) -> None:
    """One run of pytest in a copy, in a process of its own; what it prints goes into a file beside the copy."""
    limit = _CPU_SECONDS["CHOSEN" in settings]
    resource.setrlimit(resource.RLIMIT_CPU, (limit, limit))
    os.chdir(copy)
    sys.path[:0] = [str(copy / "tools"), str(copy / "tests")]
    os.environ |= {"PYTHONPATH": os.pathsep.join(sys.path[:2])} | settings
    with _printed(copy).open("w") as out:
        os.dup2(out.fileno(), 1)
        os.dup2(out.fileno(), 2)
    sys.exit(int(pytest.main([*_PYTEST, f"--basetemp={copy}-tmp", *arguments])))


def _printed(copy: Path) -> Path:
    return copy.with_suffix(".txt")


def _run(copy: Path, arguments: list[str], **settings: str) -> int | None:
    """What pytest ended with in a copy; None where it had to be stopped."""
    process = _PROCESSES.Process(target=_child, args=(copy, arguments, settings))
    process.start()
    process.join()
    return None if process.exitcode is None or process.exitcode < 0 else process.exitcode


def _reached(copy: Path, near: list[str]) -> Reached:
    kept = copy.parent / "reached.json"
    ended = _run(copy, ["--continue-on-collection-errors", *(f"tests/{name}" for name in near)], REACHED=str(kept))
    if ended:
        print(f"What fails without any change is left out:\n{_printed(copy).read_text()[-2000:]}", flush=True)
    return dict(json.loads(kept.read_text()))


def _covering(change: _Change, reached: Reached, left: float) -> list[str]:
    """The tests to run: those that reach its function, then those that reach its module; nearest and quickest first, ``left`` seconds in all."""
    named = f"test_{Path(change.module).stem}.py"
    exactly = f"{change.module}:{change.place.function}"
    ranked = []
    for test, (seconds, functions) in reached.items():
        if any(name.startswith(f"{change.module}:") for name in functions):
            is_far = not test.startswith(f"tests/{change.floor}/")
            ranked.append((exactly not in functions, f"/{named}" not in test, is_far, seconds, test))
    chosen = []
    for *_rank, seconds, test in sorted(ranked):
        if seconds <= left:
            chosen.append(test)
            left -= seconds
    return chosen


def _noticed(copy: Path, change: _Change, tests: list[str], tick: int) -> str | None:
    """What notices a change; None where nothing does."""
    if not tests:
        return None
    module = copy / "tools" / "mothermold" / change.module
    listed = copy.parent / f"{copy.name}.json"
    listed.write_text(json.dumps(tests))
    try:
        module.write_text(change.place.applied(change.text))
        # A compiled module is known by its length and its time in whole seconds.
        os.utime(module, (tick, tick))
        files = dict.fromkeys(test.partition("::")[0] for test in tests)
        ended = _run(copy, ["-x", *files], CHOSEN=str(listed))
    finally:
        module.write_text(change.text)
        os.utime(module, (tick + 1, tick + 1))
    if ended is None:
        return "time limit"
    if ended == 0:
        return None
    failed = re.search(r"^(?:FAILED|ERROR) (\S+)", _printed(copy).read_text(), re.MULTILINE)
    if failed:
        return failed.group(1)
    assert ended == pytest.ExitCode.USAGE_ERROR, _printed(copy).read_text()
    return "the package can no longer be loaded"


def _unseen() -> dict[tuple[str, str, str], str]:
    rows = yaml.safe_load((Path(__file__).parent / "unseen.yaml").read_text())
    return {(row["in"], row["line"], row["becomes"]): row["why"] for row in rows}


def main() -> None:
    """Prints the table, and the totals by floor."""
    asked = argparse.ArgumentParser(prog="python -m campaigns.mutations", description=(__doc__ or "").splitlines()[0])
    asked.add_argument("--seed", type=int, default=1)
    asked.add_argument("--places", type=int, default=300)
    asked.add_argument("--floor", action="append", choices=_FLOORS, help="only this floor; may be said again")
    asked.add_argument(
        "--at", action="append", metavar="MODULE:LINE", help="every place of this line and no other; may be said again"
    )
    asked.add_argument("--at-once", type=int, default=2, help="how many places at the same time")
    asked.add_argument("--seconds", type=float, default=12, help="how long the tests of one place take at most")
    asked.add_argument("--reached", type=Path, help="a file that keeps which tests reach what, for the next time")
    asked.add_argument(
        "--near", action="append", choices=_NEAR, help="only the tests of this folder; may be said again"
    )
    options = asked.parse_args()
    floors = options.floor or list(_FLOORS)
    sample = _sampled(floors, options.places, options.seed)
    if options.at:
        sample = [change for floor in floors for change in _changes(floor) if change.where in options.at]
    unseen = _unseen()
    _PROCESSES.set_forkserver_preload(_LOADED)
    with tempfile.TemporaryDirectory(prefix="mutations-") as folder:
        copies: Queue[Path] = Queue()
        for number in range(options.at_once):
            copies.put(_copy(Path(folder) / f"copy{number}"))
        if options.reached and options.reached.exists():
            reached: Reached = json.loads(options.reached.read_text())
        else:
            reached = _reached(Path(folder) / "copy0", options.near or list(_NEAR))
            if options.reached:
                options.reached.write_text(json.dumps(reached))
        print(f"{len(reached)} tests, {len(sample)} places", flush=True)

        def judged(numbered: tuple[int, _Change]) -> tuple[_Change, str | None]:
            number, change = numbered
            copy = copies.get()
            try:
                return change, _noticed(
                    copy, change, _covering(change, reached, options.seconds), 1_000_000_000 + 2 * number
                )
            finally:
                copies.put(copy)

        totals: dict[str, Counter[str]] = {}
        with ThreadPoolExecutor(options.at_once) as workers:
            for change, test in workers.map(judged, enumerate(sample)):
                before, after = change.place.shown(change.text)
                why = unseen.get((change.module, before, after)) if test is None else None
                verdict = "noticed" if test else "cannot be seen" if why else "NOT NOTICED"
                totals.setdefault(change.floor, Counter())[verdict] += 1
                print(
                    f"{verdict:14} {change.where}\n    - {before}\n    + {after}\n    {test or why or ''}", flush=True
                )
    for floor, counted in totals.items():
        print(f"{floor:8} {counted.total():4} places, {', '.join(f'{n} {word}' for word, n in counted.most_common())}")


if __name__ == "__main__":
    main()
