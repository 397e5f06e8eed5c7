"""Which fields of a recipe take part in a difference, how their entries pair, and of which kind a change is.

``title``, ``watch``, ``pictures`` and ``off`` are notes: shown,
but not numbered.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Final, Literal

ChangeKind = Literal["material", "quantity", "time", "order", "safety", "wording"]

KIND_WORDS: Final[dict[str, str]] = {
    "material": "Materials", "quantity": "Amounts", "time": "Times", "order": "Order of work", "safety": "Safety",
    "wording": "Wording",
}  # fmt: skip
"""What people call each kind, in the order in which they read them."""


@dataclass(frozen=True, slots=True)
class Leaf:
    """A field compared as one value."""

    kind: ChangeKind
    note: bool = False


@dataclass(frozen=True, slots=True)
class Group:
    """A group of keys; wholly added or removed it is one change of its kind."""

    kind: ChangeKind
    fields: dict[str, Node] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Entries:
    """A list whose entries pair by what identifies them.

    Attributes:
        kind: Of an entry added or removed.
        key: The field that identifies an entry; ``name`` stands for the material's or mix's name.
        fields: What is compared within two paired entries.
        ordered: Whether their order means something.
        replaceable: Whether one removed and one added in its place are said to be one replaced.
        note: Whether the list is a note.
    """

    kind: ChangeKind
    key: str
    fields: dict[str, Node]
    ordered: bool = False
    replaceable: bool = False
    note: bool = False


Node = Leaf | Group | Entries

NEVER_CHANGES: Final = frozenset({
    "format", "version", "status", "why", "fixes", "visibility", "formerly", "accepts",
})  # fmt: skip
"""What a recipe says that is never a change: the reasons of a difference carry it."""

IDENTIFYING: Final[dict[str, frozenset[str]]] = {
    "surfaces": frozenset({"id"}), "mixes": frozenset({"id"}), "steps": frozenset({"id"}),
    "parts": frozenset({"material", "mix"}), "uses": frozenset({"material", "mix"}), "pictures": frozenset({"file"}),
}  # fmt: skip
"""By list, the keys that say which entry it is: another value there is another entry."""

_COATS: Final = Group("quantity", {
    "count": Leaf("quantity"), "between": Leaf("quantity"), "last": Leaf("quantity"),
})  # fmt: skip
_TIMED: Final = Group("time", {"time": Leaf("time"), "at": Leaf("time"), "basis": Leaf("time")})

_SURFACES: Final = Entries(
    "material", "id", {"material": Leaf("material"), "from": Leaf("material"), "surface": Leaf("material")},
)  # fmt: skip

_PART_FIELDS: Final[dict[str, Node]] = {
    "parts": Leaf("quantity"), "percent": Leaf("quantity"), "of": Leaf("quantity"),
    "amount": Leaf("quantity"), "match": Leaf("quantity"), "by": Leaf("quantity"),
    "temperature": Leaf("quantity"),
}  # fmt: skip

_MIX_FIELDS: Final[dict[str, Node]] = {
    "title": Leaf("wording"),
    "once": Leaf("order"),
    "by": Leaf("quantity"),
    "parts": Entries("material", "name", _PART_FIELDS, ordered=True, replaceable=True),
    "batch": Leaf("quantity"),
    "fills": Leaf("quantity"),
    "covers": Group("quantity", {"area": Leaf("quantity"), "thick": Leaf("quantity")}),
    "allowance": Group("quantity", {
        "percent": Leaf("quantity"), "left_in_cups": Leaf("quantity"),
        "smallest_batch": Leaf("quantity"), "largest_batch": Leaf("quantity"),
    }),
    "density": Leaf("quantity"),
    "pot_life": _TIMED,
    "demold": _TIMED,
    "full_cure": _TIMED,
}  # fmt: skip

_USE_FIELDS: Final[dict[str, Node]] = {
    "as": Leaf("material"), "on": Leaf("material"), "amount": Leaf("quantity"), "how": Leaf("wording"),
    "share": Leaf("quantity"), "coats": _COATS,
}  # fmt: skip

_STEP_FIELDS: Final[dict[str, Node]] = {
    "phase": Leaf("order"),
    "title": Leaf("wording"),
    "do": Leaf("wording"),
    "hands_on": Leaf("time"),
    "people": Leaf("quantity"),
    "after": Leaf("order"),
    "within": Group("time", {"time": Leaf("time"), "after": Leaf("time"), "from": Leaf("time")}),
    "coats": _COATS,
    "uses": Entries("material", "name", _USE_FIELDS, ordered=True, replaceable=True),
    "with": Leaf("safety"),
    "starts": Leaf("order"),
    "wait": Leaf("time"),
    "until": Group("time", {"what": Leaf("time"), "usual": Leaf("time"), "longest": Leaf("time")}),
    "holds": Leaf("time"),
    "once": Leaf("order"),
    "may_pause": Leaf("order"),
    "zone": Leaf("wording"),
    "temperature": Leaf("quantity"),
    "check": Leaf("wording"),
    "watch": Leaf("wording", note=True),
    "pictures": Entries(
        "wording",
        "file",
        {"caption": Leaf("wording", note=True), "as": Leaf("wording", note=True)},
        note=True,
    ),
}  # fmt: skip

RECIPE_FIELDS: Final[dict[str, Node]] = {
    "title": Leaf("wording", note=True),
    "stage": Leaf("order"),
    "yields": Leaf("quantity"),
    "needs": Leaf("wording"),
    "surfaces": _SURFACES,
    "gives": Group("material", {"what": Leaf("material"), "surfaces": _SURFACES}),
    "mixes": Entries("material", "id", _MIX_FIELDS),
    "steps": Entries("order", "id", _STEP_FIELDS, ordered=True),
    "off": Leaf("safety", note=True),
}
