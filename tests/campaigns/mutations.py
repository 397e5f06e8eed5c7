"""Changes one condition, bound or branch at a time and looks whether a test near it notices.

By hand, from ``tests``: ``python -m campaigns.mutations [--seed 1] [--places 300] [--floor reckon]``.

The package is changed in a throw-away copy, never here. First the tests near these floors run once, and it is written down which
functions each of them reaches; then, for each of the seeded places, those run that reach its function, the nearest and
quickest first, until one fails. What no test can notice, because it cannot be seen from outside, stands in ``unseen.yaml``
with its reason.
"""

from __future__ import annotations

import argparse
import json
import os
import random
import re
import shutil
import subprocess
import sys
import tempfile
from collections import Counter
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from queue import Queue
from typing import Final

import yaml

from campaigns.places import Place, places

_HOUSE: Final = Path(__file__).parents[2]
_FLOORS: Final = ("reckon", "trade", "view", "compare", "history")
_NEAR: Final = ("reckon", "published", "quantities", "trade", "compare", "view", "answers", "history")
_SECONDS: Final = 12.0
"""How long the tests of one place may take together, by the recorded run."""
_PYTEST: Final = ("-m", "pytest", "-q", "-p", "no:cacheprovider", "-p", "campaigns.reaching")

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
        return {name for name in names if name in {".git", "__pycache__"} or name.startswith(".")}

    return Path(shutil.copytree(_HOUSE, folder, ignore=left_out))


def _run(
    copy: Path, arguments: list[str], seconds: float | None, **settings: str
) -> subprocess.CompletedProcess[str] | None:
    """One run of pytest in a copy; None where it had to be stopped."""
    paths = os.pathsep.join([str(copy / "tools"), str(copy / "tests")])
    called = [sys.executable, *_PYTEST, f"--basetemp={copy.parent / (copy.name + '-tmp')}", *arguments]
    try:
        return subprocess.run(
            called,
            cwd=copy,
            env=os.environ | {"PYTHONPATH": paths} | settings,
            capture_output=True,
            text=True,
            timeout=seconds,
            check=False,
        )
    except subprocess.TimeoutExpired:
        return None


def _reached(copy: Path, near: list[str]) -> Reached:
    kept = copy.parent / "reached.json"
    _run(copy, [f"tests/{name}" for name in near], None, REACHED=str(kept))
    return dict(json.loads(kept.read_text()))


def _covering(change: _Change, reached: Reached) -> list[str]:
    """The tests to run: those that reach its function, then those that reach its module; nearest and quickest first."""
    named = f"test_{Path(change.module).stem}.py"
    exactly = f"{change.module}:{change.place.function}"
    ranked = []
    for test, (seconds, functions) in reached.items():
        if any(name.startswith(f"{change.module}:") for name in functions):
            is_far = not test.startswith(f"tests/{change.floor}/")
            ranked.append((exactly not in functions, f"/{named}" not in test, is_far, seconds, test))
    chosen, left = [], _SECONDS
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
        done = _run(copy, ["-x", *files], 120, CHOSEN=str(listed))
    finally:
        module.write_text(change.text)
        os.utime(module, (tick + 1, tick + 1))
    if done is None:
        return "time limit"
    if done.returncode == 0:
        return None
    failed = re.search(r"^(?:FAILED|ERROR) (\S+)", done.stdout, re.MULTILINE)
    return failed.group(1) if failed else f"pytest ended with {done.returncode}"


def _unseen() -> dict[tuple[str, str, str], str]:
    rows = yaml.safe_load((Path(__file__).parent / "unseen.yaml").read_text())
    return {(row["in"], row["line"], row["becomes"]): row["why"] for row in rows}


def main() -> None:
    """Prints the table, and the totals by floor."""
    asked = argparse.ArgumentParser(prog="python -m campaigns.mutations", description=(__doc__ or "").splitlines()[0])
    asked.add_argument("--seed", type=int, default=1)
    asked.add_argument("--places", type=int, default=300)
    asked.add_argument("--floor", action="append", choices=_FLOORS, help="only this floor; may be said again")
    asked.add_argument("--at-once", type=int, default=2, help="how many places at the same time")
    asked.add_argument("--reached", type=Path, help="a file that keeps which tests reach what, for the next time")
    asked.add_argument("--near", action="append", choices=_NEAR, help="only the tests of this folder; may be said again")
    options = asked.parse_args()
    sample = _sampled(options.floor or list(_FLOORS), options.places, options.seed)
    unseen = _unseen()
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
                return change, _noticed(copy, change, _covering(change, reached), 1_000_000_000 + 2 * number)
            finally:
                copies.put(copy)

        totals: dict[str, Counter[str]] = {}
        with ThreadPoolExecutor(options.at_once) as workers:
            for change, test in workers.map(judged, enumerate(sample)):
                before, after = change.place.shown(change.text)
                why = unseen.get((change.module, before, after)) if test is None else None
                verdict = "noticed" if test else "cannot be seen" if why else "NOT NOTICED"
                totals.setdefault(change.floor, Counter())[verdict] += 1
                print(f"{verdict:14} {change.where}\n    - {before}\n    + {after}\n    {test or why or ''}", flush=True)
    for floor, counted in totals.items():
        print(f"{floor:8} {counted.total():4} places, {', '.join(f'{n} {word}' for word, n in counted.most_common())}")


if __name__ == "__main__":
    main()
