"""What was looked at while something was made: it need not be made again while all of that is as it was.

A *cell* names one thing that can be looked at, as a word for its kind, a space and its name: ``text run/r-1`` is what a
run's file says, ``run r-1`` whether there is such a run. Whoever hands something out says so with `saw`.
"""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Callable, ItemsView, Iterator, KeysView, Mapping, ValuesView
from contextlib import contextmanager
from contextvars import ContextVar
from functools import cached_property
from typing import Any, Final, TypeVar, cast, overload

from mothermold.ground.store import digest

EVERY: Final = "every"
"""The kind of the cells that are all of a kind: `every run`."""

_V = TypeVar("_V")
_SEEN: Final[ContextVar[set[str] | None]] = ContextVar("seen", default=None)


def saw(*cells: str) -> None:
    """Notes that cells were looked at, where somebody wants to know; what never changes is none, and is empty."""
    seen = _SEEN.get()
    if seen is not None:
        seen.update(filter(None, cells))


@contextmanager
def looking() -> Iterator[set[str]]:
    """Gives the cells that are looked at while it lasts; whoever looks around it looked at them too."""
    seen: set[str] = set()
    token = _SEEN.set(seen)
    try:
        yield seen
    finally:
        _SEEN.reset(token)
        saw(*seen)


@contextmanager
def not_looking() -> Iterator[None]:
    """What is looked at while it lasts is nobody's business: what comes of it has a cell of its own."""
    token = _SEEN.set(None)
    try:
        yield
    finally:
        _SEEN.reset(token)


class Together(Mapping[str, _V]):
    """A mapping that is looked at as a whole in one place, whoever goes through it and how."""

    @abstractmethod
    def _every(self) -> dict[str, _V]:
        """All of it; that it was looked at is noted."""

    def __iter__(self) -> Iterator[str]:
        return iter(self._every())

    def __len__(self) -> int:
        return len(self._every())

    def keys(self) -> KeysView[str]:
        """Every name."""
        return self._every().keys()

    def values(self) -> ValuesView[_V]:
        """Every entry."""
        return self._every().values()

    def items(self) -> ItemsView[str, _V]:
        """Every entry with its name."""
        return self._every().items()


class Looked(Together[_V]):
    """A mapping whose every entry is a cell.

    Args:
        kind: The kind of its cells.
        make: Makes all of it, when the first entry is asked for.
        state: What an entry is known by; equal states, equal entries.
    """

    def __init__(self, kind: str, make: Callable[[], Mapping[str, _V]], state: Callable[[_V], object] = repr) -> None:
        self.kind, self._make, self._state = kind, make, state

    @cached_property
    def _all(self) -> dict[str, _V]:
        with not_looking():
            return dict(self._make())

    def __getitem__(self, name: str) -> _V:
        saw(f"{self.kind} {name}")
        return self._all[name]

    @overload
    def get(self, name: str) -> _V | None: ...
    @overload
    def get(self, name: str, default: _V) -> _V: ...
    @overload
    def get(self, name: str, default: Any) -> Any: ...
    def get(self, name: str, default: Any = None) -> Any:
        """An entry; what is given instead where there is none."""
        saw(f"{self.kind} {name}")
        return self._all.get(name, default)

    def __contains__(self, name: object) -> bool:
        saw(f"{self.kind} {name}")
        return name in self._all

    def _every(self) -> dict[str, _V]:
        saw(f"{EVERY} {self.kind}")
        return self._all

    def state(self, name: str) -> str:
        """What an entry is known by; empty where there is none."""
        return f"={self._state(self._all[name])}" if name in self._all else ""

    def every_state(self) -> str:
        """What all of it is known by."""
        return digest(*(f"{name}\0{self.state(name)}" for name in self._all))


class Remembered:
    """Things made once each, whoever asks; who asks later has looked at what was looked at when they were made."""

    def __init__(self) -> None:
        self._made: dict[object, tuple[Any, frozenset[str]]] = {}

    def of(self, key: object, make: Callable[[], _V]) -> _V:
        """The thing of a key.

        Args:
            key: What it is told apart by.
            make: Makes it where nobody asked before.
        """
        if key not in self._made:
            with looking() as seen:
                made = make()
            self._made[key] = made, frozenset(seen)
        made, cells = self._made[key]
        saw(*cells)
        return cast("_V", made)
