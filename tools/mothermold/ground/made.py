"""What was made before, each thing beside what was looked at for it: only that is made again of which something changed."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass, field
from typing import Any

from mothermold.ground.looking import EVERY, Looked, looking, saw

CellState = Callable[[str], str]
"""What a cell of some kind is known by, by its name; see ``ground.looking``."""

_MadeThing = tuple[Collection[str], Any]
"""The cells that were looked at for a thing, and the thing."""


@dataclass(frozen=True, slots=True)
class _KeptThings:
    """What was kept: every cell with its state then, and the things, each beside the numbers of its cells."""

    cells: list[str] = field(default_factory=list)
    states: list[str] = field(default_factory=list)
    made: Mapping[str, list[Any]] = field(default_factory=dict)


class MadeBefore:
    """Things by name, each made of what was looked at while it was made, and of nothing else.

    Args:
        earlier: What was made of the same book as it was before.
        beside: What is made of the very same things, and kept elsewhere.

    Attributes:
        begun: Whether what was kept was taken up.
        changed: Whether anything was made since that was not there before.
    """

    def __init__(self, earlier: MadeBefore | None = None, beside: MadeBefore | None = None) -> None:
        self._doors: dict[str, CellState] = {} if beside is None else beside._doors
        self._everything: dict[str, Callable[[], str]] = {} if beside is None else beside._everything
        self._states: dict[str, str] = {} if beside is None else beside._states
        self._now: dict[str, _MadeThing] = {}
        self.begun = self.changed = False
        self._kept = _KeptThings()
        self._made_then: dict[str, _MadeThing] = {}
        self._states_then: dict[str, str] = {}
        if earlier is not None:
            self.begun, self._kept = earlier.begun, earlier._kept
            self._made_then, self._states_then = earlier._now, earlier._states
        self._same: dict[int, bool] = {}

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
        if isinstance(kept, dict) and kept.keys() == {"cells", "states", "made"}:
            self._kept = _KeptThings(**kept)

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

    def _again(self, name: str) -> _MadeThing | None:
        if (then := self._made_then.get(name)) is not None:
            return then if all(self._is_known(cell) and self._is_as_then(cell) for cell in then[0]) else None
        if (before := self._kept.made.get(name)) is None:
            return None
        numbers, made = before
        return ([self._kept.cells[number] for number in numbers], made) if all(map(self._is_same, numbers)) else None

    def _is_as_then(self, cell: str) -> bool:
        return self._states_then.get(cell) == self.state(cell)

    def _is_same(self, number: int) -> bool:
        if (same := self._same.get(number)) is None:
            cell = self._kept.cells[number]
            same = self._same[number] = self._is_known(cell) and self.state(cell) == self._kept.states[number]
        return same

    def _anew_of(self, make: Callable[[], Any]) -> _MadeThing:
        with looking() as seen:
            made = make()
        self.changed = True
        # As they are now: whoever asks later could hear of a drawing that changed meanwhile.
        for cell in filter(self._is_known, seen):
            self.state(cell)
        return sorted(seen), made

    def _is_known(self, cell: str) -> bool:
        kind, _, name = cell.partition(" ")
        return name in self._everything if kind == EVERY else kind in self._doors

    def state(self, cell: str) -> str:
        """What a cell is known by as things stand."""
        if cell not in self._states:
            kind, _, name = cell.partition(" ")
            self._states[cell] = self._everything[name]() if kind == EVERY else self._doors[kind](name)
        return self._states[cell]

    def kept(self) -> dict[str, Any]:
        """All that was asked for, and all that still holds, as JSON can hold it."""
        held = {name: made for name in self._kept.made if name not in self._now and (made := self._again(name))}
        numbers: dict[str, int] = {}
        every = {
            name: [[numbers.setdefault(cell, len(numbers)) for cell in cells], value]
            for name, (cells, value) in (held | self._now).items()
        }
        return {"cells": list(numbers), "states": [self.state(cell) for cell in numbers], "made": every}
