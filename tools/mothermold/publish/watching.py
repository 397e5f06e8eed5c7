"""Watches a book while its site is served, through any state it may be in, and says on every page what is wrong."""

from __future__ import annotations

import html
import os
import threading
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from typing import Final

from mothermold.book.files import RECIPES
from mothermold.ground.notices import Notice
from mothermold.ground.rendering import as_text
from mothermold.ground.words import shorter

_LOOK_EVERY: Final = 0.5
_MOST_TOLD: Final = 5
_BESIDE: Final = ("mkdocs.yml", ".git/HEAD", ".git/logs/HEAD", ".git/packed-refs")
Traces = frozenset[tuple[str, int, int]]


def traces(book: Path) -> Traces:
    """What shows that something the pages are made of has changed: each file with its size and time."""
    return frozenset(_traces(book))


def _traces(book: Path) -> Iterator[tuple[str, int, int]]:
    paths = [f"{book}/{name}" for name in _BESIDE]
    for folder in (RECIPES, "site_src", ".git/refs/heads"):
        # Not `Path.rglob`, which ends where a folder goes away under it, and is dear where there are many files.
        paths += [f"{here}/{name}" for here, _, names in os.walk(f"{book}/{folder}") for name in names]
    for path in paths:
        try:
            told = os.stat(path)  # noqa: PTH116 - asked of every file of a book, twice a second
        except OSError:
            continue
        yield path, told.st_mtime_ns, told.st_size


def watch(look: Callable[[], None], stop: threading.Event, *, every: float = _LOOK_EVERY) -> None:
    """Looks again and again, until it is stopped.

    Args:
        look: Looks whether the book is another than before, and does what has to be done; it may not raise.
        stop: Ends the watch.
        every: Seconds between two looks.
    """
    while not stop.wait(every):
        look()


def trouble(problem: BaseException) -> str:
    """Why pages could not be made, in a sentence for terminal and page."""
    said = str(problem).strip().rstrip(".") or type(problem).__name__
    return shorter(
        f"The pages could not be made again, so the old ones stay: {said}. Once it is mended they come back by themselves."
    )


def slips(notices: Iterable[Notice]) -> str:
    """The errors of a book for the terminal, the first few of them; nothing where there is none."""
    told = [as_text(notice) for notice in notices if notice.severity == "error"]
    more = [f"{len(told) - _MOST_TOLD} more; `mothermold check` tells them all."] if len(told) > _MOST_TOLD else []
    return "\n".join([*told[:_MOST_TOLD], *more])


def with_trouble(page: bytes, said: str) -> bytes:
    """A page with a line above it that says why it is an old one."""
    start, tag, rest = page.partition(b"<body")
    inside, end, body = rest.partition(b">")
    strip = f'<p class="notice error" role="alert">{html.escape(said)}</p>'.encode()
    return start + tag + inside + end + strip + body if end else strip + page
