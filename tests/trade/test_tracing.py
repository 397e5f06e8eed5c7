"""What a fresh layer takes along from what it is laid on: the release, and into stone the sulfur; nothing else."""

from __future__ import annotations

import pytest

from mothermold.trade.layers import Doing, Face, Layer
from mothermold.trade.tracing import trace
from trade.test_chains import MATERIALS, recipe, step, surface, use

JELLY, SULFUR, FREE, STONE, RESIN, PAINT = (
    "petroleum-jelly", "clay-sulfur", "clay-sulfur-free", "gypsum-cement", "polyurethane-resin", "paint-acrylic-adhesive",
)  # fmt: skip


def layer(family: str, role: str = "base", *traces: Layer) -> Layer:
    return Layer(frozenset({family}), frozenset({family}), role, None, traces)


def families(face: Face, of: int) -> list[str]:
    """What the layer of this place took along."""
    return [family for each in face.layers[of].traces for family in each.families]


def poured(family: str, *layers: Layer) -> list[str]:
    """What a body poured on these layers takes along."""
    text = recipe(
        "mold", [surface("model", FREE)], [surface("face", family)], step("pour", use(family, "cast", "model"))
    )
    _contacts, given, _all = trace(Doing(text, "mold/shell"), MATERIALS, {"model": Face(list(layers))}, [])
    return families(given["face"], 0)


@pytest.mark.parametrize(
    ("family", "layers", "taken"),
    [
        (STONE, [layer(SULFUR)], [SULFUR]),
        (STONE, [layer(FREE)], []),
        (RESIN, [layer(SULFUR)], []),
        (RESIN, [layer(SULFUR), layer(JELLY, "release")], [JELLY]),
        (STONE, [layer(SULFUR), layer(JELLY, "release")], [JELLY, SULFUR]),
        (STONE, [layer(FREE), layer(PAINT, "paint"), layer(JELLY, "release")], [JELLY]),
        # Stone poured on stone draws the sulfur the first one drank, not the jelly that lies within it.
        (STONE, [layer(STONE, "base", layer(JELLY, "release"), layer(SULFUR))], [SULFUR]),
        (RESIN, [layer(STONE, "base", layer(JELLY, "release"), layer(SULFUR))], []),
    ],
)
def test_a_body_takes_along_the_release_and_stone_the_sulfur(
    family: str, layers: list[Layer], taken: list[str]
) -> None:
    assert poured(family, *layers) == taken


def test_a_second_layer_takes_from_the_first_what_stone_drank_and_nothing_else() -> None:
    text = recipe(
        "mold", [], [surface("face", STONE)],
        step("first", use(STONE, "build", "face")), step("second", use(RESIN, "build", "face")),
    )  # fmt: skip
    beneath = {"clay": Face([layer(SULFUR), layer(JELLY, "release")])}
    _contacts, given, _all = trace(Doing(text, "mold/shell"), MATERIALS, {}, [], beneath)
    first, second = len(given["face"].layers) - 2, len(given["face"].layers) - 1
    assert families(given["face"], first) == [JELLY, SULFUR]
    assert families(given["face"], second) == [JELLY, SULFUR]
