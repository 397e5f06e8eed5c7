"""A difference is lossless: applied to A it gives B, in everything a difference speaks of."""

from __future__ import annotations

import copy
import itertools
import random
from typing import Any

import pytest

from compare.applying import apply
from compare.generated import a_recipe, an_edited_recipe, part_name
from compare.texts import Tree, read, sample_files, text_of
from mothermold.compare.differences import Change, RecipeText, differences
from mothermold.model.parts import Part
from mothermold.model.recipe import Recipe

NEVER = ("format", "version", "status", "why", "fixes", "visibility", "formerly", "accepts")


def meant(recipe: Recipe) -> dict[str, Any]:
    """What a difference speaks of, comparable without it: no order where none is meant."""
    said: dict[str, Any] = {key: value for key, value in _plain(recipe).items() if key not in NEVER}
    for group in (said, said["gives"] or {"surfaces": []}):
        group["surfaces"] = _by(group["surfaces"], "id")
    said["mixes"] = _by(said["mixes"], "id")
    for step in said["steps"]:
        step["pictures"] = _by(step["pictures"], "file")
    if isinstance(said["yields"], list):
        said["yields"] = sorted(said["yields"])
    return said


def _plain(value: Any) -> Any:
    if isinstance(value, Part):
        return {name: _plain(getattr(value, name)) for name in type(value).model_fields}
    return [_plain(entry) for entry in value] if isinstance(value, tuple) else value


def _by(entries: Any, key: str) -> list[Any]:
    return sorted(entries, key=lambda entry: str(entry[key]))


def orders(tree: Tree) -> list[tuple[str, list[str]]]:
    """The order of everything that has one."""
    found = [("steps", [step["id"] for step in tree["steps"]])]
    found += [(step["id"], [part_name(use) for use in step.get("uses", [])]) for step in tree["steps"]]
    mixes = sorted(tree.get("mixes", []), key=lambda mix: str(mix["id"]))
    return found + [(mix["id"], [part_name(part) for part in mix["parts"]]) for mix in mixes]


def assert_lossless(a: RecipeText, b: RecipeText) -> list[Change]:
    before = copy.deepcopy(dict(a.written))
    changes = differences(a, b)
    applied = text_of(apply(a.written, changes))

    assert a.written == before
    assert all(change.path and all(change.path) for change in changes)
    # An `of` may keep its words while the part it named went by another name.
    assert all(c.before != c.after for c in changes if c.action == "changed" and c.path[-1] != "of")
    assert [change.kind for change in changes] == sorted((c.kind for c in changes), key=lambda kind: kind == "wording")
    assert len({(change.path, change.action) for change in changes}) == len(changes)
    assert differences(applied, b) == []
    assert meant(applied.recipe) == meant(b.recipe)
    assert orders(dict(applied.written)) == orders(dict(b.written))
    return changes


@pytest.mark.parametrize("hundred", range(8))
def test_an_edited_recipe_is_the_old_one_with_the_changes_applied(hundred: int) -> None:
    found = 0
    for seed in range(100 * hundred, 100 * hundred + 100):
        rng = random.Random(seed)
        tree = a_recipe(rng)
        a, b = text_of(tree), text_of(an_edited_recipe(rng, tree))
        found += len(assert_lossless(a, b))
        assert differences(a, a) == []
        assert differences(b, b) == []
    assert found > 100


def test_the_generated_edits_reach_every_kind_and_action() -> None:
    seen: set[tuple[str, str]] = set()
    for seed in range(200):
        rng = random.Random(seed)
        tree = a_recipe(rng)
        changes = differences(text_of(tree), text_of(an_edited_recipe(rng, tree)))
        seen |= {(change.kind, change.action) for change in changes}

    everywhere = {"material", "quantity", "time", "order", "safety", "wording"}
    assert seen == {("order", "moved")} | set(itertools.product(everywhere, ["added", "removed", "changed"]))


@pytest.mark.parametrize("hundred", range(2))
def test_of_two_unrelated_recipes_one_becomes_the_other(hundred: int) -> None:
    for seed in range(100 * hundred, 100 * hundred + 100):
        rng = random.Random(f"unrelated {seed}")
        assert_lossless(text_of(a_recipe(rng)), text_of(a_recipe(rng)))


def test_of_two_sample_recipes_one_becomes_the_other() -> None:
    samples = [read(file.read_bytes()) for file in sample_files().values()]

    for a, b in itertools.permutations(samples, 2):
        assert_lossless(a, b)


# By hand


def recipe(steps: list[str] | None = None, parts: list[str] | None = None, uses: list[str] | None = None) -> RecipeText:
    """A recipe of steps by their ids, parts of one mix, uses of one step."""
    tree: Tree = {"title": "A piece", "stage": "cast", "version": "1", "status": "locked"}
    tree["mixes"] = [{"id": "base", "parts": [{"material": name, "parts": "1"} for name in parts or ["gel-a"]]}]
    tree["steps"] = [{"id": name, "title": f"Do {name}", "hands_on": "5 min"} for name in steps or ["fill"]]
    if uses is not None:
        tree["steps"][0]["uses"] = [
            {"material": name, "as": "release", "how": f"way {i}"} for i, name in enumerate(uses)
        ]
    return text_of(tree)


def told(changes: list[Change]) -> list[tuple[str, str, str, Any, Any]]:
    return [(change.kind, change.action, "/".join(change.path), change.before, change.after) for change in changes]


def test_a_step_moved_to_the_first_place_is_one_change() -> None:
    changes = assert_lossless(recipe(["release", "coat", "fill"]), recipe(["fill", "release", "coat"]))

    assert told(changes) == [("order", "moved", "steps/fill", "coat", None)]


def test_a_step_moved_to_the_last_place_is_one_change() -> None:
    changes = assert_lossless(recipe(["release", "coat", "fill", "open"]), recipe(["coat", "fill", "open", "release"]))

    assert told(changes) == [("order", "moved", "steps/release", None, "open")]


def test_two_neighbors_swapped_are_one_change() -> None:
    (change,) = assert_lossless(
        recipe(["release", "coat", "fill", "open"]), recipe(["release", "fill", "coat", "open"])
    )

    assert (change.kind, change.action) == ("order", "moved")
    assert change.path[-1] in ("coat", "fill")


def test_two_steps_far_apart_swapped_are_two_changes() -> None:
    changes = assert_lossless(recipe(["a", "b", "c", "d", "e"]), recipe(["e", "b", "c", "d", "a"]))

    assert told(changes) == [
        ("order", "moved", "steps/e", "d", None),
        ("order", "moved", "steps/a", None, "d"),
    ]


@pytest.mark.parametrize("length", [2, 3, 4, 5])
def test_as_few_steps_as_possible_are_moved(length: int) -> None:
    steps = ["a", "b", "c", "d", "e"][:length]
    a = recipe(steps)
    for order in itertools.permutations(steps):
        staying = max(
            size
            for size in range(length + 1)
            for chosen in itertools.combinations(order, size)
            if list(chosen) == sorted(chosen)
        )

        changes = assert_lossless(a, recipe(list(order)))

        assert len(changes) == length - staying
        assert {change.action for change in changes} <= {"moved"}


def test_a_moved_step_tells_what_else_changed_in_it() -> None:
    tree = copy.deepcopy(dict(recipe(["fill", "release", "coat"]).written))
    tree["steps"][0]["hands_on"] = "9 min"

    changes = assert_lossless(recipe(["release", "coat", "fill"]), text_of(tree))

    assert told(changes) == [
        ("order", "moved", "steps/fill", "coat", None),
        ("time", "changed", "steps/fill/hands_on", "5 min", "9 min"),
    ]


def test_a_part_replaced_in_the_middle_is_one_change_of_material() -> None:
    changes = assert_lossless(recipe(parts=["gel-a", "dye", "gel-b"]), recipe(parts=["gel-a", "flocking", "gel-b"]))

    before, after = {"material": "dye", "parts": "1"}, {"material": "flocking", "parts": "1"}
    assert told(changes) == [("material", "changed", "mixes/base/parts/dye", before, after)]


def test_the_only_part_replaced_is_one_change_of_material() -> None:
    changes = assert_lossless(recipe(parts=["gel-a"]), recipe(parts=["gel-b"]))

    before, after = {"material": "gel-a", "parts": "1"}, {"material": "gel-b", "parts": "1"}
    assert told(changes) == [("material", "changed", "mixes/base/parts/gel-a", before, after)]


def test_a_part_removed_at_the_end_and_one_added_at_the_start_is_no_replacement() -> None:
    changes = assert_lossless(recipe(parts=["gel-a", "gel-b", "dye"]), recipe(parts=["thinner", "gel-a", "gel-b"]))

    assert told(changes) == [
        ("material", "added", "mixes/base/parts/thinner", None, {"material": "thinner", "parts": "1"}),
        ("material", "removed", "mixes/base/parts/dye", {"material": "dye", "parts": "1"}, None),
    ]


def test_of_two_parts_that_gave_way_to_one_the_first_is_replaced() -> None:
    changes = assert_lossless(
        recipe(parts=["gel-a", "dye", "thinner", "gel-b"]), recipe(parts=["gel-a", "paste", "gel-b"])
    )

    assert [(change.action, change.path[-1]) for change in changes] == [
        ("changed", "dye"),
        ("removed", "thinner"),
    ]


def test_a_part_added_behind_a_replaced_one_stands_behind_the_new_name() -> None:
    changes = assert_lossless(recipe(parts=["gel-a", "dye"]), recipe(parts=["gel-a", "paste", "powder"]))

    assert [(change.action, change.path[-1], change.place) for change in changes] == [
        ("changed", "dye", None),
        ("added", "powder", "paste"),
    ]


def test_a_moved_part_is_one_change_of_order() -> None:
    changes = assert_lossless(recipe(parts=["gel-a", "dye", "gel-b"]), recipe(parts=["gel-b", "gel-a", "dye"]))

    assert told(changes) == [("order", "moved", "mixes/base/parts/gel-b", "dye", None)]


def test_an_added_step_is_one_change_and_its_content_is_not_repeated() -> None:
    b = recipe(["release", "vent", "fill"], uses=["jelly"])
    vent = dict(b.written["steps"][1])
    vent |= {"uses": [{"material": "water", "as": "clean"}], "coats": {"count": "2"}, "with": ["oven"]}
    tree = copy.deepcopy(dict(b.written))
    tree["steps"][1] = vent

    (change,) = changes = assert_lossless(recipe(["release", "fill"], uses=["jelly"]), text_of(tree))

    assert told(changes) == [("order", "added", "steps/vent", None, vent)]
    assert change.place == "release"


def test_a_step_added_at_the_first_place_stands_after_none() -> None:
    (change,) = assert_lossless(recipe(["fill"]), recipe(["release", "fill"]))

    assert (change.kind, change.action, change.path, change.place) == (
        "order",
        "added",
        ("steps", "release"),
        None,
    )


def test_a_removed_step_is_one_change_with_its_whole_content() -> None:
    changes = assert_lossless(recipe(["release", "fill"], uses=["jelly", "water"]), recipe(["fill"]))

    ((kind, action, path, before, after),) = told(changes)
    assert (kind, action, path, after) == ("order", "removed", "steps/release", None)
    assert [use["material"] for use in before["uses"]] == ["jelly", "water"]


def test_a_step_under_another_id_is_one_removed_and_one_added() -> None:
    changes = assert_lossless(recipe(["release", "fill"]), recipe(["release", "pour"]))

    assert [(change.kind, change.action, change.path[-1]) for change in changes] == [
        ("order", "added", "pour"),
        ("order", "removed", "fill"),
    ]


# The same material twice in a step


def with_uses(*uses: Tree) -> RecipeText:
    tree = copy.deepcopy(dict(recipe().written))
    tree["steps"][0]["uses"] = list(uses)
    return text_of(tree)


SOAK = {"material": "water", "as": "soak", "amount": "60 ml"}
CLEAN = {"material": "water", "as": "clean", "amount": "40 ml"}
JELLY = {"material": "jelly", "as": "release"}
POWDER = {"material": "powder", "as": "powder"}
ALCOHOL = {"material": "alcohol", "as": "clean"}


def test_of_a_material_used_twice_the_first_use_can_go() -> None:
    changes = assert_lossless(with_uses(SOAK, JELLY, CLEAN), with_uses(JELLY, CLEAN))

    assert told(changes) == [("material", "removed", "steps/fill/uses/water", SOAK, None)]


def test_of_a_material_used_twice_the_first_use_can_go_while_the_other_changes() -> None:
    changes = assert_lossless(with_uses(SOAK, JELLY, CLEAN), with_uses(JELLY, CLEAN | {"amount": "50 ml"}))

    assert told(changes) == [
        ("quantity", "changed", "steps/fill/uses/water#2/amount", "40 ml", "50 ml"),
        ("material", "removed", "steps/fill/uses/water", SOAK, None),
    ]


def test_of_a_material_used_once_another_use_can_come_before() -> None:
    changes = assert_lossless(with_uses(JELLY, CLEAN), with_uses(SOAK, JELLY, CLEAN))

    assert told(changes) == [("material", "added", "steps/fill/uses/water#2", None, SOAK)]


def test_of_a_material_used_twice_the_first_use_can_be_replaced() -> None:
    changes = assert_lossless(with_uses(SOAK, JELLY, CLEAN), with_uses(ALCOHOL, JELLY, CLEAN))

    assert told(changes) == [("material", "changed", "steps/fill/uses/water", SOAK, ALCOHOL)]


def test_a_use_can_be_replaced_by_one_of_a_material_used_before_with_others_behind_it() -> None:
    changes = assert_lossless(with_uses(SOAK, ALCOHOL, JELLY), with_uses(SOAK, CLEAN, POWDER, JELLY))

    assert told(changes) == [
        ("material", "changed", "steps/fill/uses/alcohol", ALCOHOL, CLEAN),
        ("material", "added", "steps/fill/uses/powder", None, POWDER),
    ]


def test_two_equal_uses_of_which_one_goes_are_one_change() -> None:
    changes = assert_lossless(with_uses(SOAK, JELLY, SOAK), with_uses(SOAK, JELLY))

    assert told(changes) == [("material", "removed", "steps/fill/uses/water#2", SOAK, None)]


def test_two_uses_of_a_material_that_change_places_are_one_change_of_order() -> None:
    ((kind, action, path, _before, _after),) = told(assert_lossless(with_uses(SOAK, CLEAN), with_uses(CLEAN, SOAK)))

    assert (kind, action) == ("order", "moved")
    assert path in ("steps/fill/uses/water", "steps/fill/uses/water#2")


def test_an_of_follows_through_premixes_at_any_depth() -> None:
    def nested(material: str, of: str) -> RecipeText:
        tree = copy.deepcopy(dict(recipe().written))
        tree["mixes"] = [
            {"id": "inner", "parts": [{"material": material, "parts": "1"}]},
            {"id": "outer", "parts": [{"mix": "inner", "parts": "1"}, {"material": "dye", "parts": "1"}]},
            {"id": "base", "parts": [{"mix": "outer", "parts": "1"}, {"material": "gel-b", "percent": "9", "of": of}]},
        ]
        return text_of(tree)

    changes = assert_lossless(nested("gel-a", "outer/gel-a"), nested("firm-a", "outer/firm-a"))

    assert [change.path for change in changes] == [("mixes", "inner", "parts", "gel-a")]


def test_an_of_keeps_its_name_while_that_still_lies_elsewhere_in_the_premix() -> None:
    def twice(material: str) -> RecipeText:
        tree = copy.deepcopy(dict(recipe().written))
        percent = {"material": "gel-b", "percent": "9", "of": "outer/gel-a"}
        tree["mixes"] = [
            {"id": "inner", "parts": [{"material": "gel-a", "parts": "1"}]},
            {"id": "outer", "parts": [{"mix": "inner", "parts": "1"}, {"material": material, "parts": "1"}]},
            {"id": "base", "parts": [{"mix": "outer", "parts": "1"}, percent]},
        ]
        return text_of(tree)

    changes = assert_lossless(twice("gel-a"), twice("firm-a"))

    assert [change.path for change in changes] == [("mixes", "outer", "parts", "gel-a")]
