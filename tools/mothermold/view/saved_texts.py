"""What is asked of every text a recipe was ever saved with, told without reading again what was read before."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cached_property
from typing import Any, Final

from mothermold.book.document import Document
from mothermold.ground.store import Store, digest
from mothermold.model.scalars import Visibility
from mothermold.view.editions import Edition, PlacedName, names_brought, visibility_of

_ROOM: Final = "texts"

_SavedFacts = tuple[Visibility, frozenset[PlacedName]]


class RememberedTexts:
    """Who may see a text of a recipe, and which names it brings into the book: the same text is read for it once and for all.

    Args:
        store: Where it is kept.
        edition: The edition that asks: each asks for other texts.
    """

    def __init__(self, store: Store, edition: Edition) -> None:
        self._store, self._edition, self._learned = store, edition, False
        self._told: dict[str, _SavedFacts] = {}

    @cached_property
    def _kept(self) -> dict[str, Any]:
        return self._store.get(_ROOM, self._edition) or {}

    def visibility(self, text: Document) -> Visibility:
        """Who may see it by its own word; see `visibility_of`."""
        return self._of(text)[0]

    def names(self, texts: Iterable[Document]) -> set[PlacedName]:
        """The names that texts of recipes bring into the book; see `names_brought`."""
        return {name for text in texts for name in self._of(text)[1]}

    def _of(self, text: Document) -> _SavedFacts:
        # The same text may say less at an address where it fits no model.
        key = digest(text.kind, text.address, text.state)
        if key not in self._told:
            if (kept := self._kept.get(key)) is not None:
                visibility, names = kept
                self._told[key] = visibility, frozenset((word, where, name) for word, where, name in names)
            else:
                self._told[key], self._learned = (visibility_of(text), frozenset(names_brought(text, ""))), True
        return self._told[key]

    def keep(self) -> None:
        """Keeps what was asked for, where more is known than was kept."""
        if self._learned:
            told = {key: [visibility, sorted(names)] for key, (visibility, names) in self._told.items()}
            self._store.put(_ROOM, self._edition, told, most=2, plain=True)
            self._learned = False
