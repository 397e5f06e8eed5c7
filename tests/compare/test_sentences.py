"""A change is said in trade terms, as someone at the bench would say it."""

from __future__ import annotations

import pytest

from mothermold.compare.differences import Change
from mothermold.compare.sentences import sentence

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
    (
        Change("quantity", "changed", ("mixes", "base", "parts", "deadener", "percent"), "60 %", "80"),
        "Base silicone: Deadener 60 % → 80 %.",
    ),
    (
        Change("quantity", "changed", ("mixes", "base", "parts", "deadener", "parts"), "1", "2"),
        "Base silicone: Deadener 1 part → 2 parts.",
    ),
    (Change("time", "changed", ("steps", "fill", "wait"), "30 min", "45 min"), "Fill and close: wait 30 min → 45 min."),
    (Change("quantity", "changed", ("steps", "fill", "coats", "count"), "5", "8"), "Fill and close: coats 5 → 8."),
    (
        Change("order", "added", ("steps", "vent"), None, {"id": "vent", "title": "Vent the core"}, place="release"),
        "Step *Vent the core* added after *Release*.",
    ),
    (
        Change("order", "added", ("steps", "vent"), None, {"id": "vent", "title": "Vent the core"}),
        "Step *Vent the core* added at the beginning.",
    ),
    (Change("order", "moved", ("steps", "fill"), None, "release"), "Step *Fill and close* moved after *Release*."),
    (Change("order", "moved", ("steps", "fill"), "release", None), "Step *Fill and close* moved to the beginning."),
    (
        Change("order", "removed", ("steps", "fill"), {"id": "fill", "title": "Fill and close"}, None),
        "Step *Fill and close* removed.",
    ),
    (
        Change("material", "added", ("mixes", "base", "parts", "deadener"), None, PART),
        "Base silicone: Deadener added, 60 % of Part A.",
    ),
    (
        Change(
            "material", "changed", ("mixes", "base", "parts", "deadener"), PART, {"material": "gel-b", "parts": "50"}
        ),
        "Base silicone: Deadener, 60 % of Part A replaced by Part B, 50 parts.",
    ),
    (
        Change("material", "changed", ("surfaces", "core-face", "material"), "gypsum", "resin"),
        "Core-face material gypsum → resin.",
    ),
    (
        Change("safety", "added", ("steps", "fill", "with"), None, ["vacuum-chamber"]),
        "Fill and close: equipment or action added: vacuum-chamber.",
    ),
    (
        Change("wording", "changed", ("steps", "fill", "watch"), ["a", "b"], ["b", "c"]),
        "Fill and close: watch-outs: added c; removed a.",
    ),
    (Change("wording", "changed", ("title",), "Old", "New"), "Title “Old” → “New”."),
    (
        Change("wording", "changed", ("steps", "fill", "do"), "Pour.", "Pour slowly."),
        "Fill and close: how it is done reworded.",
    ),
    (
        Change(
            "material", "added", ("mixes", "tint"), None, {"id": "tint", "title": "Tint", "parts": [{"material": "a"}]}
        ),
        "Mix *Tint* added.",
    ),
    (
        Change("quantity", "changed", ("mixes", "base", "parts", "gel-b", "of"), "gel-a", ["tint/gel-a", "deadener"]),
        "Base silicone: Part B: a percent of Part A → of the Part A in tint + Deadener.",
    ),
    (
        Change("wording", "added", ("steps", "fill", "watch"), None, ["deadener"]),
        "Fill and close: watch-outs added: Deadener.",
    ),
    (
        Change("time", "removed", ("steps", "fill", "hands_on"), "10 min", None),
        "Fill and close: hands-on time removed (was 10 min).",
    ),
]


@pytest.mark.parametrize(("change", "said"), SAID, ids=[said for _change, said in SAID])
def test_a_change_is_said_plainly(change: Change, said: str) -> None:
    assert sentence(change, TITLES) == said
