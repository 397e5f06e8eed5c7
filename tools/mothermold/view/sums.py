"""What several documents of an edition say together, told entry by entry: an edit changes the entries it bears on and no other."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Callable, Mapping
from functools import partial
from typing import Any, Final, Generic, TypeVar

from mothermold.book.document import Document
from mothermold.book.shelves import M
from mothermold.ground.looking import Looked, Remembered
from mothermold.ground.made import MadeBefore
from mothermold.history.versions import Versions

V = TypeVar("V")


class Summed(ABC):
    """What sums ask of an edition, and what was made of it, once for all who ask.

    Args:
        made: What was made of it before.

    Attributes:
        once: What several ask for; whoever asks has looked at what was looked at for it.
        made: What was made of it before, each thing beside what was looked at for it.
    """

    def __init__(self, made: MadeBefore) -> None:
        self.once, self.made = Remembered(), made
        self._sums: dict[str, Looked[Any]] = {}

    @property
    @abstractmethod
    def recipes(self) -> tuple[str, ...]:
        """The addresses of all recipes with a version the edition holds."""

    @abstractmethod
    def on(self, kind: str) -> Mapping[str, Document]:
        """Every document of a kind."""

    @abstractmethod
    def models(self, model: type[M]) -> Mapping[str, M]:
        """What those say that can be read."""

    @abstractmethod
    def versions(self, address: str) -> Versions | None:
        """The versions of a recipe."""

    @abstractmethod
    def today(self, address: str) -> str:
        """The address a recipe has today."""

    def sum(self, of: Sum[V]) -> Looked[V]:
        """What several documents say together, see `Sum`."""
        if of.kind not in self._sums:
            self._sums[of.kind] = Looked(of.kind, partial(of.make, self))
            self.made.opens(self._sums[of.kind])
        return self._sums[of.kind]

    def open_sums(self) -> None:
        """Says of every sum there is how its cells are known."""
        for each in SUMS.values():
            self.sum(each)


class Sum(Generic[V]):
    """A mapping that is made once of a whole edition; whoever asks for an entry has looked at that entry alone.

    Args:
        kind: The kind of its cells; see ``ground.looking``.
        make: Makes it; entries that are written alike in Python are equal.
    """

    def __init__(self, kind: str, make: Callable[[Any], Mapping[str, V]]) -> None:
        self.kind, self.make = kind, make

    def __call__(self, view: Summed) -> Looked[V]:
        """It, of an edition."""
        return view.sum(self)


SUMS: Final[dict[str, Sum[Any]]] = {}
"""Every one there is, by kind."""


def entry_by_entry(kind: str) -> Callable[[Callable[[Any], Mapping[str, V]]], Sum[V]]:
    """Makes a function that goes over a whole edition a sum of it; see `Sum`."""

    def sum_of(make: Callable[[Any], Mapping[str, V]]) -> Sum[V]:
        SUMS[kind] = made = Sum(kind, make)
        return made

    return sum_of
