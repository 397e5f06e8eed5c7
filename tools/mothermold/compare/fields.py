"""The fields of a recipe as a difference sees them: which take part, how their entries pair, of which kind a change is.

Read off the model, where each field says what it is (``model.traits``).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from mothermold.model.expected import Model, holds, is_list, model_in
from mothermold.model.names import FailureRef, MaterialRef, MixName, StepName
from mothermold.model.recipe import Recipe
from mothermold.model.traits import ChangeKind, traits_of

KIND_WORDS: Final[dict[ChangeKind, str]] = {
    "material": "Materials", "quantity": "Amounts", "time": "Times", "order": "Order of work", "safety": "Safety",
    "wording": "Wording",
}  # fmt: skip
"""What people call each kind, in the order in which they read them."""


@dataclass(frozen=True, slots=True)
class Node:
    """A field that takes part.

    Attributes:
        name: What the model calls it.
        kind: Of a change of it; of a list of entries, of one that came or went.
        note: Whether it is a note.
    """

    name: str
    kind: ChangeKind
    note: bool


@dataclass(frozen=True, slots=True)
class Leaf(Node):
    """A field compared as one value.

    Attributes:
        holds: What a value is; of a list, an entry.
        many: Whether it is a list.
        safety: The value that makes a change one of safety.
    """

    holds: type
    many: bool
    safety: str | None


@dataclass(frozen=True, slots=True)
class Group(Node):
    """A group of keys; wholly added or removed it is one change."""

    fields: Mapping[str, Node]


@dataclass(frozen=True, slots=True)
class Entries(Node):
    """A list whose entries pair by what identifies them.

    Attributes:
        fields: What is compared within two paired entries.
        key: The field that identifies an entry; ``name`` where it goes by the material or mix it is of.
        ordered: Whether their order means something.
        needed: Whether the list stands even when it is empty.
    """

    fields: Mapping[str, Node]
    key: str
    ordered: bool
    needed: bool

    @property
    def replaceable(self) -> bool:
        """Whether one removed and one added in its place are said to be one replaced."""
        return self.key == "name"


def _below(model: Model, kind: ChangeKind, *, note: bool, naming: Sequence[str] = ()) -> dict[str, Node]:
    """The fields of a group that take part, by their keys; those that name it as an entry do not."""
    return {
        field.alias or name: _node(name, field, kind, note=note)
        for name, field in model.model_fields.items()
        if traits_of(field).change != "never" and name not in naming
    }


def _node(name: str, field: Any, kind: ChangeKind, *, note: bool) -> Node:
    """A field in a group of some kind; what it does not say itself it has from the group."""
    traits = traits_of(field)
    assert traits.change != "never"
    kind, note = traits.change or kind, traits.note or note
    group, many = model_in(field.annotation), is_list(field.annotation)
    naming = [each for each, inner in group.model_fields.items() if traits_of(inner).names] if group and many else []
    if group is None or traits.whole or (many and not naming):
        value: type = next(holds(field.annotation), str)
        return Leaf(name, kind, note, value, many, traits.safety)
    fields = _below(group, kind, note=note, naming=naming)
    if not many:
        return Group(name, kind, note, fields)
    key = naming[0] if len(naming) == 1 else "name"
    return Entries(name, kind, note, fields, key, traits.ordered, field.is_required())


RECIPE_FIELDS: Final[Mapping[str, Node]] = _below(Recipe, "order", note=False)


def node_at(path: Sequence[str]) -> tuple[Node, list[int]]:
    """The field a path of keys and ids leads to or into, and at which places of the path an entry is named."""
    node, named = RECIPE_FIELDS[path[0]], list[int]()
    for index, key in enumerate(path[1:], 1):
        if isinstance(node, Entries) and index - 1 not in named:
            named.append(index)
        elif isinstance(node, Group | Entries):
            node = node.fields[key]
    return node, named


def _leaves(fields: Mapping[str, Node]) -> Iterator[tuple[str, Leaf]]:
    for key, node in fields.items():
        if isinstance(node, Leaf):
            yield key, node
        elif isinstance(node, Group | Entries):
            yield from _leaves(node.fields)


TITLED: Final = frozenset(
    key for key, leaf in _leaves(RECIPE_FIELDS) if issubclass(leaf.holds, StepName | MixName | FailureRef | MaterialRef)
)
"""Fields whose value is the id or name of something that has a title."""
