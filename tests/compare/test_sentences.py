"""A change is said in trade terms, as someone at the bench would say it."""

from __future__ import annotations

import copy
import random
import re
from collections.abc import Iterator, Mapping
from pathlib import Path

import pytest

from compare.every_sentence import EVERYTHING, every_sentence
from compare.generated import a_recipe, an_edited_recipe
from compare.texts import Tree, text_of
from mothermold.compare.change import Change
from mothermold.compare.differences import differences
from mothermold.compare.fields import RECIPE_FIELDS, Leaf, Node
from mothermold.compare.phrases import PHRASES, Phrase, phrase_for
from mothermold.compare.sentences import sentence
from mothermold.model.scalars import Prose

SENTENCES = Path(__file__).parents[1] / "data/sentences.txt"

TITLES = {
    "deadener": "Deadener",
    "base": "Base silicone",
    "fill": "Fill and close",
    "release": "Release",
    "gel-a": "Part A",
    "gel-b": "Part B",
}
PART = {"material": "deadener", "percent": "60", "of": "gel-a"}

SAID = [
    (Change("time", "changed", ("steps", "fill", "wait"), "30 min", "45 min"), "Fill and close: wait 30 min → 45 min."),
    (
        Change("order", "added", ("steps", "vent"), None, {"id": "vent", "title": "Vent the core"}, place="release"),
        "Step *Vent the core* added after *Release*.",
    ),
    (Change("order", "moved", ("steps", "fill"), None, "release"), "Step *Fill and close* moved after *Release*."),
    (
        Change("material", "added", ("mixes", "base", "parts", "deadener"), None, PART),
        "Base silicone: Deadener added, 60 % of Part A.",
    ),
    (
        Change(
            "material", "changed", ("mixes", "base", "parts", "deadener"), PART, {"material": "gel-b", "parts": "50"}
        ),
        "Base silicone: Deadener, 60 % of Part A, replaced by Part B, 50 parts.",
    ),
    (
        Change("wording", "changed", ("steps", "fill", "watch"), ["a", "b"], ["b", "c"]),
        "Fill and close: now says to watch out for “c”; no longer says to watch out for “a”.",
    ),
    (
        Change("order", "changed", ("steps", "fill", "with"), ["spray-gun"], ["spray-gun", "lifting"]),
        "Fill and close: now with heavy lifting.",
    ),
    (
        Change("order", "added", ("steps", "fill", "with"), None, ["spray-gun", "vacuum-chamber"]),
        "Fill and close: now with spray gun and vacuum chamber.",
    ),
    (
        Change("time", "changed", ("steps", "fill", "holds"), "bench", "mold"),
        "Fill and close: while it waits it ties up the mold now, not the bench.",
    ),
    (
        Change("order", "added", ("steps", "fill", "after"), None, ["release", "vent"]),
        "Fill and close: now comes after Release and vent.",
    ),
    (
        Change("wording", "changed", ("needs",), ["scale to 0.1 g", "8 bolts"], ["scale to 0.01 g", "a flat file"]),
        "What must be at hand: reworded “scale to 0.1 g” → “scale to 0.01 g”; added “a flat file”; removed “8 bolts”.",
    ),
]


@pytest.mark.parametrize(("change", "said"), SAID, ids=[said for _change, said in SAID])
def test_a_change_is_said_plainly(change: Change, said: str) -> None:
    assert sentence(change, TITLES) == said


def of_base(b: Tree, then: Tree, *, same_weight: bool = False) -> list[str]:
    """What is said where one part of a mix became another."""
    texts = []
    for part in (b, then):
        tree = copy.deepcopy(dict(EVERYTHING.written))
        tree["mixes"][2]["parts"].append({"material": "gel-b"} | part)
        texts.append(text_of(tree))
    titles = TITLES | {"gel-silicone-a": "Part A"}
    return [sentence(change, titles, same_weight=same_weight) for change in differences(*texts)]


def test_what_a_percent_is_of_stands_with_it() -> None:
    a = "gel-silicone-a"

    assert of_base({"percent": "60", "of": a}, {"percent": "80", "of": a}) == [
        "Skin-coat: Part B 60 % → 80 % of Part A."
    ]
    assert of_base({"percent": "60", "of": a}, {"percent": "60", "of": "total"}) == [
        "Skin-coat: Part B 60 % of Part A → 60 % of the total."
    ]


def test_parts_that_become_a_percent_are_one_change_and_no_part_is_removed() -> None:
    assert of_base({"parts": "1"}, {"percent": "100", "of": "gel-silicone-a"}) == [
        "Skin-coat: Part B 1 part → 100 % of Part A."
    ]


def test_another_basis_for_the_same_weight_says_so() -> None:
    a = "gel-silicone-a"

    assert of_base({"percent": "50", "of": a}, {"percent": "33.3", "of": "total"}, same_weight=True) == [
        "Skin-coat: Part B 50 % of Part A → the same weight, said as 33.3 % of the total."
    ]


def test_every_sentence_a_difference_can_say_is_in_the_list_that_was_read() -> None:
    listed = SENTENCES.read_text(encoding="utf-8").splitlines()

    assert list(every_sentence()) == listed


def test_every_phrase_speaks_of_a_field_and_says_more_than_its_name() -> None:
    known = set(keys(RECIPE_FIELDS, "recipe"))

    assert [f"{group}.{key}" for group, words in PHRASES.items() for key in words if (group, key) not in known] == []
    plain = [(group, key) for group, words in PHRASES.items() for key in words if words[key] == Phrase(key)]
    assert plain == []


def keys(fields: Mapping[str, Node], group: str) -> Iterator[tuple[str, str]]:
    for key, node in fields.items():
        yield group, key
        if not isinstance(node, Leaf):
            yield from keys(node.fields, key)


TEXT = Leaf("shine", "order", note=False, holds=str, many=False, safety=None)
PROSE = Leaf("how_it_shines", "order", note=False, holds=Prose, many=False, safety=None)


@pytest.mark.parametrize(
    ("key", "leaf", "within", "action", "said"),
    [
        ("shine", TEXT, False, "changed", "shine {b} → {a}"),
        ("shine", TEXT, False, "added", "shine {a}, not stated before"),
        ("shine", TEXT, True, "removed", "shine of {it} no longer stated (was {b})"),
        ("how_it_shines", PROSE, False, "changed", "how it shines reworded"),
        ("how_it_shines", PROSE, False, "added", "how it shines, newly written: “{a}”"),
    ],
)
def test_a_field_without_words_of_its_own_goes_by_its_name(
    key: str, leaf: Leaf, within: bool, action: str, said: str
) -> None:
    assert phrase_for("steps", key, leaf, within=within).said(action) == said


def test_a_mix_and_a_step_may_be_called_like_a_list_of_the_recipe() -> None:
    a = {
        "title": "A piece", "stage": "cast", "version": "1", "status": "draft",
        "mixes": [{"id": "parts", "parts": [{"material": "gel-a", "parts": "1"}], "density": "1.05 g/ml"}],
        "steps": [{"id": "uses", "title": "Fill", "people": "1"}],
    }  # fmt: skip
    b = copy.deepcopy(a)
    b["mixes"][0]["density"], b["steps"][0]["people"] = "1.1 g/ml", "2"

    assert [sentence(change, {}) for change in differences(text_of(a), text_of(b))] == [
        "Parts: measured density 1.05 g/ml → 1.1 g/ml.",
        "Uses: people needed 1 → 2.",
    ]


def test_any_change_between_any_two_recipes_is_a_whole_sentence() -> None:
    for seed in range(150):
        rng = random.Random(seed)
        one, other = a_recipe(rng), a_recipe(rng)
        for a, b in ((one, an_edited_recipe(rng, one)), (one, other)):
            for change in differences(text_of(a), text_of(b)):
                said = sentence(change, {})
                assert said.endswith(".")
                assert not re.search(r"None|\(was \)|“”|→ \.|  | ,|[{}\[\]]|: \.|\.\.$", said), said
