"""What is said about what an edition holds, and which files it is about."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import astuple
from functools import cached_property
from typing import TYPE_CHECKING, Any

from mothermold.book.files import SETTINGS_FILE
from mothermold.book.library import Book
from mothermold.ground.looking import EVERY, Looked, not_looking, saw
from mothermold.ground.notices import Notice, in_order
from mothermold.ground.store import digest
from mothermold.model.settings import Settings

if TYPE_CHECKING:
    from mothermold.view.contents import Collector
    from mothermold.view.judged import JudgedBook

SaidNotice = tuple[Notice, frozenset[str]]
"""A notice, and the files it is about beside the one it stands in."""

_EVERYWHERE = ""
"""In place of a file, of what matters wherever somebody looks."""


def said_of(whole: JudgedBook, held: Collector | None) -> list[list[Any]]:
    """All that is said about what an edition holds, in order, as JSON gives it back: each notice and the files it is about.

    Args:
        whole: The book.
        held: What the edition holds; None where it is the owner's.
    """
    with whole.as_before():
        if held is not None:
            from mothermold.view.speakable import speakable  # noqa: PLC0415 - most questions do without

            return [[*astuple(each), []] for each in in_order(speakable(whole.judged, held))]
        from mothermold.view.missing import keep_house  # noqa: PLC0415 - most questions do without

        house = keep_house([*whole.judged, *whole.judging.open_faults()], whole.book, whole.history)
        return [[*astuple(each), sorted(house.touched.get(each, ()))] for each in in_order(house.notices)]


class ToldNotices:
    """The notices of an edition, in order; whoever asks for those about some files has looked at these alone.

    Args:
        said: Gives what `said_of` gives.
        book: The book.
    """

    def __init__(self, said: Callable[[], list[list[Any]]], book: Book) -> None:
        self._judged, self._book = said, book
        self.by_file = Looked("told", self._find_by_file, self._state)

    @cached_property
    def _said(self) -> Sequence[SaidNotice]:
        with not_looking():
            return [(Notice(*notice), frozenset(files)) for *notice, files in self._judged()]

    def unsettled(self) -> tuple[Notice, ...]:
        """Why the book's settings cannot be read, where they cannot."""
        if self._book.documents.of(Settings):
            return ()
        return tuple(each for each in self.every() if each.file == SETTINGS_FILE and each.severity == "error")

    def _find_by_file(self) -> dict[str, list[int]]:
        found: dict[str, list[int]] = {}
        unsettled = self.unsettled()
        for place, (notice, besides) in enumerate(self._said):
            files = {notice.file or _EVERYWHERE, *besides}
            for file in files | {_EVERYWHERE} if notice in unsettled else files:
                found.setdefault(file, []).append(place)
        return found

    def _state(self, places: Sequence[int]) -> str:
        return digest(*(self._said[place][0] for place in places))

    def every(self) -> tuple[Notice, ...]:
        """All of them."""
        saw(f"{EVERY} {self.by_file.kind}")
        return tuple(notice for notice, _besides in self._said)

    def about(self, files: Iterable[str]) -> tuple[Notice, ...]:
        """Those about these files, and those that matter everywhere."""
        places = {place for file in (_EVERYWHERE, *files) for place in self.by_file.get(file, ())}
        return tuple(self._said[place][0] for place in sorted(places))
