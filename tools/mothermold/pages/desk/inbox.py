"""The page on which what a phone noted is taken into the book, each with its words, taken or left."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import count
from pathlib import PurePosixPath
from typing import Final

from mothermold.answers.records import run_title
from mothermold.book.files import Place, place_of
from mothermold.desk.brought import BRINGS, Brought
from mothermold.model.build import Build
from mothermold.pages.addresses import page_of
from mothermold.pages.desk.paper import DeskPaper, form_at
from mothermold.pages.desk.photo_fields import small_photo
from mothermold.pages.page import Page
from mothermold.view.view import View

WAY: Final = "way."
"""Before the name of a file whose name the book has for something else: whether it is the ``same``, or goes by an ``other``."""
CALLED: Final = "called."
"""Before the name of a file: what it goes by instead."""


@dataclass(frozen=True, slots=True)
class WaitingRun:
    """A file of the inbox as it is shown.

    Attributes:
        name: Its own name, without the folders it lies in.
        found: What becomes of it.
        title: What it is called; its name where it cannot be read.
        words: What it says, in short.
        page: Where its page lies in the book; None where it is not there.
        form: Where its form lies; None likewise.
        free: A name that is not taken yet, where its own is.
        photos: The photos that come with it, small, as addresses; nothing in place of one that cannot be shown.
    """

    name: str
    found: Brought
    title: str
    words: tuple[str, ...]
    page: str | None
    form: str | None
    free: str = ""
    photos: tuple[str, ...] = ()


def inbox_page(
    paper: DeskPaper,
    found: Sequence[Brought],
    alone: Mapping[str, bytes],
    chosen: Collection[str] | None,
    typed: Mapping[str, str],
) -> Page:
    """What waits in the inbox.

    Args:
        paper: The page.
        found: What would become of each file.
        alone: Photos that no file there says a word of, by their names.
        chosen: The names of those that were chosen; None where nobody chose yet.
        typed: What was typed beside: the build they belong to, other names.
    """
    rows = [_row(paper.view, each) for each in found]
    builds = sorted((name, build.title) for name, build in paper.view.models(Build).items())
    return paper.page(
        "desk_inbox.html", "What the phone brought", rows=rows, alone=[(name, small_photo(data)) for name, data in alone.items()], chosen=chosen, builds=builds, filled=typed, brings=BRINGS
    )  # fmt: skip


def brought_page(paper: DeskPaper, found: Sequence[Brought], left: int) -> Page:
    """What became of those that were taken.

    Args:
        paper: The page, of the book as it is now.
        found: What became of each.
        left: How many lie in the inbox still.
    """
    return paper.page("desk_brought.html", "Taken in", rows=[_row(paper.view, each) for each in found], left=left)


def _row(view: View, found: Brought) -> WaitingRun:
    return replace(_told(view, found), photos=tuple(small_photo(each.data) for each in found.photos))


def _told(view: View, found: Brought) -> WaitingRun:
    name = PurePosixPath(found.name).name
    run = found.run
    if run is None:
        return _noted(view, found, name)
    there = str(run.id) if str(run.id) in view.on("run") else None
    words = [f"{run.started:%Y-%m-%d %H:%M}", run.outcome or "under way"]
    words += [f"in {run.mold}"] if run.mold else []
    words += [f"went wrong: {each.what or each.failure}" for each in run.went_wrong]
    words += [str(each.note) for each in run.changed]
    return WaitingRun(
        name, found, run_title(view, run), tuple(words),
        page_of("run", there) if there else None, form_at("run", there) if there else None,
    )  # fmt: skip


def _noted(view: View, found: Brought, name: str) -> WaitingRun:
    """What is no run: a failure note by its title, a lot by its material and its number."""
    if not found.words:
        return WaitingRun(name, found, name, (), None, None)
    title, *words = (found.words[0], BRINGS[found.kind][0], *found.words[1:])
    if found.taken:
        page, form = page_of(found.kind, found.taken), form_at(found.kind, found.taken)
        free = next(each for number in count(2) if (each := f"{found.taken}-{number}") not in view.on(found.kind))
        return WaitingRun(name, found, title, tuple(words), page, form, free)
    place = place_of(found.file) if found.file else None
    if not isinstance(place, Place) or place.address not in view.on(place.kind):
        return WaitingRun(name, found, title, tuple(words), None, None)
    page, form = page_of(place.kind, place.address), form_at(place.kind, place.address)
    return WaitingRun(name, found, title, tuple(words), page, form)
