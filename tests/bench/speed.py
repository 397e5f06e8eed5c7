"""Speed, measured by hand: `python tests/bench/speed.py [RECIPES] [VERSIONS]`. Ratios against a reference in the same run.

Medians of five; put the folder for temporary files on memory (TMPDIR=/dev/shm) where disks are slow. Nothing here is a
test: what counts is a ratio that grew since the last time someone looked.
"""

from __future__ import annotations

import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path

import yaml

sys.path.insert(0, str(Path(__file__).resolve().parents[2] / "tools"))

from mothermold.book.document import read_document
from mothermold.book.library import read_book
from mothermold.compare.differences import differences
from mothermold.history.repository import read_log
from mothermold.history.timeline import open_history
from mothermold.history.versions import as_text
from mothermold.pages.all_pages import all_pages
from mothermold.publish.building import build_site
from mothermold.view.view import open_view

STEP = """\
  - id: step-{n}
    phase: work
    title: Step number {n} of the work
    do: Work from the middle of piece {r} out, lift where it resists, version {v} of the words.
    hands_on: {t} min
    uses:
      - {{material: gel-a, as: coat, on: skin, amount: 10 ml, how: brush}}
    check: An edge lifts as a film when picked with a needle.
"""
RECIPE = """\
title: Piece {r}
stage: cast
version: {v}
status: locked
why: The last one was too soft, so it is firmer now.
mixes:
  - id: base
    title: Base silicone
    by: weight
    parts:
      - {{material: gel-a, parts: 100}}
      - {{material: gel-b, parts: 100}}
      - {{material: deadener, percent: {p}, of: [gel-a, gel-b]}}
    fills: 185 ml
    allowance: {{percent: 10 %, left_in_cups: 15 g}}
    demold: {{time: 4 h, at: 23 degC}}
steps:
{steps}"""
MATERIAL = "title: {name}\nfamilies: [platinum-silicone]\ndensity: 1.05 g/ml\n"


def recipe(number: int, version: int) -> str:
    # A step of a quarter is new in each version, the others are as they were at first: a third of all texts are distinct.
    news = [version if n % 4 == version % 4 else 1 for n in range(12)]
    steps = "".join(STEP.format(r=number, n=n, v=new, t=5 + new) for n, new in enumerate(news))
    return RECIPE.format(r=number, v=version, p=20 + version, steps=steps)


def make_book(root: Path, recipes: int, versions: int) -> None:
    """A book with so many recipes of so many versions, saved one version of all at a time."""
    for name in ("gel-a", "gel-b", "deadener"):
        path = root / f"recipes/materials/{name}.yaml"
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(MATERIAL.format(name=name))
    (root / "recipes/book.yaml").write_text("title: A large book\n")
    git(root, "init", "--quiet")
    for version in range(1, versions + 1):
        for number in range(recipes):
            path = root / f"recipes/cast/part-{number % 10}/piece-{number}.yaml"
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(recipe(number, version))
        git(root, "add", "--all")
        git(root, "-c", "user.name=b", "-c", "user.email=b@localhost", "commit", "--quiet", "--message", str(version))


def git(root: Path, *words: str, data: bytes | None = None) -> bytes:
    return subprocess.run(["git", "-C", str(root), *words], input=data, capture_output=True, check=True).stdout


def median(work: Callable[[], object], times: int = 5) -> float:
    taken = []
    for _ in range(times):
        start = time.perf_counter()
        work()
        taken.append(time.perf_counter() - start)
    return statistics.median(taken)


def program(*words: str) -> Callable[[], object]:
    return lambda: subprocess.run([sys.executable, *words], capture_output=True, check=True)


def row(name: str, ours: float, reference: float, what: str, goal: str) -> None:
    print(f"{name:<42} {ours * 1000:>9.1f} ms  {ours / reference:>6.2f} x {what:<44} goal {goal}", flush=True)


def main(recipes: int, versions: int) -> None:
    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder) / "book"
        root.mkdir()
        make_book(root, recipes, versions)
        texts = [recipe(number, 1).encode() for number in range(100)]
        loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
        load = median(lambda: [yaml.load(text, loader) for text in texts])
        read = median(lambda: [read_document("recipe", "cast/x", "x", text) for text in texts])
        row("100 documents read and checked", read, load, "yaml.load(CSafeLoader)", "<= 0.7")
        pairs = [as_text(read_document("recipe", "cast/x", "x", recipe(1, v).encode())) for v in range(1, 12)]
        compared = median(lambda: [differences(a, b) for a, b in pairwise(pairs) if a and b for _ in range(10)]) / 100
        row("one difference", compared, load / 100, "one yaml.load", "<= 1/15")
        log = lambda: git(root, "log", "--raw", "-c", "-z", "--no-abbrev", "HEAD")  # noqa: E731
        wanted = "\n".join(read_log(root).blobs).encode() + b"\n"
        plain = median(lambda: (log(), git(root, "cat-file", "--batch", "--buffer", data=wanted)))
        row(
            f"history of {recipes} x {versions}, bytes",
            median(lambda: read_log(root)),
            plain,
            "git log + cat-file",
            "<= 1.3",
        )
        book = read_book(root)
        row(
            "all versions listed",
            median(lambda: _all_versions(book), 1),
            load * recipes * versions / 100,
            "yaml.load of all",
            "<= 0.7",
        )
        view = open_view(root, "private")
        pages = median(lambda: list(all_pages(view)), 1)
        count = len(list(all_pages(view)))
        print(f"{'pages made':<42} {pages * 1000:>9.1f} ms  {count} pages, {count / pages:.0f} a second")
        start = median(program("-c", "pass"))
        row("mothermold --help", median(program("-m", "mothermold", "--help")), start, "python -c pass", "<= 4")
        models = median(program("-c", "import yaml, pydantic; from pydantic import BaseModel"))
        small = Path(folder) / "small"
        small.mkdir()
        make_book(small, 1, 1)
        row(
            "check of a book of one recipe",
            median(program("-m", "mothermold", "-C", str(small), "check")),
            models,
            "import yaml, pydantic",
            "<= 6",
        )
        out = Path(folder) / "out"
        cold = median(lambda: build_site(root, "private", out), 1)
        again = median(lambda: build_site(root, "private", out), 1)
        print(f"{'site built cold':<42} {cold * 1000:>9.1f} ms")
        row("site built again, nothing changed", again, cold, "cold", "as small as it gets")


def _all_versions(book: object) -> None:
    history = open_history(book)  # type: ignore[arg-type]
    for address in history.addresses():
        history.versions(address)


if __name__ == "__main__":
    main(*(int(word) for word in sys.argv[1:3] or ("50", "10")))
