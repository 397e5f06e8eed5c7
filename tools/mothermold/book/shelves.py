"""The documents of a book, or of an edition of it: one shelf for each kind."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, TypeVar, cast

from mothermold.book.document import Document
from mothermold.model.kinds import KINDS, kind_of
from mothermold.model.parts import Part

M = TypeVar("M", bound=Part)


class Shelves:
    """Documents by kind and address.

    Who wants to know what documents say asks `of`, and gets those that can be read, with their type. Who asks whether one is
    there, or shows it whatever state it is in, asks `on`.

    Args:
        documents: By the word of their kind, then by address; they are not changed any more.
    """

    def __init__(self, documents: Mapping[str, Mapping[str, Document]]) -> None:
        self._documents = {word: documents.get(word, {}) for word in KINDS}
        self._read: dict[type[Part], Mapping[str, Document[Any]]] = {}
        self._models: dict[type[Part], Mapping[str, Any]] = {}

    def of(self, model: type[M]) -> Mapping[str, Document[M]]:
        """The documents of a kind that can be read, by address.

        Args:
            model: What the kind may say, as ``Run``.
        """
        if model not in self._read:
            on = self._documents[kind_of(model).word]
            self._read[model] = {name: each for name, each in on.items() if isinstance(each.model, model)}
        return cast("Mapping[str, Document[M]]", self._read[model])

    def models(self, model: type[M]) -> Mapping[str, M]:
        """What the documents of a kind say, by address; those that cannot be read say nothing."""
        if model not in self._models:
            self._models[model] = {name: each.model for name, each in self.of(model).items()}
        return self._models[model]

    def on(self, kind: str) -> Mapping[str, Document]:
        """Every document of a kind by address, also those that cannot be read: they have no model.

        Args:
            kind: The word of the kind, as ``run``.
        """
        return self._documents[kind]

    def by_kind(self) -> Mapping[str, Mapping[str, Document]]:
        """Every shelf by the word of its kind, empty ones too."""
        return self._documents

    def every(self) -> Iterator[Document]:
        """All documents, kind by kind."""
        for shelf in self._documents.values():
            yield from shelf.values()
