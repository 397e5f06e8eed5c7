"""Formulas in exact proportions, against closed forms and values worked by hand."""

from __future__ import annotations

import random
from fractions import Fraction

import pytest

from mothermold.reckon.errors import ReckoningError
from reckon.bench import masses, resolved, volumes


def _random_mix(seed: int) -> tuple[list[str], dict[str, Fraction]]:
    """The parts of a mix as typed, in any order, and their amounts by the closed form of the contract."""
    chance = random.Random(seed)
    typed: dict[str, str] = {}
    amounts: dict[str, Fraction] = {}
    for number in range(chance.randint(1, 4)):
        parts = Fraction(chance.randint(1, 2000), 10)
        amounts[f"plain-{number}"] = parts
        typed[f"plain-{number}"] = f"parts: {float(parts)}"
    for number in range(chance.randint(0, 4)):
        named = chance.sample(sorted(amounts), chance.randint(1, len(amounts)))
        percent = Fraction(chance.randint(0, 2500), 10)
        amounts[f"list-{number}"] = percent / 100 * sum(amounts[name] for name in named)
        typed[f"list-{number}"] = f"percent: {float(percent)}, of: [{', '.join(named)}]"
    plain_and_lists = sum(amounts.values(), Fraction(0))
    rest = Fraction(0)
    for number in range(chance.randint(0, 3)):
        percent = Fraction(chance.randint(0, 1500), 10)
        amounts[f"rest-{number}"] = percent / 100 * plain_and_lists
        rest += amounts[f"rest-{number}"]
        typed[f"rest-{number}"] = f"percent: {float(percent)}, of: the-rest"
    shares = [Fraction(chance.randint(0, 320), 10) for _ in range(chance.randint(0, 3))]
    finished = (plain_and_lists + rest) / (1 - sum(shares, Fraction(0)) / 100)
    for number, percent in enumerate(shares):
        amounts[f"total-{number}"] = percent / 100 * finished
        typed[f"total-{number}"] = f"percent: {float(percent)}, of: total"
    lines = [f"{{material: {name}, {how}}}" for name, how in typed.items()]
    chance.shuffle(lines)
    return lines, amounts


@pytest.mark.parametrize("block", range(10))
@pytest.mark.parametrize("by", ["weight", "volume"])
def test_all_kinds_of_percents_in_any_order_give_the_closed_form(block: int, by: str) -> None:
    for seed in range(block * 50, block * 50 + 50):
        lines, amounts = _random_mix(seed)
        mix = resolved(f"m: {{by: {by}, parts: [{', '.join(lines)}]}}", "m")
        assert (masses if by == "weight" else volumes)(mix) == amounts, lines
        assert (mix.mass if by == "weight" else mix.volume) == sum(amounts.values())


def test_parts_stay_in_pouring_order() -> None:
    mix = resolved(
        "m: {parts: [{material: d, percent: 5, of: a}, {material: b, parts: 1}, {material: a, parts: 1}]}", "m"
    )
    assert [part.name for part in mix.parts] == ["d", "b", "a"]


TWO_DEEP = """
core: {parts: [{material: a, parts: 100}, {material: d, percent: 50, of: a}]}
tint: {parts: [{mix: core, parts: 150}, {material: pigment, percent: 1, of: core/a}]}
base: {parts: [{mix: tint, parts: 302}, {material: b, percent: 100, of: tint/a}]}
"""


def test_a_percent_reaches_a_material_two_premixes_deep() -> None:
    # core: 100 A + 50 D = 150. tint: 150 core + 1 % of its 100 A = 151. 302 of tint hold 200 A, so B is 200.
    mix = resolved(TWO_DEEP, "base")
    assert masses(mix) == {"tint": 302, "b": 200}
    assert {part.name: part.mass for part in mix.materials} == {"a": 200, "d": 100, "pigment": 2, "b": 200}
    assert mix.mass == sum(part.mass or 0 for part in mix.materials) == 502
    assert [part.premix for part in mix.parts] == [True, False]


def test_a_premix_in_a_list_counts_with_its_whole_weight() -> None:
    # 10 % of (302 + 200)
    text = TWO_DEEP.replace("of: tint/a}]}", "of: tint/a}, {material: oil, percent: 10, of: [tint, b]}]}")
    assert masses(resolved(text, "base"))["oil"] == Fraction("50.2")


def test_a_material_in_a_premix_and_beside_it_stands_once_when_taken_apart() -> None:
    text = "n: {parts: [{material: a, parts: 1}, {material: d, parts: 1}]}\nm: {parts: [{mix: n, parts: 10}, {material: a, parts: 7}]}"
    mix = resolved(text, "m", "{a: {density: 2 g/ml}, d: {density: 1 g/ml}}")
    assert {part.name: (part.mass, part.volume) for part in mix.materials} == {
        "a": (Fraction(12), Fraction(6)),
        "d": (Fraction(5), Fraction(5)),
    }


DENSITIES = "{a: {density: 1.05 g/ml}, b: {density: 1.12 g/ml}, d: {density: 0.97 g/ml}}"


def test_a_percent_by_weight_in_a_volume_mix_goes_through_the_densities() -> None:
    # 100 ml A = 105 g; 10 % by weight = 10.5 g D = 10.5 / 0.97 ml
    mix = resolved(
        "m: {by: volume, parts: [{material: a, parts: 100}, {material: d, percent: 10, of: a, by: weight}]}",
        "m",
        DENSITIES,
    )
    assert masses(mix) == {"a": 105, "d": Fraction("10.5")}
    assert volumes(mix) == {"a": 100, "d": Fraction("10.5") / Fraction("0.97")}


def test_a_percent_by_volume_in_a_weight_mix_goes_through_the_densities() -> None:
    # 105 g A = 100 ml; 10 % by volume = 10 ml D = 9.7 g
    mix = resolved(
        "m: {parts: [{material: a, parts: 105}, {material: d, percent: 10, of: a, by: volume}]}", "m", DENSITIES
    )
    assert masses(mix) == {"a": 105, "d": Fraction("9.7")}
    assert mix.volume == 110


def test_a_share_of_the_total_by_weight_in_a_volume_mix() -> None:
    # 100 ml A = 105 g is 80 % of the finished weight: 131.25 g, D 26.25 g
    mix = resolved(
        "m: {by: volume, parts: [{material: a, parts: 100}, {material: d, percent: 20, of: total, by: weight}]}",
        "m",
        DENSITIES,
    )
    assert masses(mix) == {"a": 105, "d": Fraction("26.25")}


def test_the_rest_by_weight_in_a_volume_mix() -> None:
    # 100 ml A + 100 ml B = 217 g; 10 % = 21.7 g
    mix = resolved(
        "m: {by: volume, parts: [{material: a, parts: 100}, {material: b, parts: 100},"
        " {material: d, percent: 10, of: the-rest, by: weight}]}",
        "m",
        DENSITIES,
    )
    assert masses(mix)["d"] == Fraction("21.7")


def test_plain_parts_may_be_in_the_other_measure() -> None:
    # 100 ml A and 9.7 g D
    mix = resolved(
        "m: {by: volume, parts: [{material: a, parts: 100}, {material: d, parts: 9.7, by: weight}]}", "m", DENSITIES
    )
    assert volumes(mix) == {"a": 100, "d": 10}


def test_a_material_inside_a_premix_is_reached_in_the_measure_of_the_part() -> None:
    # n is 1:1 by volume: 105 g A to 112 g B in 217 g. Of 217 g of n: D 10 % of its A by weight 10.5 g.
    premix = "n: {by: volume, parts: [{material: a, parts: 100}, {material: b, parts: 100}]}\n"
    text = premix + "m: {parts: [{mix: n, parts: 217}, {material: d, percent: 10, of: n/a}]}"
    assert masses(resolved(text, "m", DENSITIES))["d"] == Fraction("10.5")
    # By volume: 100 ml of A are in it, so 10 ml of D = 9.7 g.
    text = premix + "m: {parts: [{mix: n, parts: 217}, {material: d, percent: 10, of: n/a, by: volume}]}"
    assert masses(resolved(text, "m", DENSITIES))["d"] == Fraction("9.7")


def test_shares_in_two_measures_that_leave_nothing_are_refused() -> None:
    # By weight 60 %, by volume 39 %: a heavy part and a light one together ask for more than the mix holds.
    with pytest.raises(ReckoningError) as refused:
        resolved(
            "m: {parts: [{material: a, parts: 1}, {material: feather, percent: 60, of: total},"
            " {material: lead, percent: 39, of: total, by: volume}]}",
            "m",
            "{a: {density: 1 g/ml}, feather: {density: 0.1 g/ml}, lead: {density: 11 g/ml}}",
        )
    assert refused.value.code == "percent-over-total"


def test_volumes_add_where_no_density_was_measured() -> None:
    mix = resolved("m: {parts: [{material: a, parts: 105}, {material: b, parts: 112}]}", "m", DENSITIES)
    assert mix.density == Fraction(217, 200)


def test_a_measured_density_wins_over_adding_volumes() -> None:
    weight = resolved(
        "m: {density: 1.2 g/ml, parts: [{material: a, parts: 105}, {material: b, parts: 112}]}", "m", DENSITIES
    )
    assert weight.density == Fraction("1.2")
    assert weight.mass == 217
    assert weight.volume == Fraction(217) / Fraction("1.2")
    volume = resolved(
        "m: {by: volume, density: 1.2 g/ml, parts: [{material: x, parts: 60}, {material: y, parts: 40}]}", "m"
    )
    assert volume.density == Fraction("1.2")
    assert volume.mass == 120
    assert volume.volume == 100


def test_a_measured_density_of_a_premix_counts_where_it_is_used() -> None:
    mix = resolved(
        "n: {density: 2 g/ml, parts: [{material: x, parts: 1}]}\n"
        "m: {by: volume, parts: [{mix: n, parts: 10}, {material: a, parts: 10}]}",
        "m",
        DENSITIES,
    )
    assert masses(mix) == {"n": 20, "a": Fraction("10.5")}
    assert mix.lacking == ()


def test_missing_densities_are_all_named_and_only_where_a_volume_is_asked() -> None:
    mix = resolved(
        "m: {parts: [{material: a, parts: 1}, {material: x, parts: 1}, {material: y, parts: 1}]}", "m", DENSITIES
    )
    assert mix.mass == 3
    assert mix.volume is None
    assert mix.lacking == ("x", "y")
    with pytest.raises(ReckoningError) as refused:
        assert mix.density
    assert refused.value.code == "missing-density"
    assert "`x`, `y`" in refused.value.message
    assert "`a`" not in refused.value.message


def test_a_missing_density_inside_a_premix_is_named_by_its_material() -> None:
    mix = resolved(
        "n: {parts: [{material: x, parts: 1}]}\nm: {parts: [{mix: n, parts: 1}, {material: a, parts: 1}]}",
        "m",
        DENSITIES,
    )
    assert mix.lacking == ("x",)


@pytest.mark.parametrize(
    "text",
    [
        "m: {by: volume, parts: [{material: a, parts: 1}, {material: x, percent: 10, of: a, by: weight}]}",
        "m: {parts: [{material: x, parts: 1}, {material: a, percent: 10, of: x, by: volume}]}",
        "n: {by: volume, parts: [{material: a, parts: 1}, {material: x, parts: 1}]}\n"
        "m: {parts: [{mix: n, parts: 1}, {material: a, percent: 10, of: n/a}]}",
    ],
)
def test_where_weights_and_volumes_meet_a_missing_density_is_named(text: str) -> None:
    with pytest.raises(ReckoningError) as refused:
        resolved(text, "m", DENSITIES)
    assert refused.value.code == "missing-density"
    assert "`x`" in refused.value.message
    assert "density:" in refused.value.advice


def test_amounts_only_are_taken_as_they_stand() -> None:
    mix = resolved("m: {parts: [{material: a, amount: 21 g}, {material: b, amount: 50 ml}]}", "m", DENSITIES)
    assert mix.fixed
    assert masses(mix) == {"a": 21, "b": 56}
    assert mix.mass == 77
    assert mix.volume == 70


def test_drops_weigh_what_their_material_says() -> None:
    text = "m: {parts: [{material: a, amount: 50 g}, {material: ink, amount: 4 drops}]}"
    mix = resolved(text, "m", "{ink: {drop: 0.03 g}}")
    assert masses(mix) == {"a": 50, "ink": Fraction("0.12")}
    unknown = resolved(text, "m")
    assert masses(unknown) == {"a": 50, "ink": None}
    assert [part.outside for part in unknown.parts] == ["", "4 drops"]
    assert unknown.mass == 50


def test_what_is_matched_by_eye_stands_outside() -> None:
    mix = resolved(
        "m: {parts: [{material: a, parts: 90}, {material: p, match: swatch-3}, {material: q, amount: a pinch},"
        " {material: r, amount: 4 drops}, {material: o, percent: 10, of: total}]}",
        "m",
    )
    assert masses(mix) == {"a": 90, "p": None, "q": None, "r": None, "o": 10}
    assert [part.outside for part in mix.parts] == ["", "swatch-3", "a pinch", "4 drops", ""]
    assert mix.mass == 100
    assert mix.lacking == ("a", "o")


def test_a_premix_of_amounts_is_used_by_the_share() -> None:
    mix = resolved(
        "n: {parts: [{material: a, amount: 40 g}, {material: d, amount: 10 g}]}\n"
        "m: {parts: [{mix: n, parts: 100}, {material: b, percent: 100, of: n/a}]}",
        "m",
    )
    assert {part.name: part.mass for part in mix.materials} == {"a": 80, "d": 20, "b": 80}


def test_what_is_by_eye_in_one_premix_takes_nothing_from_what_is_weighed_in_another() -> None:
    mix = resolved(
        "n: {parts: [{material: a, parts: 10}, {material: p, amount: a pinch}]}\n"
        "o: {parts: [{material: a, parts: 9}, {material: p, parts: 1}]}\n"
        "m: {parts: [{mix: n, parts: 10}, {mix: o, parts: 10}]}",
        "m",
    )
    flat = {part.name: (part.mass, part.outside) for part in mix.materials}
    assert flat == {"a": (Fraction(19), ""), "p": (Fraction(1), "a pinch")}


def test_a_premix_taken_by_eye_keeps_its_materials_by_eye() -> None:
    mix = resolved(
        "n: {parts: [{material: p, parts: 1}]}\nm: {parts: [{material: a, parts: 10}, {mix: n, amount: a pinch}]}", "m"
    )
    assert {part.name: (part.mass, part.outside) for part in mix.materials} == {
        "a": (Fraction(10), ""),
        "p": (None, "a pinch"),
    }
    assert mix.mass == 10


def test_a_percent_of_drops_of_unknown_weight_in_a_premix_says_what_is_missing() -> None:
    text = (
        "n: {parts: [{material: a, amount: 40 g}, {material: ink, amount: 4 drops}]}\n"
        "m: {parts: [{mix: n, parts: 100}, {material: b, percent: 100, of: n/ink}]}"
    )
    with pytest.raises(ReckoningError) as refused:
        resolved(text, "m")
    assert refused.value.code == "of-not-allowed"
    assert "drop:" in refused.value.advice
    assert masses(resolved(text, "m", "{ink: {drop: 2.5 g}}"))["b"] == 20


def test_the_formula_of_the_contract_keeps_a_to_b_exact() -> None:
    # tinted-a: 100 A + 120 D + 0.5 pigment + 0.2 flocking = 220.7; 220 of it hold 100 · 220/220.7 of A, and so much B.
    text = """
tinted-a: {parts: [{material: a, parts: 100}, {material: d, percent: 120, of: a},
  {material: pigment, percent: 0.5, of: a}, {material: flocking, percent: 0.2, of: a}]}
base: {parts: [{mix: tinted-a, parts: 220}, {material: b, percent: 100, of: tinted-a/a}]}
"""
    mix = resolved(text, "base")
    a = 100 * Fraction(220) / Fraction("220.7")
    flat = {part.name: part.mass for part in mix.materials}
    assert flat["a"] == flat["b"] == a
    assert flat["d"] == a * Fraction("1.2")
    assert mix.mass == 220 + a
