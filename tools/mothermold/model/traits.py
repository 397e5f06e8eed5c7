"""What a field is, said at the field: which kind of change it makes, and who is shown it.

``some``, ``many`` and ``must`` of ``parts`` take these beside a field's description. A field that says nothing counts, as
what holds it counts: it can never be invisible to a difference.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any, Literal, get_args

from pydantic.fields import FieldInfo

from mothermold.model.expected import Model, keys_of, model_in

ChangeKind = Literal["material", "quantity", "time", "order", "safety", "wording"]


@dataclass(frozen=True, kw_only=True)
class Traits:
    """What a field is, beside its type.

    Attributes:
        change: The kind of a change of it; of a list of entries, of one that came or went. ``never`` where it is no
            change: reasons carry it. Default: the kind of what holds it, at the top of a document ``order``.
        note: Whether it is a note: shown in a difference, and not numbered. What a note holds is one too.
        names: Whether it says which entry of a list this is: another value there is another entry.
        ordered: Whether the order of its entries means something.
        whole: Whether a group is compared as one value.
        safety: The word that makes a change of it, and of the entry that says it, one of safety.
        own: Whether it stays with the owner, whoever reads the rest.
        pinned: Whether a recipe must be named with its version here: what was done, made, taught or fixed.
    """

    change: ChangeKind | Literal["never"] | None = None
    note: bool = False
    names: bool = False
    ordered: bool = False
    whole: bool = False
    safety: str | None = None
    own: bool = False
    pinned: bool = False

    def __post_init__(self) -> None:
        flags = (self.note, self.names, self.ordered, self.whole, self.own, self.pinned)
        if self.change not in (None, "never", *get_args(ChangeKind)) or not all(type(flag) is bool for flag in flags):
            raise ValueError(f"{self} says what no field is")

    def __call__(self, _schema: dict[str, Any]) -> None:
        """Adds nothing to the field's schema; as its extra, pydantic carries the traits with the field."""


def traits_of(field: FieldInfo) -> Traits:
    """What was said at a field."""
    said = field.json_schema_extra
    return said if isinstance(said, Traits) else Traits()


@cache
def places(model: Model, trait: Literal["own", "pinned", "note"]) -> tuple[tuple[str, ...], ...]:
    """Where a kind of document says what is of a trait: the keys on the way, without places in lists."""
    found: list[tuple[str, ...]] = []
    for key, field in keys_of(model).items():
        if getattr(traits_of(field), trait):
            found.append((key,))
        if group := model_in(field.annotation):
            found += [(key, *inner) for inner in places(group, trait)]
    return tuple(found)
