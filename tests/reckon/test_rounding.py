"""What a scale's steps do to parts and their ratios, and how numbers are said."""

from __future__ import annotations

from fractions import Fraction

import pytest

from mothermold.reckon.batches import Wanted, adjusted, reckon_batch
from mothermold.reckon.rounding import in_digits, ratio_moved, too_coarse
from reckon.bench import resolved, scales_of, sheet_of

TENTHS = scales_of(("0.1 g", "5 kg"))


def parts(*numbers: str) -> str:
    return ", ".join(f"{{material: m{at}, parts: {number}}}" for at, number in enumerate(numbers))


@pytest.mark.parametrize(
    ("batch", "parts_of", "told"),
    [
        # 9.54 prints 9.5 (0.4 % light), 5.46 prints 5.5 (0.7 % heavy): together 1.16 %
        ("15 g", ("9.54", "5.46"), ("m1", "m0")),
        # equal parts print equal, however they are rounded
        ("15.1 g", ("1", "1"), None),
        # 0.4 % and nothing
        ("19.54 g", ("9.54", "10"), None),
        # 0.5 g of 0.46 is told by itself, and moves every ratio anyway
        ("100.46 g", ("100", "0.46"), None),
    ],
)
def test_a_ratio_is_told_where_neither_part_is(
    batch: str, parts_of: tuple[str, ...], told: tuple[str, str] | None
) -> None:
    sheet = reckon_batch(resolved(f"m: {{parts: [{parts(*parts_of)}], batch: {batch}}}", "m"), Wanted(), TENTHS)
    moved = ratio_moved(sheet.lines)
    assert (moved and (moved.heavier, moved.lighter)) == told
    if moved:
        assert moved.by == Fraction("5.5") / Fraction("5.46") / (Fraction("9.5") / Fraction("9.54")) - 1


def test_the_worst_pair_of_three_is_named() -> None:
    # 9.54 prints 9.5 (0.42 % light), 5.46 prints 5.5 (0.73 % heavy), 8 prints 8
    sheet = reckon_batch(resolved(f"m: {{parts: [{parts('8', '9.54', '5.46')}], batch: 23 g}}", "m"), Wanted(), TENTHS)
    moved = ratio_moved(sheet.lines)
    assert moved is not None
    assert (moved.heavier, moved.lighter) == ("m2", "m1")
    assert not any(too_coarse(line) for line in sheet.lines)


def test_a_part_below_its_scale_is_too_coarse() -> None:
    sheet = reckon_batch(resolved(f"m: {{parts: [{parts('100', '0.04')}], batch: 100.04 g}}", "m"), Wanted(), TENTHS)
    assert [too_coarse(line) for line in sheet.lines] == [False, True]
    assert ratio_moved(sheet.lines) is None


@pytest.mark.parametrize(
    ("value", "words"),
    [
        ("0", "0"), ("1", "1"), ("0.015", "0.015"), ("1.005", "1.01"), ("123.4", "123"), ("1234.5", "1230"), ("99.95", "100"),
        ("0.0999", "0.0999"), ("0.09996", "0.1"), ("0.001234", "0.00123"), ("10", "10"), ("1/3", "0.333"), ("200/3", "66.7"),
    ],
)  # fmt: skip
def test_a_number_is_said_in_three_digits_halves_up(value: str, words: str) -> None:
    assert in_digits(Fraction(value)) == words


def test_what_was_poured_scales_the_rest_and_tells_what_was_weighed_before() -> None:
    mix = resolved(f"m: {{parts: [{parts('2', '2', '1')}], batch: 250 g}}", "m")
    before = sheet_of(mix)
    after = sheet_of(mix, Wanted(poured=("m1", Fraction("104.2"))))
    assert [line.weigh for line in after.lines] == [Fraction("104.2"), Fraction("104.2"), Fraction("52.1")]
    assert adjusted(before, after, "m1") == (("m0", Fraction("4.2")),)
    assert adjusted(before, sheet_of(mix, Wanted(poured=("m2", Fraction(45)))), "m2") == (("m0", -10), ("m1", -10))
    assert adjusted(before, after, "m0") == ()


def test_where_nothing_is_weighed_no_ratio_moves() -> None:
    assert ratio_moved([]) is None
