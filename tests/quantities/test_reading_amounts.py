"""What is read as an amount, exactly, and what is said about the rest."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import get_args

import pytest

from campaigns.many import through
from mothermold.quantities import DIMENSION_WORDS, Dimension, QuantityError, parse

EVERYTHING: tuple[Dimension, ...] = get_args(Dimension)
V: tuple[Dimension, ...] = ("volume",)
M: tuple[Dimension, ...] = ("mass",)
T: tuple[Dimension, ...] = ("time",)
S: tuple[Dimension, ...] = ("share",)

READ: list[tuple[str, Dimension, str]] = [
    ("263 g", "mass", "263"),
    ("45.2g", "mass", "45.2"),
    ("1.2 kg", "mass", "1200"),
    ("30 mg", "mass", "0.03"),
    ("1 oz", "mass", "28.349523125"),
    ("2 lbs", "mass", "907.18474"),
    ("2 pounds", "mass", "907.18474"),
    ("0 g", "mass", "0"),
    ("+5 g", "mass", "5"),
    ("  5   g ", "mass", "5"),
    ("185 ml", "volume", "185"),
    ("185 mL", "volume", "185"),
    ("185 cc", "volume", "185"),
    ("12 cl", "volume", "120"),
    ("0.5 l", "volume", "500"),
    ("2 litres", "volume", "2000"),
    ("5 millilitres", "volume", "5"),
    ("20 m3", "volume", "20000000"),
    ("1 US fl oz", "volume", "29.5735295625"),
    ("1 US  fl oz", "volume", "29.5735295625"),
    ("1 imp fl oz", "volume", "28.4130625"),
    ("1 in3", "volume", "16.387064"),
    ("6 min", "time", "6"),
    ("2 h 30 min", "time", "150"),
    ("2h30min", "time", "150"),
    ("1 d 2 h 5 min 3 s", "time", "1565.05"),
    ("90 s", "time", "1.5"),
    ("1.5 h", "time", "90"),
    ("4 days", "time", "5760"),
    ("2 weeks", "time", "20160"),
    ("24 months", "time", "1051898.4"),
    ("0.4 mm", "length", "0.4"),
    ("25 µm", "length", "0.025"),
    ("25 μm", "length", "0.025"),
    ("1 in", "length", "25.4"),
    ("700 cm2", "area", "700"),
    ("1.08 g/ml", "density", "1.08"),
    ("1080 kg/m3", "density", "1.08"),
    ("1.08 g/cc", "density", "1.08"),
    ("23 degC", "temperature", "23"),
    ("-18 °C", "temperature", "-18"),
    ("77 degF", "temperature", "25"),
    ("150 %", "share", "1.5"),
    ("0.5%", "share", "0.005"),
    ("100", "number", "100"),
    ("6 pieces", "pieces", "6"),
    ("1 roll", "rolls", "1"),
    ("3 sheets", "sheets", "3"),
    ("2 pairs", "pairs", "2"),
    ("4 drops", "drops", "4"),
]


@through(("text", "dimension", "value"), READ)
def test_an_amount_is_read_exactly(text: str, dimension: Dimension, value: str) -> None:
    read = parse(text, (dimension,))
    assert (read.dimension, read.low, read.high) == (dimension, Fraction(value), Fraction(value))
    # In a field that takes anything the unit decides, and it decides the same.
    assert parse(text, EVERYTHING) == read
    assert str(read) == text.strip()


RANGES = [
    ("20-25 degC", "temperature", 20, 25),
    ("20–25 degC", "temperature", 20, 25),
    ("20 to 25 degC", "temperature", 20, 25),
    ("-20 to -18 degC", "temperature", -20, -18),
    ("-5-5 degC", "temperature", -5, 5),
    ("68-77 degF", "temperature", 20, 25),
    ("10 - 15 min", "time", 10, 15),
    ("5-5 g", "mass", 5, 5),
]  # fmt: skip


@pytest.mark.parametrize(("text", "dimension", "low", "high"), RANGES)
def test_a_range_is_read_with_both_ends_and_counts_by_its_longer(
    text: str, dimension: Dimension, low: int, high: int
) -> None:
    read = parse(text, (dimension,))
    assert (read.low, read.high, read.value) == (Fraction(low), Fraction(high), Fraction(high))


def test_a_percent_field_takes_the_number_with_or_without_its_sign() -> None:
    assert parse("150", S, default="share") == parse("150 %", S, default="share")
    assert parse("10-15", S, default="share").low == Fraction("0.1")


def test_equal_amounts_are_equal_however_they_are_written() -> None:
    assert parse("2 h 30 min", T) == parse("150 min", T) == parse("2.5 h", T)
    assert parse("1 kg", M) != parse("1 l", V)


def test_less_than_nothing_is_read_where_it_makes_sense() -> None:
    assert parse("-5 g", M, signed=True).value == -5


REFUSED: list[tuple[str, tuple[Dimension, ...], str, str]] = [
    # text, wanted, code, what the advice must say
    ("3 fl oz", V, "bare-ounce", "`3 US fl oz` or `3 imp fl oz`"),
    ("3 FL OZ", V, "bare-ounce", "`3 US fl oz` or `3 imp fl oz`"),
    ("3 fl. oz.", V, "bare-ounce", "`3 US fl oz` or `3 imp fl oz`"),
    ("3 fl", V, "bare-ounce", "`3 US fl oz` or `3 imp fl oz`"),
    ("3 fluid ounces", V, "bare-ounce", "`3 US fl oz`"),
    ("3 fl oz", M, "bare-ounce", "`263 g`"),
    ("3 oz", V, "bare-ounce", "`3 US fl oz`"),
    ("3 oz", T, "wrong-unit", "`2 h 30 min`"),
    ("3 ounces", M, "bare-ounce", "`3 oz`"),
    ("3 ounces", V, "bare-ounce", "`3 US fl oz`"),
    ("3 ounces", (*M, *V), "bare-ounce", "`3 oz` or `3 US fl oz`"),
    ("2 Cups", V, "bare-ounce", "`2 US cup`"),
    ("1-2 pints", V, "bare-ounce", "`1-2 US pint` or `1-2 imp pint`"),
    ("1 gallon", V, "bare-ounce", "`1 US gal` or `1 imp gal`"),
    ("1 qt", V, "bare-ounce", "`1 US quart`"),
    ("1 tsp", V, "bare-ounce", "`185 ml`"),
    ("40", V, "missing-unit", "`40 ml`"),
    ("40", (*M, *V), "missing-unit", "`40 g` or `40 ml`"),
    ("40", T, "missing-unit", "`40 min` or `40 h`"),
    ("23", ("temperature",), "missing-unit", "`23 degC`"),
    ("40 g", V, "wrong-unit", "`185 ml`"),
    ("40 ml", M, "wrong-unit", "`263 g`"),
    ("4 drops", M, "wrong-unit", "`263 g`"),
    ("40 degC", ("share",), "wrong-unit", "`150 %`"),
    ("5 KG", M, "wrong-unit", "`5 kg`"),
    ("5 ML", V, "wrong-unit", "`5 ml`"),
    ("5 Min", T, "wrong-unit", "`5 min`"),
    ("5 minuts", T, "wrong-unit", "`5 minutes`"),
    ("23 C", ("temperature",), "wrong-unit", "`23 degC`"),
    ("73 F", ("temperature",), "wrong-unit", "`73 degF`"),
    ("3 scoops", V, "wrong-unit", "`185 ml`"),
    ("7 dm2", ("area",), "bad-quantity", "`700 cm2`"),
    ("1:30", T, "bad-time", "`1 h 30 min` or `1 min 30 s`"),
    ("1:30", M, "bad-quantity", "`263 g`"),
    ("30 min 2 h", T, "bad-quantity", "`2 h 30 min`"),
    ("2 h 30", T, "bad-quantity", "`2 h 30 min`"),
    ("1,5 g", M, "decimal-comma", "`1.5 g`"),
    ("1,500 g", M, "decimal-comma", "`1.500 g` with a point, or `1500 g` if thousands"),
    ("1_000 g", M, "bad-quantity", "`1000 g`"),
    ("1_000", ("number",), "bad-number", "`1000`"),
    ("1 000 g", M, "bad-quantity", "`1000 g`"),
    ("1'000 g", M, "bad-quantity", "`1000 g`"),
    (".5 ml", V, "bad-quantity", "`0.5 ml`"),
    ("5. ml", V, "wrong-unit", "`5 ml`"),
    ("1e3 g", M, "bad-quantity", "`1000 g`"),
    ("1/2 l", V, "bad-quantity", "`0.5 l`"),
    ("1 1/2 h", T, "bad-quantity", "`1.5 h`"),
    ("10 min - 15 min", T, "bad-quantity", "`10 to 15 min`"),
    ("-20 degC to -18 degC", ("temperature",), "bad-quantity", "`-20 to -18 degC`"),
    ("5 — 6 h", T, "bad-quantity", "`5 - 6 h`"),
    ("25-20 g", M, "out-of-range", "`20-25 g`"),
    ("-5 g", M, "out-of-range", "`263 g`"),
    ("-5-5 g", M, "out-of-range", "`263 g`"),
    ("0 g/ml", ("density",), "out-of-range", "`1.08 g/ml`"),
    ("about 40 ml", V, "bad-quantity", "`40 ml` alone"),
    ("~40 ml", V, "bad-quantity", "`40 ml` alone"),
    ("40 ml (about)", V, "wrong-unit", "`40 ml` alone"),
    ("3 x 40 ml", V, "bad-quantity", "`185 ml`"),
    ("1 lb 4 oz", M, "bad-quantity", "`263 g`"),
    ("5.5.5 g", M, "bad-quantity", "`263 g`"),
    ("½ h", T, "bad-quantity", "`2 h 30 min`"),
    ("some", V, "bad-quantity", "`185 ml`"),
    ("NaN g", M, "bad-quantity", "`263 g`"),
    ("inf g", M, "bad-quantity", "`263 g`"),
    ("", V, "bad-quantity", "`185 ml`"),
    ("g", M, "bad-quantity", "`263 g`"),
]


@through(("text", "wanted", "code", "advice"), REFUSED)
def test_what_cannot_be_read_is_refused_with_what_to_type(
    text: str, wanted: tuple[Dimension, ...], code: str, advice: str
) -> None:
    with pytest.raises(QuantityError) as refused:
        parse(text, wanted)
    assert refused.value.code == code
    assert advice in refused.value.advice
    assert refused.value.message.endswith(".")
    assert refused.value.advice.endswith((".", "?"))


@through(("text", "wanted"), [(text, wanted) for text, wanted, *_ in REFUSED])
def test_what_is_advised_can_be_typed(text: str, wanted: tuple[Dimension, ...]) -> None:
    with pytest.raises(QuantityError) as refused:
        parse(text, wanted)
    offered = [each for each in re.findall(r"`([^`]+)`", refused.value.advice) if each != "#"]
    assert offered
    for each in offered:
        assert parse(each, wanted).dimension in wanted


@pytest.mark.parametrize("dimension", EVERYTHING)
def test_the_example_shown_for_a_dimension_can_be_read(dimension: Dimension) -> None:
    assert parse(DIMENSION_WORDS[dimension][1], (dimension,)).dimension == dimension


# A guess that is near in letters and far in amount would be weighed by somebody.
@pytest.mark.parametrize(
    ("text", "wanted"),
    [("5 hl", V), ("5 microliters", V), ("5 megagrams", M), ("3 imp cup", V), ("5 kilometers", ("length",)),
     ("5 dag", M), ("3 sticks", M), ("5 ms", T), ("5 km", ("length",))],
)  # fmt: skip
def test_an_unknown_unit_is_not_guessed_to_be_another_one(text: str, wanted: tuple[Dimension, ...]) -> None:
    with pytest.raises(QuantityError) as refused:
        parse(text, wanted)
    assert "Did you mean" not in refused.value.advice, refused.value.advice
