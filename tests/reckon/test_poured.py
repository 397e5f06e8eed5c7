"""What stands in the cup, beside what the recipe has of the same parts."""

from __future__ import annotations

from fractions import Fraction

import pytest

from mothermold.reckon.errors import ReckoningError
from mothermold.reckon.mixes import Resolved
from mothermold.reckon.poured import Poured, as_poured
from reckon.bench import masses, resolved

TEXT = """
soft: {parts: [{material: a, parts: 100}, {material: d, percent: 100, of: a}], batch: 1 kg}
tint: {parts: [{material: p, parts: 1}, {material: q, parts: 1}], batch: 10 g}
base: {parts: [{mix: soft, parts: 200}, {material: b, parts: 100}, {mix: tint, percent: 2, of: the-rest}], batch: 306 g}
"""


def poured(materials: str = "{}", **grams: int) -> Poured:
    premixes: dict[str, Resolved] = {name: resolved(TEXT, name, materials) for name in ("soft", "tint")}
    given = {name: Fraction(each) for name, each in grams.items()}
    return as_poured(resolved(TEXT, "base", materials), given, premixes)


def rest_of(mix: Resolved) -> dict[str, Fraction | None]:
    return {part.name: part.mass for part in mix.rest}


def test_parts_are_read_back_in_their_own_weights_beside_the_recipes() -> None:
    cup = poured(soft=210, b=100, tint=6)
    assert masses(cup.mixed) == {"soft": 210, "b": 100, "tint": 6}
    assert masses(cup.meant) == {"soft": 200, "b": 100, "tint": 6}
    assert (cup.mixed.mass, cup.meant.mass, cup.without) == (316, 306, ())
    assert {part.name: part.mass for part in cup.mixed.materials} == {"a": 105, "d": 105, "b": 100, "p": 3, "q": 3}


def test_what_was_not_poured_is_named_and_counts_nowhere() -> None:
    cup = poured(soft=210)
    assert (cup.mixed.mass, cup.meant.mass, cup.without) == (210, 200, ("b", "tint"))


def test_a_share_of_the_rest_is_none_of_it_in_parts_or_in_raw_materials() -> None:
    assert rest_of(poured(soft=210, b=100, tint=6).mixed) == {"a": 105, "d": 105, "b": 100}
    assert rest_of(poured(a=105, d=100, b=100, p=3, q=3).mixed) == {"a": 105, "d": 100, "b": 100}
    assert poured(a=105, d=100, p=3).without == ("b", "q")


def test_a_volume_follows_the_weight_where_the_density_is_known() -> None:
    heavy = "{b: {density: 2 g/ml}}"
    volumes = {part.name: part.volume for part in poured(heavy, soft=210, b=150).mixed.parts}
    assert volumes == {"soft": None, "b": 75}


@pytest.mark.parametrize(
    ("grams", "said"),
    [({"soft": 1, "a": 1}, "Some of what was poured is a part"), ({"soft": 1, "z": 1}, "`z` is nothing of this mix")],
)
def test_parts_and_what_lies_in_them_are_not_poured_together(grams: dict[str, int], said: str) -> None:
    with pytest.raises(ReckoningError, match=said) as refused:
        poured(**grams)
    assert refused.value.code == "unknown-part"
