"""What is said about what an edition holds, and which files it is about."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import astuple
from functools import cached_property
from typing import TYPE_CHECKING, Any

from mothermold.book.files import SETTINGS_FILE
from mothermold.ground.looking import EVERY, Looked, not_looking, saw
from mothermold.ground.notices import Notice, in_order
from mothermold.ground.store import digest
from mothermold.model.settings import Settings

if TYPE_CHECKING:
    from mothermold.view.contents import Collector
    from mothermold.view.view import View, Whole

SaidNotice = tuple[Notice, frozenset[str]]
"""A notice, and the files it is about beside the one it stands in."""

_EVERYWHERE = ""
"""In place of a file, of what matters wherever somebody looks."""


class Told:
    """The notices of an edition, in order; whoever asks for those about some files has looked at these alone.

    Args:
        view: The edition.
        whole: The book.
        held: What the edition holds; None where it is the owner's.
    """

    def __init__(self, view: View, whole: Whole, held: Collector | None) -> None:
        self._view, self._whole, self._held = view, whole, held
        self.by_file = Looked("told", self._find_by_file, self._state)

    @cached_property
    def _said(self) -> Sequence[SaidNotice]:
        def judge() -> list[list[Any]]:
            with self._whole.as_before():
                return [[*astuple(each), sorted(files)] for each, files in self._judged()]

        with not_looking():
            told = self._view.kept("notices", "", judge)
        return [(Notice(*notice), frozenset(files)) for *notice, files in told]

    def _judged(self) -> Sequence[SaidNotice]:
        whole = self._whole
        if self._held is not None:
            from mothermold.view.speakable import speakable  # noqa: PLC0415 - most questions do without

            return [(each, frozenset()) for each in in_order(speakable(whole.judged, self._held))]
        from mothermold.view.missing import keep_house  # noqa: PLC0415 - most questions do without

        kept = keep_house([*whole.judged, *whole.judging.open_faults()], whole.book, whole.history)
        return [(each, kept.touched.get(each, frozenset())) for each in in_order(kept.notices)]

    def unsettled(self) -> tuple[Notice, ...]:
        """Why the book's settings cannot be read, where they cannot."""
        if self._whole.book.documents.of(Settings):
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
