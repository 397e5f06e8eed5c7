"""The pages of a book as it is now: each is made when somebody asks for it, and again only after the book has changed."""

from __future__ import annotations

import shutil
import tempfile
import threading
from collections import OrderedDict
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import astuple, dataclass, field
from functools import partial
from pathlib import Path
from typing import Final

from mothermold.book.files import SETTINGS_FILE
from mothermold.ground.errors import CannotRunError
from mothermold.ground.looking import looking
from mothermold.ground.store import digest
from mothermold.pages.desk.write_here import Writing, with_ways
from mothermold.pages.page import Page
from mothermold.publish.around import made_of
from mothermold.publish.beside import beside_the_book
from mothermold.publish.file_list import files_of
from mothermold.publish.frames import Frame
from mothermold.publish.made_files import FRAME, made_file
from mothermold.publish.offline import WORKER, forgetting_worker
from mothermold.publish.plugin import build_around
from mothermold.publish.watching import slips, traces, trouble
from mothermold.serve.page_door import News
from mothermold.serve.source import name_in
from mothermold.view.editions import Edition
from mothermold.view.view import View, Whole

_MOST_KEPT: Final = 300
"""Pages kept as they were made, while nothing changes that was looked at for them."""
Say = Callable[[str], None]
Dress = Callable[[View, Page], Page]


@dataclass(frozen=True, slots=True)
class _Around:
    """What stands around the pages: files in a folder, and frames; ``made_of`` tells by what they are known again."""

    made_of: str | None
    folder: Path
    files: frozenset[str]
    frames: tuple[Frame, ...]


@dataclass(frozen=True, slots=True)
class _MadePage:
    """A page, and each cell that was looked at for it with its state then; see ``ground.looking``."""

    data: bytes
    cells: Mapping[str, str]

    def holds(self, view: View) -> bool:
        """Whether it would be the same now."""
        return all(view.made.state(cell) == state for cell, state in self.cells.items())


@dataclass(slots=True)
class _Followed:
    """The book as it was opened last, with what was made of it since."""

    whole: Whole
    view: View
    around: _Around
    made: OrderedDict[str, _MadePage] = field(default_factory=OrderedDict)


class LivingPages:
    """A source of pages that follows its book.

    Attributes:
        news: How the pages stand.
    """

    def __init__(
        self,
        book: Path,
        edition: Edition,
        folder: Path,
        say: Say,
        *,
        writes: Writing | None = None,
        dress: Dress | None = None,
    ) -> None:
        """Opens the book and makes what stands around its pages.

        Args:
            book: The book's folder.
            edition: The edition.
            folder: An empty folder for what stands around the pages.
            say: Tells the person at the computer something.
            writes: What can be written, to which every page leads; None for nothing.
            dress: Puts above a page what else can be done with it where it is served; None for nothing.

        Raises:
            CannotRunError: It cannot be opened, or nothing can be made of it.
        """
        self._book, self._edition, self._folder, self._say, self._writes = book, edition, folder, say, writes
        self._dress = dress
        self._lock = threading.RLock()
        self.news = News()
        self._traces = traces(book)
        self._standing = self._opened(None)

    def read(self, path: str) -> tuple[str, bytes] | None:
        """The name and bytes of what an address asks for; None where this edition has no such thing."""
        if (name := name_in(path)) is None:
            return None
        if name == WORKER:
            # Pages that follow the book are not to be kept, and an earlier worker of this address goes.
            return name, forgetting_worker().encode()
        with self._lock:
            # What a page loads does not change with the book, and nobody looks at all its files for each of ten scripts.
            if name.endswith(".html") or name not in self._standing.around.files:
                self.look()
            standing = self._standing
            if name in standing.around.files:
                return name, (standing.around.folder / name).read_bytes()
            if (before := standing.made.get(name)) is None or not before.holds(standing.view):
                standing.made.pop(name, None)
                if (made := self._made(standing, name)) is None:
                    return None
                standing.made[name] = made
                if len(standing.made) > _MOST_KEPT:
                    standing.made.popitem(last=False)
            standing.made.move_to_end(name)
            return name, standing.made[name].data

    def _made(self, standing: _Followed, name: str) -> _MadePage | None:
        view, frames = standing.view, standing.around.frames
        with looking() as seen:
            data = made_file(view, frames, name, partial(self._dressed, view))
        return _MadePage(data, {cell: view.made.state(cell) for cell in seen}) if data is not None else None

    def _dressed(self, view: View, page: Page) -> Page:
        """A page with what can be done from there above it."""
        page = self._dress(view, page) if self._dress is not None else page
        return with_ways(view, self._writes, page) if self._writes is not None else page

    @contextmanager
    def view(self) -> Iterator[View]:
        """The book as it is now, while nobody else is answered."""
        with self._now() as standing:
            yield standing.view

    @contextmanager
    def edition(self, edition: Edition) -> Iterator[View]:
        """The same book in another edition, while nobody else is answered."""
        with self._now() as standing:
            yield standing.view if edition == self._edition else standing.whole.edition(edition)

    def hang_form(self, page: Page) -> bytes:
        """A page that may send forms, in its frame."""
        with self._now() as standing:
            return standing.around.frames[page.depth].hang_form(page).encode()

    def look(self) -> None:
        """Opens the book again where it has changed; where that cannot be done, the pages of before stay, and say so."""
        with self._lock:
            if (now := traces(self._book)) == self._traces:
                return
            self._traces = now
            try:
                self._standing = self._opened(self._standing)
                told = slips(self._standing.view.notices)
            except Exception as problem:  # whatever state the book is in, it is served on
                self.news.trouble = trouble(problem)
                self._say(self.news.trouble)
            else:
                self.news.trouble = ""
                self._say("\n".join(filter(None, ("The book changed.", told))))
            self.news.turn += 1

    def told(self) -> str:
        """The errors of the book as it is now, for the terminal."""
        with self._now() as standing:
            return slips(standing.view.notices)

    @contextmanager
    def _now(self) -> Iterator[_Followed]:
        # One asks at a time: what a view works out when it is asked is worked out once.
        with self._lock:
            self.look()
            yield self._standing

    def _opened(self, before: _Followed | None) -> _Followed:
        whole = Whole.open(self._book, before.whole if before is not None else None)
        view = whole.edition(self._edition)
        if not (self._book / SETTINGS_FILE).is_file():
            raise CannotRunError(f"{SETTINGS_FILE} is gone; put the book back where it was")
        around = self._around(view, before.around if before is not None else None)
        view.take_up(None)
        view.made.knows(FRAME, lambda depth: digest(*astuple(around.frames[int(depth)])))
        return _Followed(whole, view, around, before.made if before is not None else OrderedDict())

    def _around(self, view: View, before: _Around | None) -> _Around:
        if before is not None and before.made_of is not None and before.made_of == self._made_of(view, before.files):
            return before
        folder = Path(tempfile.mkdtemp(dir=self._folder))
        leads = (self._writes.at, self._writes.words) if self._writes is not None else None
        frames = build_around(view, folder, forget=True, writes=leads)
        files = frozenset(files_of(folder))
        if before is not None:
            shutil.rmtree(before.folder, ignore_errors=True)
        return _Around(self._made_of(view, files), folder, files, frames)

    def _made_of(self, view: View, files: Iterable[str]) -> str | None:
        beside = beside_the_book(self._book)
        return made_of(view, beside, files) if beside is not None else None
