"""Since when each step, part and setting of a recipe is as it is."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import pairwise

from mothermold.compare.change import Change, FieldPath
from mothermold.compare.differences import RecipeText, differences


def since_each(texts: Sequence[tuple[int, RecipeText]]) -> dict[int, Mapping[FieldPath, int]]:
    """For each version by its number: for every path changed after the first, the version that last changed it till then.

    A path that is missing was never changed. An entry counts as changed when anything in it was, but its notes. A part
    replaced by another is known by the name it has today.

    Args:
        texts: The readable versions with their numbers, ascending.
    """
    found: dict[FieldPath, int] = {}
    each: dict[int, Mapping[FieldPath, int]] = {number: {} for number, _ in texts[:1]}
    for (_, before), (number, after) in pairwise(texts):
        for change in differences(before, after):
            if change.note and len(change.path) > 1:
                continue  # a picture or a warning added beside a step changes nothing in how it is done
            if change.action == "removed" or change.replaces:
                gone = [path for path in found if path[: len(change.path)] == change.path]
                for path in gone:
                    del found[path]
            for path in _marked(change):
                found[path] = number
        each[number] = dict(found)
    return each


def _marked(change: Change) -> list[FieldPath]:
    path = change.path
    if change.replaces:
        path = (*path[:-1], str(change.after.get("material") or change.after.get("mix")))
    if change.action == "removed":
        path = path[:-1]
    inner = [(*path, key) for key in change.after] if len(path) == 4 and change.amounts is not None else []
    # The list itself (`steps`) is no setting; its entries and everything in them are.
    return [path[:length] for length in range(1 if len(path) == 1 else 2, len(path) + 1)] + inner
