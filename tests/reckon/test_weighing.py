"""Which scale weighs a part: the cup stands on it with all that went in before."""

from __future__ import annotations

import random
from fractions import Fraction

import pytest

from mothermold.model.settings import Scale
from mothermold.reckon.batches import Wanted, reckon_batch
from mothermold.reckon.weighing import COMMON_STEP, WeighingLine, round_to, scale_for, scale_words
from reckon.bench import resolved, scales_of

FINE_AND_BENCH = scales_of(("0.01 g", "200 g"), ("0.1 g", "5 kg"))


def lines_of(*weights: str, scales: tuple[Scale, ...] = FINE_AND_BENCH) -> tuple[WeighingLine, ...]:
    """A cup of parts of so many grams."""
    parts = ", ".join(f"{{material: m{at}, parts: {weight}}}" for at, weight in enumerate(weights))
    batch = sum(map(Fraction, weights))
    return reckon_batch(resolved(f"m: {{parts: [{parts}], batch: {float(batch)} g}}", "m"), Wanted(), scales).lines


def test_a_small_part_into_a_full_cup_goes_on_the_scale_that_carries_the_cup() -> None:
    # 300 g stand in the cup: 5.04 g more cannot be read on a scale up to 200 g.
    first, last = lines_of("300", "5.04")
    assert (first.scale, first.weigh) == ("scale-1", 300)
    assert (last.scale, last.step, last.weigh, last.reads) == ("scale-1", Fraction("0.1"), 5, 305)


def test_a_small_part_poured_first_stays_on_the_fine_scale() -> None:
    first, last = lines_of("5.04", "300")
    assert (first.scale, first.weigh, first.reads) == ("scale-0", Fraction("5.04"), Fraction("5.04"))
    assert (last.scale, last.weigh, last.reads) == ("scale-1", 300, Fraction("305.04"))


def test_parts_of_one_weight_go_on_the_scale_that_carries_the_last_of_them() -> None:
    assert [(line.weigh, line.scale) for line in lines_of("109.25", "3.333", "109.25")] == [
        (Fraction("109.3"), "scale-1"),
        (Fraction("3.33"), "scale-0"),
        (Fraction("109.3"), "scale-1"),
    ]


def test_what_a_scale_reads_never_goes_beyond_it_and_no_finer_one_would_do() -> None:
    for seed in range(300):
        stays_on_its_scales(random.Random(seed))


def stays_on_its_scales(chance: random.Random) -> None:
    weights = [f"{chance.uniform(0.01, 150):.3f}" for _ in range(chance.randint(1, 6))]
    scales = scales_of(("0.01 g", "200 g"), ("0.1 g", "350 g"), ("1 g", "500 g"))
    most = {scale.id: scale.up_to.value for scale in scales}
    held = reads = Fraction(0)
    lines = lines_of(*weights, scales=scales)
    for line in lines:
        assert line.grams is not None
        assert line.weigh == round_to(line.grams, line.step)
        held, before, reads = held + line.grams, reads, line.reads or Fraction(0)
        assert reads == before + line.weigh
        if line.scale:
            assert max(reads, held) <= most[line.scale]
        for scale in scales:
            if scale.step.value < line.step and len({each.grams for each in lines}) == len(lines):
                assert max(held, before + round_to(line.grams, scale.step.value)) > scale.up_to.value


def test_the_finest_scale_that_carries_is_taken_and_none_where_none_does() -> None:
    scales = scales_of(("0.1 g", "5 kg"), ("0.01 g", "200 g"))

    def step(grams: str, held: str = "0") -> Fraction | None:
        found = scale_for(Fraction(grams), scales, Fraction(held), Fraction(held))
        return found.step.value if found else None

    assert step("200") == Fraction("0.01")
    assert step("200.01") == step("1", held="199.5") == Fraction("0.1")
    assert step("5000") == Fraction("0.1")
    assert step("5001") is None
    assert scale_for(Fraction(1), ()) is None
    assert scale_for(Fraction(1), scales_of(("0 g", "200 g"))) is None
    assert lines_of("5001", scales=scales)[0].step == COMMON_STEP == Fraction("0.1")


def test_the_scale_is_named_where_it_changes_and_nowhere_else() -> None:
    assert scale_words(lines_of("20", "30"), FINE_AND_BENCH) == ["", ""]
    assert scale_words(lines_of("20", "30", scales=()), ()) == ["", ""]
    assert scale_words(lines_of("20", "300", "40"), FINE_AND_BENCH) == [
        "On the scale scale-0.",
        "On the scale scale-1 from here: put the cup on, tare, and go by what to weigh.",
        "",
    ]


def test_a_cup_no_scale_carries_is_said() -> None:
    assert scale_words(lines_of("6000"), FINE_AND_BENCH) == [
        "No scale of the book carries the cup; weigh what follows by itself."
    ]
    assert scale_words(lines_of("4000", "2000"), FINE_AND_BENCH)[1] == (
        "No scale of the book carries the cup from here; weigh what follows by itself."
    )


@pytest.mark.parametrize(
    ("weight", "step", "expected"),
    [("0.125", "0.01", "0.13"), ("0.05", "0.1", "0.1"), ("2.5", "1", "3"), ("3.5", "1", "4"), ("0.0499", "0.1", "0"),
     ("7", "5", "5"), ("7.5", "5", "10"), ("33.3333", "0.01", "33.33")],
)  # fmt: skip
def test_halves_are_rounded_up(weight: str, step: str, expected: str) -> None:
    assert round_to(Fraction(weight), Fraction(step)) == Fraction(expected)
