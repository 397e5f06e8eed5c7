"""What stands above the form of a locked recipe: what changing it begins, and what may change without a new number."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

from mothermold.answers.records import runs_of
from mothermold.desk.forms.form import Form, FormList, FormPart
from mothermold.model.expected import keys_of
from mothermold.model.recipe import Recipe
from mothermold.model.traits import places, traits_of
from mothermold.view.view import View

_THE_NUMBER: Final = frozenset({"version", "status", "format"})


@dataclass(frozen=True, slots=True)
class LockedNumber:
    """A locked version whose recipe is about to be written.

    Attributes:
        number: Its number.
        following: The number a change of the process gets.
        runs: How many runs were done by it.
        free: What may change without a new number, as the form calls it; of an entry with what it stands in.
    """

    number: int
    following: int
    runs: int
    free: Sequence[str]


def locked_number(view: View, form: Form) -> LockedNumber | None:
    """What a locked recipe's form says of its number; None for a draft, and for a number that was never saved.

    Args:
        view: The owner's book.
        form: The form of the recipe.
    """
    version, versions = form.tree.get("version"), view.versions(form.address) if form.kind == "recipe" else None
    if versions is None or form.tree.get("status") != "locked" or not str(version).isdecimal():
        return None
    row = versions.get(int(str(version)))
    if row is None or row.commit is None:
        return None
    return LockedNumber(
        row.number, versions.highest + 1, len(runs_of(view, versions.address, row.number)), tuple(_free(form))
    )


def _free(form: Form) -> Iterable[str]:
    reasons = [(key,) for key, field in keys_of(Recipe).items() if traits_of(field).change == "never"]
    parts = [part for section in form.sections for part in section.parts]
    for place in (*places(Recipe, "note"), *reasons):
        if place[0] not in _THE_NUMBER and (words := _called(parts, place)):
            yield words


def _called(parts: Sequence[FormPart], place: Sequence[str]) -> str:
    """What the form calls a field: of one in an entry also what the entry is."""
    for part in parts:
        if part.path[-1] != place[0]:
            continue
        words = part.label[:1].lower() + part.label[1:]
        if len(place) == 1:
            return words
        if isinstance(part, FormList) and (inner := _called(part.blank.parts, place[1:])):
            return f"{inner} (of a {part.one})"
    return ""
