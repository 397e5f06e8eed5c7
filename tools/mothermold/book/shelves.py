"""The documents of a book, or of an edition of it: one shelf for each kind."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from functools import cached_property
from typing import Any, TypeVar, cast

from mothermold.book.document import Document
from mothermold.ground.looking import Looked, Together, not_looking, saw
from mothermold.ground.made import MadeBefore
from mothermold.ground.store import digest
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
        # Whether there is a document is one thing, what it says another: that stands at the document.
        self._shelves = {word: _shelf(word, documents.get(word, {})) for word in KINDS}
        self._read: dict[type[Part], _Readable] = {}
        self._models: dict[type[Part], _Readable] = {}
        self._saying: dict[type[Part], dict[int, Document[Any]]] = {}

    def open_to(self, made: MadeBefore) -> None:
        """Says that documents may be looked at for what is made once."""
        for shelf in self._shelves.values():
            made.opens(shelf)
        made.knows("text", self._state)
        made.knows("texts", self._states)

    def _state(self, name: str) -> str:
        word, _, address = name.partition("/")
        document = self._shelves[word].get(address)
        return document.state if document is not None else ""

    def _states(self, word: str) -> str:
        return digest(*(f"{address}\0{each.state}" for address, each in self._shelves[word].items()))

    def of(self, model: type[M]) -> Mapping[str, Document[M]]:
        """The documents of a kind that can be read, by address.

        Args:
            model: What the kind may say, as ``Run``.
        """
        if model not in self._read:
            shelf = self._shelves[kind_of(model).word]
            self._read[model] = _Readable(shelf, model, lambda document: document)
        return cast("Mapping[str, Document[M]]", self._read[model])

    def models(self, model: type[M]) -> Mapping[str, M]:
        """What the documents of a kind say, by address; those that cannot be read say nothing."""
        if model not in self._models:
            shelf = self._shelves[kind_of(model).word]
            self._models[model] = _Readable(shelf, model, lambda document: document.model)
        return self._models[model]

    def that_says(self, model: M) -> Document[M]:
        """The document that says this, itself and no copy; whoever has it has looked at the document."""
        kind = type(model)
        with not_looking():
            # Most lie under their own name; only where one does not are all looked through.
            named = self.of(kind).get(str(getattr(model, "id", "")))
            if named is not None and named.model is model:
                return named
            if kind not in self._saying:
                self._saying[kind] = {id(document.model): document for document in self.of(kind).values()}
        return self._saying[kind][id(model)]

    def on(self, kind: str) -> Mapping[str, Document]:
        """Every document of a kind by address, also those that cannot be read: they have no model.

        Args:
            kind: The word of the kind, as ``run``.
        """
        return self._shelves[kind]

    def by_kind(self) -> Mapping[str, Mapping[str, Document]]:
        """Every shelf by the word of its kind, empty ones too."""
        return self._shelves

    def every(self) -> Iterator[Document]:
        """All documents, kind by kind."""
        for shelf in self._shelves.values():
            yield from shelf.values()


def _shelf(word: str, documents: Mapping[str, Document]) -> Looked[Document]:
    return Looked(word, lambda: documents, lambda document: document.file)


class _Readable(Together[Any]):
    """The documents of a shelf that can be read, or what they say.

    Each is looked into for itself; all of them together are one cell.
    """

    def __init__(self, shelf: Looked[Document], model: type[Part], told: Callable[[Document], Any]) -> None:
        self._shelf, self._model, self._told = shelf, model, told

    def __getitem__(self, name: str) -> Any:
        document = self._shelf[name]
        if not isinstance(document.model, self._model):
            raise KeyError(name)
        return self._told(document)

    @cached_property
    def _readable(self) -> dict[str, Any]:
        with not_looking():
            every = self._shelf.items()
            return {name: self._told(each) for name, each in every if isinstance(each.model, self._model)}

    def _every(self) -> dict[str, Any]:
        saw(f"texts {self._shelf.kind}")
        return self._readable
