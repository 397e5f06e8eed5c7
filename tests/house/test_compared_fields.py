"""No field of a recipe can be invisible to a difference: each is compared, identifies its entry, or is never a change."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, get_args

import pytest

from mothermold.compare.fields import IDENTIFYING, NEVER_CHANGES, RECIPE_FIELDS, Entries, Group, Node
from mothermold.model.parts import Part, some
from mothermold.model.recipe import Recipe, Step, Use


def parts_in(annotation: Any) -> list[type[Part]]:
    """The groups of keys a field may hold, through lists, unions and annotations."""
    if isinstance(annotation, type):
        return [annotation] if issubclass(annotation, Part) else []
    return [part for inner in get_args(annotation) for part in parts_in(inner)]


def forgotten(model: type[Part], compared: Mapping[str, Node], group: str) -> Iterator[str]:
    """Every field below a model that a difference does not see, as ``group.key``, and every one that is no field."""
    fields = {info.alias or name: info for name, info in model.model_fields.items()}
    silent = NEVER_CHANGES if group == "recipe" else IDENTIFYING.get(group, frozenset())
    yield from (f"{group}.{key}" for key in fields.keys() - compared.keys() - silent)
    yield from (f"{group}.{key} is no field" for key in (compared.keys() | silent) - fields.keys())
    for key in fields.keys() & compared.keys():
        node, inside = compared[key], parts_in(fields[key].annotation)
        if isinstance(node, Group | Entries):
            (part,) = inside
            yield from forgotten(part, node.fields, key)


def test_every_field_of_every_group_is_compared_or_named_as_never_a_change() -> None:
    assert sorted(forgotten(Recipe, RECIPE_FIELDS, "recipe")) == []


@pytest.mark.parametrize("model", [Step, Use])
def test_a_field_that_joins_a_group_and_is_compared_nowhere_is_seen(model: type[Part]) -> None:
    class Longer(model):  # type: ignore[misc, valid-type]
        """The group with a field more."""

        shine: str | None = some("How it shines.", "dull")

    group = {Step: "steps", Use: "uses"}[model]
    steps = RECIPE_FIELDS["steps"]
    assert isinstance(steps, Entries)
    uses = steps.fields["uses"]
    assert isinstance(uses, Entries)

    assert list(forgotten(Longer, {"steps": steps, "uses": uses}[group].fields, group)) == [f"{group}.shine"]
