"""What was made before, each thing beside what was looked at for it: only that is made again of which something changed."""

from __future__ import annotations

from collections.abc import Callable, Collection
from typing import Any

from mothermold.ground.looking import EVERY, Looked, looking, saw
from mothermold.ground.store import digest

CellState = Callable[[str], str]
"""What a cell of some kind is known by, by its name; see ``ground.looking``."""


class MadeBefore:
    """Things by name, each made of what was looked at while it was made, and of nothing else.

    Args:
        earlier: What was made of the same book as it was before.

    Attributes:
        begun: Whether what was kept was taken up.
        changed: Whether anything was made since that was not there before.
    """

    def __init__(self, earlier: MadeBefore | None = None) -> None:
        self._doors: dict[str, CellState] = {}
        self._everything: dict[str, Callable[[], str]] = {}
        self._states: dict[str, str] = {}
        self._before: dict[str, list[Any]] = {}
        self._cells: list[str] = []
        self._now: dict[str, tuple[Collection[str], Any]] = {}
        self.begun = self.changed = False
        self._made_then: dict[str, tuple[Collection[str], Any]] = {}
        self._states_then: dict[str, str] = {}
        if earlier is not None:
            self.begun, self._before, self._cells = earlier.begun, earlier._before, earlier._cells
            self._made_then, self._states_then = earlier._now, earlier._states

    def knows(self, kind: str, state: CellState) -> None:
        """Says how the cells of a kind are known."""
        self._doors[kind] = state

    def opens(self, shelf: Looked[Any]) -> None:
        """Says that the cells of a mapping may be looked at."""
        self._doors[shelf.kind] = shelf.state
        self._everything[shelf.kind] = shelf.every_state

    def begin(self, kept: Any) -> None:
        """Takes up what `kept` once gave; anything else is as if nothing was."""
        self.begun = True
        if isinstance(kept, dict) and kept.keys() == {"cells", "made"}:
            self._cells, self._before = kept["cells"], kept["made"]

    def of(self, name: str, make: Callable[[], Any]) -> Any:
        """The thing of a name: as it was made before where all that was looked at for it is as it was, else made now.

        Args:
            name: What it is called; one thing has one name.
            make: Makes it, of what JSON gives back as it was.
        """
        if name not in self._now:
            self._now[name] = self._again(name) or self._anew_of(make)
        cells, made = self._now[name]
        saw(*cells)
        return made

    def _again(self, name: str) -> tuple[Collection[str], Any] | None:
        if (then := self._made_then.get(name)) is not None:
            return then if all(self._states_then.get(cell) == self.state(cell) for cell in then[0]) else None
        before = self._before.get(name)
        if before is None:
            return None
        numbers, state, made = before
        cells = [self._cells[number] for number in numbers]
        return (cells, made) if self._state_of(cells) == state else None

    def _anew_of(self, make: Callable[[], Any]) -> tuple[Collection[str], Any]:
        with looking() as seen:
            made = make()
        self.changed = True
        # As they are now: whoever asks later could hear of a drawing that changed meanwhile.
        for cell in filter(self._is_known, seen):
            self.state(cell)
        return sorted(seen), made

    def _state_of(self, cells: Collection[str]) -> str:
        return digest(*map(self.state, cells))

    def _is_known(self, cell: str) -> bool:
        return cell.partition(" ")[0] in self._doors

    def state(self, cell: str) -> str:
        """What a cell is known by as things stand."""
        if cell not in self._states:
            kind, _, name = cell.partition(" ")
            self._states[cell] = self._everything[name]() if kind == EVERY else self._doors[kind](name)
        return self._states[cell]

    def kept(self) -> dict[str, Any]:
        """All that was asked for, as JSON can hold it."""
        numbers: dict[str, int] = {}
        made = {
            name: [[numbers.setdefault(cell, len(numbers)) for cell in cells], self._state_of(cells), value]
            for name, (cells, value) in self._now.items()
        }
        return {"cells": list(numbers), "made": made}
