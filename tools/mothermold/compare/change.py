"""One change between two texts of a recipe."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal

from mothermold.model.traits import ChangeKind

Action = Literal["added", "removed", "changed", "moved"]
FieldPath = tuple[str, ...]
"""Keys and ids from the top of a recipe."""

Written = Any
"""A value as the document has it: text, list or dict of such, None when absent."""


@dataclass(frozen=True, slots=True)
class Change:
    """One change.

    Attributes:
        kind: material, quantity, time, order, safety or wording.
        action: added, removed, changed or moved.
        path: Keys and ids from the top of the recipe.
        before: As written in A; for a moved entry the id it stood after, None when first.
        after: As written in B, likewise.
        place: For an added entry of an ordered list, the id it stands after; None when first.
        position: For an added or moved entry of an ordered list, its position in B's list.
        note: Whether only a note changed, which no number counts.
        amounts: Of a change of how much of a part goes in, the keys that say it in A and in B.
    """

    kind: ChangeKind
    action: Action
    path: tuple[str, ...]
    before: Written
    after: Written
    place: str | None = None
    position: int | None = None
    note: bool = False
    amounts: tuple[Written, Written] | None = None

    @property
    def replaces(self) -> bool:
        """Whether something else took the place of an entry."""
        named = isinstance(self.after, Mapping) and ("material" in self.after or "mix" in self.after)
        return self.action == "changed" and self.amounts is None and named
