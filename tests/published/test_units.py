"""The units table against its definitions and against the library pint, unit by unit.

Sources, as the trade reference states them: factors of customary units are exact by definition of the inch
(25.4 mm), the pound (453.59237 g), the US gallon (231 cubic inches) and the imperial gallon (4.54609 l), as NIST
SP 811, appendix B states; its text was not read, the provenance is from memory. Every number was computed with
the library pint.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Any, Final, get_args

import pint
import pytest

from campaigns.many import through
from mothermold.quantities import Dimension, QuantityError, parse
from mothermold.quantities.units import UNITS

PINT: Final[Any] = pint.UnitRegistry(non_int_type=Fraction)

MASS: Final[tuple[Dimension, ...]] = ("mass",)
VOLUME: Final[tuple[Dimension, ...]] = ("volume",)
LENGTH: Final[tuple[Dimension, ...]] = ("length",)
DENSITY: Final[tuple[Dimension, ...]] = ("density",)
TEMPERATURE: Final[tuple[Dimension, ...]] = ("temperature",)
WEIGHT_OR_VOLUME: Final[tuple[Dimension, ...]] = ("mass", "volume")
ANYTHING: Final[tuple[Dimension, ...]] = get_args(Dimension)

# Our base units in pint's words.
BASES: Final[dict[Dimension, str]] = {
    "mass": "gram", "volume": "milliliter", "time": "minute", "length": "millimeter", "area": "centimeter ** 2",
    "density": "gram / milliliter", "share": "dimensionless",
}  # fmt: skip

# Every name of our table in pint's words. Months and years are left out here: pint's year is the Julian one.
NAMES: Final[dict[str, str]] = {
    **dict.fromkeys(("g", "gram", "grams"), "gram"),
    **dict.fromkeys(("mg", "milligram", "milligrams"), "milligram"),
    **dict.fromkeys(("kg", "kilogram", "kilograms"), "kilogram"),
    "oz": "avoirdupois_ounce",
    **dict.fromkeys(("lb", "lbs", "pound", "pounds"), "avoirdupois_pound"),
    **dict.fromkeys(("ml", "mL", "milliliter", "milliliters", "millilitre", "millilitres"), "milliliter"),
    **dict.fromkeys(("cm3", "cm³", "cc"), "centimeter ** 3"),
    "cl": "centiliter",
    "dl": "deciliter",
    **dict.fromkeys(("l", "L", "liter", "liters", "litre", "litres"), "liter"),
    **dict.fromkeys(("m3", "m³"), "meter ** 3"),
    "US fl oz": "US_fluid_ounce",
    "US cup": "US_liquid_cup",
    "US pint": "US_pint",
    "US quart": "US_liquid_quart",
    "US gal": "US_liquid_gallon",
    "imp fl oz": "imperial_fluid_ounce",
    "imp pint": "imperial_pint",
    "imp gal": "imperial_gallon",
    "in3": "inch ** 3",
    "ft3": "foot ** 3",
    **dict.fromkeys(("min", "mins", "minute", "minutes"), "minute"),
    **dict.fromkeys(("s", "sec", "second", "seconds"), "second"),
    **dict.fromkeys(("h", "hr", "hrs", "hour", "hours"), "hour"),
    **dict.fromkeys(("d", "day", "days"), "day"),
    **dict.fromkeys(("week", "weeks"), "week"),
    "mm": "millimeter",
    "cm": "centimeter",
    "m": "meter",
    **dict.fromkeys(("um", "µm", "μm", "micron", "microns"), "micrometer"),
    **dict.fromkeys(("in", "inch", "inches"), "inch"),
    "thou": "thou",
    "ft": "foot",
    **dict.fromkeys(("cm2", "cm²"), "centimeter ** 2"),
    **dict.fromkeys(("mm2", "mm²"), "millimeter ** 2"),
    **dict.fromkeys(("m2", "m²"), "meter ** 2"),
    "in2": "inch ** 2",
    **dict.fromkeys(("g/ml", "g/mL", "g/cm3", "g/cm³", "g/cc"), "gram / milliliter"),
    **dict.fromkeys(("kg/l", "kg/L"), "kilogram / liter"),
    **dict.fromkeys(("kg/m3", "kg/m³"), "kilogram / meter ** 3"),
    "lb/US gal": "avoirdupois_pound / US_liquid_gallon",
    "%": "percent",
}
CALENDAR: Final = {"month", "months", "year", "years"}
TEMPERATURES: Final = {"degC", "°C", "degF", "°F"}
COUNTS: Final = {"pieces", "rolls", "sheets", "pairs", "drops"}


@through("name", sorted(NAMES))
def test_every_unit_equals_that_of_the_library_pint_exactly(name: str) -> None:
    unit = UNITS[name]
    theirs = PINT.Quantity(Fraction(1), NAMES[name]).to(BASES[unit.dimension]).magnitude
    assert float(theirs) == pytest.approx(float(unit.factor), rel=1e-12)
    assert Fraction(theirs) == unit.factor


def test_no_unit_of_ours_is_left_out_of_the_comparison() -> None:
    counts = {name for name, unit in UNITS.items() if unit.dimension in COUNTS}
    assert set(UNITS) == set(NAMES) | CALENDAR | TEMPERATURES | counts
    assert all(UNITS[name].factor == 1 for name in counts)


def test_a_year_is_the_mean_gregorian_year_and_a_month_a_twelfth_of_it() -> None:
    # Library pint: its plain `year` is Julian (365.25 days), the Gregorian one has a name of its own.
    gregorian = Fraction(PINT.Quantity(Fraction(1), "gregorian_year").to("minute").magnitude)
    assert UNITS["year"].factor == UNITS["years"].factor == gregorian
    assert UNITS["month"].factor == UNITS["months"].factor == gregorian / 12


# Definition of the pound (453.59237 g) and its sixteenth; NIST SP 811, app. B (from memory); computed with pint.
WEIGHTS: Final = [("1 oz", "28.349523125"), ("1 lb", "453.59237"), ("16 oz", "453.59237")]
# Definition of the US gallon (231 in³) and the imperial gallon (4.54609 l); NIST SP 811, app. B (from memory);
# computed with pint.
VOLUMES: Final = [
    ("1 US fl oz", "29.5735295625"), ("1 imp fl oz", "28.4130625"), ("1 US gal", "3785.411784"),
    ("1 imp gal", "4546.09"), ("1 US pint", "473.176473"), ("1 imp pint", "568.26125"),
    ("1 US cup", "236.5882365"),
]  # fmt: skip
# Definition of the inch (25.4 mm); NIST SP 811, app. B (from memory); computed with pint.
INCHES: Final = [("1 in", "25.4"), ("1 thou", "0.0254")]
CUBES: Final = [("1 in3", "16.387064"), ("1 ft3", "28316.846592")]


@pytest.mark.parametrize(("text", "expected"), WEIGHTS)
def test_ounces_and_pounds_are_exact_grams(text: str, expected: str) -> None:
    assert parse(text, MASS).value == Fraction(expected)


@pytest.mark.parametrize(("text", "expected"), VOLUMES + CUBES)
def test_customary_volumes_are_exact_milliliters(text: str, expected: str) -> None:
    assert parse(text, VOLUME).value == Fraction(expected)


@pytest.mark.parametrize(("text", "expected"), INCHES)
def test_inches_are_exact_millimeters(text: str, expected: str) -> None:
    assert parse(text, LENGTH).value == Fraction(expected)


def test_pounds_a_us_gallon_become_kilograms_a_cubic_meter() -> None:
    # Definitions of the pound and the US gallon; NIST SP 811, app. B (from memory); computed with pint.
    reckoned = parse("1 lb/US gal", DENSITY).value / parse("1 kg/m3", DENSITY).value
    assert float(reckoned) == pytest.approx(119.826427317, rel=1e-9)


# Definition of the Fahrenheit scale (32 °F = 0 °C, 9 °F = 5 K); NIST SP 811, app. B (from memory); pint.
def test_a_reading_in_fahrenheit_becomes_its_reading_in_celsius() -> None:
    assert float(parse("73 degF", TEMPERATURE).value) == pytest.approx(22.7778, abs=5e-5)
    assert parse("77 degF", TEMPERATURE).value == 25
    assert parse("77 °F", TEMPERATURE) == parse("25 °C", TEMPERATURE)


def test_eighteen_degrees_fahrenheit_are_a_cold_reading_and_no_difference_of_ten_kelvin() -> None:
    # The trap of the trade reference: the reading 18 °F is -7.78 °C, the difference of 18 °F is 10 K (pint).
    reading = parse("18 degF", TEMPERATURE).value
    assert float(reading) == pytest.approx(-7.78, abs=5e-3)
    difference = parse("91 degF", TEMPERATURE).value - parse("73 degF", TEMPERATURE).value
    assert difference == 10
    theirs = PINT.Quantity(Fraction(18), "degF").to("degC").magnitude
    assert float(theirs) == pytest.approx(float(reading), rel=1e-9)
    assert float(PINT.Quantity(18.0, "delta_degF").to("delta_degC").magnitude) == pytest.approx(10)


# The trap of the trade reference: pint reads the bare words silently as US and avoirdupois measures.
@pytest.mark.parametrize("word", ["fl oz", "fluid ounce", "fl. oz.", "pint", "gallon", "cup", "ounce"])
def test_a_bare_measure_of_liquids_is_refused_where_the_library_would_guess(word: str) -> None:
    with pytest.raises(QuantityError) as refused:
        parse(f"3 {word}", VOLUME)
    assert refused.value.code == "bare-ounce"
    assert "`3 US " in refused.value.advice


def test_the_library_takes_the_bare_words_for_those_of_the_united_states() -> None:
    for word, ours in (
        ("oz", "oz"),
        ("fluid_ounce", "US fl oz"),
        ("pint", "US pint"),
        ("gallon", "US gal"),
        ("cup", "US cup"),
    ):
        theirs = PINT.Quantity(Fraction(1), word).to(BASES[UNITS[ours].dimension]).magnitude
        assert Fraction(theirs) == UNITS[ours].factor
    with pytest.raises(pint.UndefinedUnitError):
        PINT.Quantity(1, "fl_oz")


def test_an_ounce_is_a_weight_and_never_a_volume() -> None:
    assert parse("1 oz", WEIGHT_OR_VOLUME).dimension == "mass"
    with pytest.raises(QuantityError) as refused:
        parse("8 oz", VOLUME)
    assert refused.value.code == "bare-ounce"
    assert "`8 US fl oz` or `8 imp fl oz`" in refused.value.advice


# Rows of the trade reference for which no recipe field exists: the troy ounce, and the pressures and viscosity
# psi (6.894757293168 kPa), inHg (3.386388640341 kPa) and cP (1 mPa·s). They are refused, not guessed.
@pytest.mark.parametrize("text", ["1 troy oz", "1 ozt", "1 psi", "1 inHg", "1 cP"])
def test_measures_no_field_asks_for_are_refused_and_not_guessed(text: str) -> None:
    with pytest.raises(QuantityError) as refused:
        parse(text, ANYTHING)
    assert refused.value.code == "wrong-unit"


def test_the_rows_we_have_no_unit_for_are_as_the_reference_says() -> None:
    # Computed with the library pint, 1e-9; kept here so that the day a field needs them the factors are known.
    for theirs, unit, expected in (
        ("troy_ounce", "gram", 31.1034768),
        ("psi", "kilopascal", 6.894757293168),
        ("inch_Hg", "kilopascal", 3.386388640341),
        ("centipoise", "millipascal * second", 1.0),
    ):
        assert float(PINT.Quantity(Fraction(1), theirs).to(unit).magnitude) == pytest.approx(expected, rel=1e-9)
