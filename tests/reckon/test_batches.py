"""Batch sheets: what is mixed for a cavity, and what the scale reads."""

from __future__ import annotations

import random
from fractions import Fraction

import pytest

from campaigns.many import through
from mothermold.quantities import Dimension, Quantity
from mothermold.reckon.batches import Wanted, grown_from
from mothermold.reckon.errors import ReckoningError
from mothermold.reckon.readings import over_maximum, readings
from reckon.bench import amount, grams, materials_of, resolved, sheet_of

WATERY = "{a: {density: 1 g/ml}, b: {density: 1 g/ml}}"
HEAVY = "{a: {density: 1.05 g/ml}, b: {density: 1.12 g/ml}, d: {density: 0.97 g/ml}}"
HALVES = "parts: [{material: a, parts: 1}, {material: b, parts: 1}]"
FULL = "allowance: {percent: 10 %, left_in_cups: 15 g, smallest_batch: 40 g, largest_batch: 900 ml}"


# --- How much ---


@pytest.mark.parametrize(
    ("fill", "castings", "mass", "portions"),
    [
        # 185 × 1.1 + 15
        (185, 1, "218.5", 1),
        # 10 × 1.1 + 15 = 26, under the smallest batch
        (10, 1, "40", 1),
        # 5 × 185 × 1.1 = 1017.5 in cups of 900 − 15 = 885: two, each leaving 15
        (185, 5, "1047.5", 2),
        # 10 × 185 × 1.1 = 2035: three
        (185, 10, "2080", 3),
        # nothing to fill is still the smallest batch
        (0, 1, "40", 1),
    ],
)
def test_the_batch_is_fill_and_allowance_and_cups_within_its_bounds(
    fill: int, castings: int, mass: str, portions: int
) -> None:
    mix = resolved(f"m: {{{HALVES}, {FULL}}}", "m", WATERY)
    sheet = sheet_of(mix, Wanted(fill=Fraction(fill), castings=castings))
    assert sheet.mass == Fraction(mass)
    assert sheet.portions == portions
    assert sheet.fill == fill * castings
    assert sheet.volume == sheet.mass
    assert sum(line.grams or 0 for line in sheet.lines) == sheet.mass


def test_a_batch_that_just_fits_is_one_portion() -> None:
    mix = resolved(f"m: {{{HALVES}, allowance: {{left_in_cups: 15 g, largest_batch: 900 g}}}}", "m", WATERY)
    assert sheet_of(mix, Wanted(fill=Fraction(885))).portions == 1
    assert sheet_of(mix, Wanted(fill=Fraction(886))).portions == 2
    for fill in (885, 886, 1770, 1771, 5000):
        sheet = sheet_of(mix, Wanted(fill=Fraction(fill)))
        assert sheet.mass is not None
        assert sheet.mass / sheet.portions <= 900


def test_what_stays_in_the_cups_may_be_a_volume() -> None:
    # density 217/200 = 1.085 for 105 g A to 112 g B; (100 + 20) ml
    mix = resolved(
        "m: {allowance: {left_in_cups: 20 ml}, parts: [{material: a, parts: 105}, {material: b, parts: 112}]}",
        "m",
        HEAVY,
    )
    assert sheet_of(mix, Wanted(fill=Fraction(100))).mass == Fraction("130.2")


@pytest.mark.parametrize("wanted", [Wanted(fill=Fraction(1)), Wanted(have=(("a", amount("5 g")),))])
@pytest.mark.parametrize("bounds", ["left_in_cups: 50 g, largest_batch: 50 g", "largest_batch: 0 g"])
def test_cups_that_keep_the_whole_batch_are_refused(wanted: Wanted, bounds: str) -> None:
    mix = resolved(f"m: {{{HALVES}, allowance: {{{bounds}}}}}", "m", WATERY)
    with pytest.raises(ReckoningError) as refused:
        sheet_of(mix, wanted)
    assert refused.value.code == "cups-too-large"


def test_without_an_allowance_nothing_is_added_and_it_is_said() -> None:
    sheet = sheet_of(resolved(f"m: {{{HALVES}, fills: 100 ml}}", "m", WATERY))
    assert sheet.mass == 100
    assert sheet.plain
    assert not sheet_of(resolved(f"m: {{{HALVES}, fills: 100 ml, allowance: 0}}", "m", WATERY)).plain


def test_a_layer_is_its_area_times_its_thickness() -> None:
    # 700 cm² × 0.4 cm = 280 ml
    sheet = sheet_of(resolved(f"m: {{{HALVES}, covers: {{area: 700 cm2, thick: 4 mm}}, allowance: 10 %}}", "m", WATERY))
    assert sheet.fill == 280
    assert sheet.mass == 308


def test_a_plain_batch_is_taken_without_its_allowance() -> None:
    sheet = sheet_of(resolved(f"m: {{{HALVES}, batch: 240 g, allowance: 10 %}}", "m"))
    assert sheet.fill is None
    assert sheet.mass == 240
    assert sheet.volume is None
    assert grams(sheet) == {"a": 120, "b": 120}
    assert sheet_of(resolved(f"m: {{{HALVES}, batch: 240 g}}", "m"), Wanted(castings=3)).mass == 720


def test_a_plain_batch_in_milliliters_goes_through_the_density() -> None:
    mix = resolved(
        "m: {by: volume, batch: 160 ml, parts: [{material: a, parts: 1}, {material: b, parts: 3}]}", "m", HEAVY
    )
    sheet = sheet_of(mix)
    assert [line.milliliters for line in sheet.lines] == [40, 120]
    assert sheet.volume == 160
    assert sheet.mass == Fraction("176.4")


def test_a_mix_of_unknown_size_asks_for_one() -> None:
    with pytest.raises(ReckoningError) as refused:
        sheet_of(resolved(f"m: {{{HALVES}}}", "m", WATERY))
    assert refused.value.code == "no-fill"
    assert "fills:" in refused.value.advice


def test_a_piece_with_its_flashing_takes_no_percent_but_leaves_its_cups() -> None:
    # 2 × 217 g + 15 g; 434 g at 1.085 are 400 ml
    mix = resolved(f"m: {{{FULL}, parts: [{{material: a, parts: 105}}, {{material: b, parts: 112}}]}}", "m", HEAVY)
    sheet = sheet_of(mix, Wanted(piece=Fraction(217), castings=2))
    assert sheet.mass == 449
    assert sheet.fill == 400
    assert sheet.portions == 1


def test_weights_need_no_density() -> None:
    mix = resolved(f"m: {{{HALVES}, allowance: {{percent: 10 %, left_in_cups: 15 g}}}}", "m")
    piece = sheet_of(mix, Wanted(piece=Fraction(200)))
    assert piece.mass == 215
    assert piece.fill is None
    assert piece.volume is None
    left = sheet_of(mix, Wanted(have=(("a", amount("60 g")),)))
    assert left.mass == 120
    assert left.fill is None
    assert left.volume is None


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        (f"m: {{{HALVES}, fills: 100 ml}}", Wanted()),
        (f"m: {{{HALVES}, batch: 100 ml}}", Wanted()),
        (f"m: {{{HALVES}, batch: 100 g}}", Wanted(fill=Fraction(10))),
        (f"m: {{{HALVES}, allowance: {{left_in_cups: 5 ml}}}}", Wanted(piece=Fraction(10))),
        (f"m: {{{HALVES}}}", Wanted(have=(("b", amount("60 ml")),))),
    ],
)
def test_a_volume_needs_the_density_and_names_it(text: str, wanted: Wanted) -> None:
    with pytest.raises(ReckoningError) as refused:
        sheet_of(resolved(text, "m", "{a: {density: 1 g/ml}}"), wanted)
    assert refused.value.code == "missing-density"
    assert "`b`" in refused.value.message
    assert "`a`" not in refused.value.message


def test_fixed_amounts_are_not_scaled() -> None:
    mix = resolved("m: {parts: [{material: a, amount: 50 g}, {material: p, amount: a pinch}]}", "m")
    sheet = sheet_of(mix)
    assert sheet.mass == 50
    assert sheet.fill is None
    assert [(line.grams, line.outside) for line in sheet.lines] == [(50, ""), (None, "a pinch")]
    for wanted in (Wanted(fill=Fraction(10)), Wanted(castings=2), Wanted(piece=Fraction(10))):
        with pytest.raises(ReckoningError) as refused:
            sheet_of(mix, wanted)
        assert refused.value.code == "not-scaled"


def test_a_fixed_volume_without_density_is_not_counted_as_nothing() -> None:
    sheet = sheet_of(resolved("m: {parts: [{material: a, amount: 50 g}, {material: x, amount: 20 ml}]}", "m"))
    assert sheet.mass is None
    assert [(line.grams, line.milliliters) for line in sheet.lines] == [(50, None), (None, 20)]


# --- What is left decides ---

DEADENED = "parts: [{material: a, parts: 100}, {material: b, parts: 100}, {material: d, percent: 50, of: a}]"


def test_the_scarcest_of_what_is_left_decides() -> None:
    # A 60 g would make 150 g, D 20 g makes 100 g
    mix = resolved(f"m: {{{DEADENED}}}", "m", HEAVY)
    sheet = sheet_of(mix, Wanted(have=(("a", amount("60 g")), ("d", amount("20 g")))))
    assert grams(sheet) == {"a": 40, "b": 40, "d": 20}


def test_what_is_left_may_be_in_milliliters() -> None:
    # 40 ml A at 1.05 = 42 g
    mix = resolved(f"m: {{{DEADENED}}}", "m", HEAVY)
    assert grams(sheet_of(mix, Wanted(have=(("a", amount("40 ml")),)))) == {"a": 42, "b": 42, "d": 21}


@pytest.mark.parametrize("fill", [20, 185, 925, 1850, 4000])
@pytest.mark.parametrize("allowance", ["", f"{FULL},", "allowance: 10 %,", "allowance: {left_in_cups: 5 ml},"])
@pytest.mark.parametrize("part", ["a", "b", "d"])
def test_what_a_batch_took_gives_back_the_fill_it_came_from(fill: int, allowance: str, part: str) -> None:
    mix = resolved(f"m: {{{allowance} {DEADENED}}}", "m", HEAVY)
    sheet = sheet_of(mix, Wanted(fill=Fraction(fill)))
    line = next(line for line in sheet.lines if line.name == part)
    assert line.grams is not None
    assert line.milliliters is not None
    by_weight = sheet_of(mix, Wanted(have=((part, _exactly(line.grams, "mass")),)))
    by_volume = sheet_of(mix, Wanted(have=((part, _exactly(line.milliliters, "volume")),)))
    if sheet.mass != 40:  # raised to the smallest batch it fills more than was asked
        assert by_weight.fill == by_volume.fill == fill
    assert by_weight.mass == by_volume.mass == sheet.mass
    assert by_weight.portions == by_volume.portions == sheet.portions


def test_less_than_stays_in_the_cups_fills_nothing() -> None:
    mix = resolved(f"m: {{{FULL}, {HALVES}}}", "m", WATERY)
    assert sheet_of(mix, Wanted(have=(("a", amount("5 g")),))).fill == 0


PREMIXED = """
n: {parts: [{material: a, parts: 100}, {material: d, parts: 100}]}
m: {parts: [{mix: n, parts: 200}, {material: b, percent: 100, of: n/a}]}
"""


def test_a_premix_or_a_material_inside_it_may_be_what_is_left() -> None:
    mix = resolved(PREMIXED, "m")
    assert sheet_of(mix, Wanted(have=(("n", amount("100 g")),))).mass == 150
    assert sheet_of(mix, Wanted(have=(("d", amount("100 g")),))).mass == 300


@pytest.mark.parametrize("name", ["x", "eye", "nothing"])
def test_what_is_not_measured_in_the_mix_decides_nothing(name: str) -> None:
    mix = resolved(
        "m: {parts: [{material: a, parts: 1}, {material: eye, match: swatch-3}, {material: nothing, percent: 0, of: a}]}",
        "m",
    )
    with pytest.raises(ReckoningError) as refused:
        sheet_of(mix, Wanted(have=((name, amount("5 g")),)))
    assert refused.value.code == "unknown-part"
    assert refused.value.advice == "Type one of `a`."


# --- Where it grows, and portions ---


@pytest.mark.parametrize(
    ("keys", "wanted", "words"),
    [
        (FULL, Wanted(fill=Fraction(185)), "185 ml + 10 % + 15 g left in cups"),
        (FULL, Wanted(fill=Fraction(185), castings=5), "5 x 185 ml + 10 % + 2 x 15 g left in cups"),
        (FULL, Wanted(fill=Fraction(10)), "10 ml + 10 % + 15 g left in cups, at least the smallest batch of 40 g"),
        (FULL, Wanted(piece=Fraction(214)), "214 g + 15 g left in cups"),
        # 218.5 g of which 109.25 g are A, back to what it fills
        (FULL, Wanted(poured=("a", Fraction("109.25"))), "185 ml + 10 % + 15 g left in cups"),
        ("allowance: {left_in_cups: 5 ml}, fills: 80 ml", Wanted(), "80 ml + 5 ml left in cups"),
        ("allowance: 10 %, covers: {area: 700 cm2, thick: 4 mm}", Wanted(), "280 ml + 10 %"),
        ("allowance: 0 %", Wanted(fill=Fraction(185)), ""),
        ("batch: 50 g, allowance: 10 %", Wanted(), ""),
        ("fills: 50 ml", Wanted(), ""),
    ],
)
def test_where_the_total_grows_the_allowance_is_said(keys: str, wanted: Wanted, words: str) -> None:
    mix = resolved(f"m: {{{keys}, {HALVES}}}", "m", WATERY)
    assert grown_from(mix, wanted, sheet_of(mix, wanted)) == words


def test_a_portion_is_rounded_by_itself_on_the_scale_that_carries_its_cup() -> None:
    # 366 g in cups of 183: a third of a cup is 61 g, 122 g of B; the whole would not go on the fine scale
    parts = "parts: [{material: a, parts: 1}, {material: b, parts: 2.01}]"
    mix = resolved(f"m: {{{parts}, fills: 366 ml, allowance: {{largest_batch: 183 g}}}}", "m", WATERY)
    sheet = sheet_of(mix)
    assert sheet.portions == 2
    assert [line.weigh for line in sheet.lines] == [Fraction("121.59"), Fraction("244.4")]
    assert [line.weigh for line in sheet.portion] == [Fraction("60.8"), Fraction("122.2")]
    assert [line.grams for line in sheet.portion] == [line.grams and line.grams / 2 for line in sheet.lines]
    assert sheet.portion[-1].reads == 183
    assert {line.scale for line in sheet.portion} == {"scale-0"}
    whole = sheet_of(mix, Wanted(fill=Fraction(100)))
    assert whole.portions == 1
    assert whole.portion == whole.lines


# --- The sheet ---


def test_a_flat_sheet_takes_premixes_apart_at_the_same_total() -> None:
    mix = resolved(PREMIXED, "m")
    made = sheet_of(mix, Wanted(piece=Fraction(300)))
    flat = sheet_of(mix, Wanted(piece=Fraction(300)), flat=True)
    assert grams(made) == {"n": 200, "b": 100}
    assert grams(flat) == {"a": 100, "d": 100, "b": 100}
    assert made.mass == flat.mass == 300
    assert sum(line.share or 0 for line in flat.lines) == 1


@pytest.mark.parametrize("beside", ["", ", {material: b, parts: 1}"])
def test_a_flat_sheet_that_cannot_be_reckoned_names_the_density(beside: str) -> None:
    premix = "n: {by: volume, parts: [{material: a, parts: 1}, {material: x, parts: 1}]}"
    mix = resolved(f"{premix}\nm: {{batch: 100 g, parts: [{{mix: n, parts: 1}}{beside}]}}", "m", HEAVY)
    assert grams(sheet_of(mix)) == ({"n": 50, "b": 50} if beside else {"n": 100})
    with pytest.raises(ReckoningError) as refused:
        sheet_of(mix, flat=True)
    assert refused.value.code == "missing-density"
    assert "`x`" in refused.value.message


@through("seed", range(50))
def test_equal_parts_print_equal_and_the_scale_reads_their_running_sum(seed: int) -> None:
    chance = random.Random(seed)
    parts = ", ".join(f"{{material: m{number}, parts: 1}}" for number in range(chance.randint(2, 7)))
    mass = Fraction(chance.randint(1, 3_000_000), 1000)
    sheet = sheet_of(
        resolved(f"m: {{parts: [{parts}, {{material: odd, percent: 33.3, of: m0}}]}}", "m"), Wanted(piece=mass)
    )
    equal = {(line.grams, line.weigh, line.step) for line in sheet.lines if line.name != "odd"}
    assert len(equal) == 1
    total = Fraction(0)
    for line in sheet.lines:
        assert line.grams is not None
        assert line.weigh is not None
        total += line.weigh
        assert line.reads == total
        assert line.reads <= {"scale-0": 200, "scale-1": 5000}[line.scale]
        assert abs(line.weigh - line.grams) <= line.step / 2


def test_what_is_measured_by_eye_is_passed_over_by_the_scale() -> None:
    mix = resolved(
        "m: {batch: 30 g, parts: [{material: a, parts: 1}, {material: p, match: swatch-3}, {material: b, parts: 2}]}",
        "m",
    )
    assert [(line.name, line.weigh, line.reads) for line in sheet_of(mix).lines] == [
        ("a", 10, 10),
        ("p", None, None),
        ("b", 20, 30),
    ]


@through("seed", range(50))
def test_scaling_up_and_back_down_gives_the_same_batch(seed: int) -> None:
    chance = random.Random(seed)
    mix = resolved(f"m: {{{DEADENED}}}", "m", HEAVY)
    factor = chance.uniform(0.01, 100)
    first = sheet_of(mix, Wanted(fill=Fraction(chance.uniform(1, 1000))))
    assert first.fill is not None
    larger = sheet_of(mix, Wanted(fill=Fraction(float(first.fill) * factor)))
    assert larger.fill is not None
    back = sheet_of(mix, Wanted(fill=Fraction(float(larger.fill) * (1 / factor))))
    for one, other in zip(first.lines, back.lines, strict=True):
        assert float(other.grams or 0) == pytest.approx(float(one.grams or 0), rel=1e-9)
    exact = sheet_of(mix, Wanted(fill=first.fill * Fraction(factor) / Fraction(factor)))
    assert exact == first


def test_the_ratio_is_the_same_at_every_size() -> None:
    mix = resolved(f"m: {{{FULL}, {DEADENED}}}", "m", HEAVY)
    for fill in (1, 7, 185, 4321):
        sheet = sheet_of(mix, Wanted(fill=Fraction(fill)))
        assert [line.share for line in sheet.lines] == [Fraction(2, 5), Fraction(2, 5), Fraction(1, 5)]


def test_the_batch_of_the_contract_by_hand() -> None:
    # All densities 1, so 185 ml × 1.1 + 15 = 218.5 g. tinted-a : B = 220 : 100 · 220/220.7, that is 2.207 : 1.
    # tinted-a 218.5 · 2.207/3.207 = 150.367; B 218.5/3.207 = 68.132
    text = f"""
tinted-a: {{parts: [{{material: a, parts: 100}}, {{material: d, percent: 120, of: a}},
  {{material: pigment, percent: 0.5, of: a}}, {{material: flocking, percent: 0.2, of: a}}]}}
base: {{fills: 185 ml, {FULL}, parts: [{{mix: tinted-a, parts: 220}}, {{material: b, percent: 100, of: tinted-a/a}}]}}
"""
    one = "{density: 1 g/ml}"
    materials = f"{{a: {one}, b: {one}, d: {one}, pigment: {one}, flocking: {one}}}"
    sheet = sheet_of(resolved(text, "base", materials))
    assert sheet.mass == Fraction("218.5")
    assert sheet.fill == 185
    assert sheet.portions == 1
    # With B the cup holds over 200 g: the scale of tenths.
    assert [line.weigh for line in sheet.lines] == [Fraction("150.37"), Fraction("68.1")]
    assert [line.reads for line in sheet.lines] == [Fraction("150.37"), Fraction("218.47")]
    flat = sheet_of(resolved(text, "base", materials), flat=True)
    assert grams(flat)["a"] == grams(flat)["b"]


# --- Readings and limits ---

SILICONE = """
a: {families: [platinum-silicone]}
b: {families: [platinum-silicone]}
d: {families: [silicone-deadener], maximum: {percent: 250, of: [platinum-silicone]}}
"""


def test_the_readings_reach_through_premixes() -> None:
    text = """
tinted: {parts: [{material: a, parts: 100}, {material: d, percent: 120, of: a}]}
base: {parts: [{mix: tinted, parts: 220}, {material: b, percent: 100, of: tinted/a}]}
"""
    found = readings(resolved(text, "base"), materials_of(SILICONE))
    said = {(reading.part, reading.of): reading.percent for reading in found}
    # 100 A, 120 D, 100 B
    assert said == {
        ("a", "the-rest"): Fraction(1000, 22),
        ("a", "total"): Fraction(100, 320) * 100,
        ("d", ("a",)): 120,
        ("d", ("a", "b")): 60,
        ("d", "the-rest"): 60,
        ("d", "total"): Fraction("37.5"),
        ("b", ("a",)): 100,
        ("b", "the-rest"): Fraction(1000, 22),
        ("b", "total"): Fraction("31.25"),
    }


@pytest.mark.parametrize(
    ("of", "percents"),
    [
        # S is 200: 10 g and 4 g, as written; of A it is what stands beside A in S
        ("the-rest", {"p": 5, "f": 2, "a": 100, "b": 100}),
        # 93 % are 200 g: of the rest 7 % of 215.05 is 15.05 g, p 5/93 and f 2/93
        ("total", {"p": Fraction(500, 93), "f": Fraction(200, 93), "a": 100, "b": 100}),
    ],
)
def test_the_rest_is_in_a_reading_what_it_is_in_a_recipe(of: str, percents: dict[str, Fraction]) -> None:
    shares = f"{{material: p, percent: 5, of: {of}}}, {{material: f, percent: 2, of: {of}}}"
    mix = resolved(f"m: {{parts: [{{material: a, parts: 100}}, {{material: b, parts: 100}}, {shares}]}}", "m")
    said = {each.part: each.percent for each in readings(mix, materials_of(SILICONE)) if each.of == "the-rest"}
    assert said == percents


@through("seed", range(40))
def test_a_reading_of_the_rest_typed_into_the_recipe_gives_the_same_weights(seed: int) -> None:
    chance = random.Random(seed)
    names = [f"m{number}" for number in range(chance.randint(2, 5))]
    written = {name: f"parts: {chance.randint(1, 90)}" for name in names}
    for name in names[2:]:
        written[name] = f"percent: {chance.randint(1, 20)}, of: {chance.choice(['the-rest', 'total', 'm0'])}"

    def made(keys: dict[str, str]) -> dict[str, Fraction | None]:
        parts = ", ".join(f"{{material: {name}, {each}}}" for name, each in keys.items())
        found = resolved(f"m: {{parts: [{parts}]}}", "m")
        said.update({each.part: each.percent for each in readings(found, {}) if each.of == "the-rest"})
        assert found.mass
        return {part.name: (part.mass or 0) / found.mass for part in found.parts}

    said: dict[str, Fraction] = {}
    before = made(written)
    # A part that others are a percent of cannot be a share itself; one that is taken out of the rest changes it for others.
    rests = {name for name in names if "the-rest" in written[name]}
    name = chance.choice([name for name in names[1:] if "total" in written[name] or rests <= {name} or name in rests])
    percent = said[name]
    other = {**written, name: f"percent: {float(percent):.12f}, of: the-rest"}
    for each, share in made(other).items():
        assert float(share or 0) == pytest.approx(float(before[each] or 0), rel=1e-9)


def test_what_a_premix_brings_is_the_rest_as_the_premix_is() -> None:
    text = """
color: {parts: [{material: p, parts: 1}, {material: d, parts: 1}]}
m: {parts: [{material: a, parts: 100}, {material: d, parts: 50}, {mix: color, percent: 10, of: the-rest}]}
"""
    # S is 150; the color of 15 g brings 7.5 g of pigment and of deadener.
    said = {each.part: each.percent for each in readings(resolved(text, "m"), {}) if each.of == "the-rest"}
    assert said == {"a": 200, "d": Fraction("57.5"), "p": 5}


def test_materials_of_one_kit_are_a_and_b_too() -> None:
    text = "m: {parts: [{material: x, parts: 1}, {material: y, parts: 1}, {material: d, parts: 1}]}"
    kit = "{x: {families: [one], kit: [y]}, y: {families: [two]}, d: {families: [three]}}"
    assert ("x", "y") in {reading.of for reading in readings(resolved(text, "m"), materials_of(kit))}


def test_there_are_no_readings_of_a_mix_whose_weight_is_not_known() -> None:
    mix = resolved("m: {by: volume, parts: [{material: a, parts: 1}, {material: x, parts: 1}]}", "m", HEAVY)
    assert readings(mix, materials_of(HEAVY)) == ()


def test_what_is_by_eye_has_no_reading_and_hinders_none() -> None:
    mix = resolved(
        "m: {parts: [{material: a, parts: 3}, {material: p, match: swatch-3}, {material: b, parts: 1}]}", "m"
    )
    said = {(reading.part, reading.of): reading.percent for reading in readings(mix, materials_of(SILICONE))}
    assert said[("b", "total")] == 25
    assert "p" not in {part for part, _ in said}


def test_parts_of_nothing_divide_nothing() -> None:
    text = "m: {parts: [{material: a, parts: 0}, {material: b, parts: 0}, {material: d, parts: 5}]}"
    said = {
        reading.of: reading.percent
        for reading in readings(resolved(text, "m"), materials_of(SILICONE))
        if reading.part == "d"
    }
    assert said == {"total": 100}


@pytest.mark.parametrize(("deadener", "over"), [(499, None), (500, None), (501, "250.5"), (600, "300")])
def test_more_than_the_maker_allows_is_found_through_the_families(deadener: int, over: str | None) -> None:
    text = (
        f"n: {{parts: [{{material: a, parts: 100}}, {{material: d, parts: {deadener}}}]}}\n"
        f"m: {{parts: [{{mix: n, parts: {100 + deadener}}}, {{material: b, parts: 100}}]}}"
    )
    found = over_maximum(resolved(text, "m"), materials_of(SILICONE))
    assert [(name, percent, str(limit)) for name, percent, limit in found] == (
        [("d", Fraction(over), "250")] if over else []
    )


def test_a_maximum_of_families_that_are_not_in_the_mix_says_nothing() -> None:
    mix = resolved("m: {parts: [{material: d, parts: 100}, {material: x, parts: 1}]}", "m")
    assert over_maximum(mix, materials_of(SILICONE)) == []


def test_a_maximum_is_not_held_against_weights_that_are_not_known() -> None:
    mix = resolved(
        "m: {by: volume, parts: [{material: a, parts: 1}, {material: b, parts: 100}, {material: d, parts: 10}]}",
        "m",
        "{a: {density: 1 g/ml}, d: {density: 1 g/ml}}",
    )
    assert over_maximum(mix, materials_of(SILICONE)) == []


def _exactly(value: Fraction, dimension: str) -> Quantity:
    unit: Dimension = "mass" if dimension == "mass" else "volume"
    return Quantity(unit, value, value, f"{float(value)}")
