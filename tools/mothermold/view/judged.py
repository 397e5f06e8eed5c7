"""A book and its history with what is said about it: what every edition is made of."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from functools import cached_property
from typing import TYPE_CHECKING

from mothermold.book.library import Book
from mothermold.ground.memory import all_stays
from mothermold.ground.notices import Notice
from mothermold.ground.store import digest
from mothermold.history.timeline import History, open_history
from mothermold.history.versions import Versions
from mothermold.view.editions import Edition

if TYPE_CHECKING:
    from mothermold.view.contents import Collector
    from mothermold.view.judging import Judging
    from mothermold.view.ruling import Ruling


class JudgedBook:
    """A book and its history; what nobody asks for is not worked out.

    Attributes:
        book: The book as it lies there.
        history: What was saved of it.
    """

    def __init__(self, book: Book, before: JudgedBook | None = None) -> None:
        self.book = book
        self.history: History = open_history(book, before.history if before is not None else None)
        self._is_followed = before is not None

    @cached_property
    def state(self) -> str:
        """A digest of all that can be known of the book: its files, its history, and what of it lies elsewhere."""
        log = self.history.log
        return digest(self.book.digest, log.name, *log.notices, *log.for_owner, *sorted(log.elsewhere))

    def collected(self, edition: Edition) -> Collector:
        """What an edition holds, which is not the owner's."""
        from mothermold.view.contents import Collector  # noqa: PLC0415 - most questions do without

        return Collector(self.book, self.history, self.versions, edition)

    @cached_property
    @all_stays()
    def versions(self) -> Mapping[str, Versions]:
        """The versions of every recipe there is or ever was."""
        return {address: self.history.versions(address) for address in self.history.addresses()}

    @cached_property
    def ruling(self) -> Ruling:
        """What the rules of the trade say about the whole book."""
        from mothermold.view.ruling import Ruling  # noqa: PLC0415 - most questions do without

        return Ruling(self.book.documents, self.history.versions, self.book.made)

    @cached_property
    def judging(self) -> Judging:
        """What judges its documents."""
        from mothermold.view.judging import Judging  # noqa: PLC0415 - most questions do without

        return Judging(self.book, self.history, self.ruling, self.book.faulty)

    @cached_property
    @all_stays()
    def judged(self) -> tuple[Notice, ...]:
        """All that is said about the book, but what became of what is missing, and what is for the owner alone."""
        from mothermold.view.judging import judge  # noqa: PLC0415 - most questions do without

        return judge(self.judging)

    def take_up(self) -> None:
        """What was made before of what did not change since is not made again."""
        made = self.book.made
        if not made.begun:
            made.begin(self.history.log.store.get("made", ""))

    @contextmanager
    def as_before(self) -> Iterator[None]:
        """While it lasts, what was made before of what did not change since is not made again; then all that holds is kept."""
        self.take_up()
        yield
        # Whoever follows a book has in memory what was judged; the file need not hear of every word typed.
        if self.book.made.changed and not self._is_followed:
            self.history.log.store.put("made", "", self.book.made.kept(), most=1)
            self.book.made.changed = False
