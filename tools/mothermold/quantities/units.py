"""The units a bench writes, each with its exact factor to the base unit of its dimension.

Factors of customary units are exact by the definitions of the inch (25.4 mm), the pound (453.59237 g), the
US gallon (231 cubic inches) and the imperial gallon (4.54609 l), as NIST SP 811, appendix B states them
(provenance from memory; the numbers are tested against the library pint). A month is the mean Gregorian
month of 30.436875 days, a year twelve of them: meant for shelf lives, not for calendars.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Final, Literal

Dimension = Literal[
    "mass", "volume", "time", "length", "area", "density", "temperature", "share", "number",
    "pieces", "rolls", "sheets", "pairs", "drops",
]  # fmt: skip

# For each dimension: what it is called in a sentence, and an example to type.
DIMENSION_WORDS: Final[dict[Dimension, tuple[str, str]]] = {
    "mass": ("a weight", "263 g"),
    "volume": ("a volume", "185 ml"),
    "time": ("a length of time", "2 h 30 min"),
    "length": ("a length", "0.4 mm"),
    "area": ("an area", "700 cm2"),
    "density": ("a density", "1.08 g/ml"),
    "temperature": ("a temperature", "23 degC"),
    "share": ("a percentage", "150 %"),
    "number": ("a plain number", "100"),
    "pieces": ("a count of pieces", "6 pieces"),
    "rolls": ("a count of rolls", "2 rolls"),
    "sheets": ("a count of sheets", "3 sheets"),
    "pairs": ("a count of pairs", "2 pairs"),
    "drops": ("a count of drops", "4 drops"),
}


MOST: Final = Fraction(10**10)
"""The largest amount that is read, in base units: a volume of 10,000 m3, a weight of 10,000 tonnes."""
MOST_TIME: Final = Fraction(60 * 24 * 36525)
"""The longest time that is read, in minutes: 100 years, so that no date runs out of the calendar."""
LEAST: Final = Fraction(1, 10**9)
"""The smallest amount above nothing that is read, in base units."""


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit: its dimension, the factor to the base unit, and for temperatures the offset in kelvin steps.

    Base units: g, ml, min, mm, cm2, g/ml, degC, a share of one, one.
    """

    dimension: Dimension
    factor: Fraction
    offset: Fraction = Fraction(0)


def _table() -> dict[str, Unit]:
    inch_mm = Fraction("25.4")
    cubic_inch_ml = (inch_mm / 10) ** 3
    pound_g = Fraction("453.59237")
    us_gallon = 231 * cubic_inch_ml
    imperial_gallon = Fraction("4546.09")
    day = Fraction(24 * 60)
    month = day * Fraction("30.436875")
    rows: list[tuple[Dimension, Fraction, str]] = [
        ("mass", Fraction(1), "g gram grams"),
        ("mass", Fraction(1, 1000), "mg milligram milligrams"),
        ("mass", Fraction(1000), "kg kilogram kilograms"),
        ("mass", pound_g / 16, "oz"),
        ("mass", pound_g, "lb lbs pound pounds"),
        ("volume", Fraction(1), "ml mL cm3 cm³ cc milliliter milliliters millilitre millilitres"),
        ("volume", Fraction(10), "cl"),
        ("volume", Fraction(100), "dl"),
        ("volume", Fraction(1000), "l L liter liters litre litres"),
        ("volume", Fraction(10) ** 6, "m3 m³"),
        ("volume", us_gallon / 128, "US_fl_oz"),
        ("volume", us_gallon / 16, "US_cup"),
        ("volume", us_gallon / 8, "US_pint"),
        ("volume", us_gallon / 4, "US_quart"),
        ("volume", us_gallon, "US_gal"),
        ("volume", imperial_gallon / 160, "imp_fl_oz"),
        ("volume", imperial_gallon / 8, "imp_pint"),
        ("volume", imperial_gallon, "imp_gal"),
        ("volume", cubic_inch_ml, "in3"),
        ("volume", cubic_inch_ml * 1728, "ft3"),
        ("time", Fraction(1), "min mins minute minutes"),
        ("time", Fraction(1, 60), "s sec second seconds"),
        ("time", Fraction(60), "h hr hrs hour hours"),
        ("time", day, "d day days"),
        ("time", day * 7, "week weeks"),
        ("time", month, "month months"),
        ("time", month * 12, "year years"),
        ("length", Fraction(1), "mm"),
        ("length", Fraction(10), "cm"),
        ("length", Fraction(1000), "m"),
        ("length", Fraction(1, 1000), "um µm μm micron microns"),
        ("length", inch_mm, "in inch inches"),
        ("length", inch_mm / 1000, "thou"),
        ("length", inch_mm * 12, "ft"),
        ("area", Fraction(1), "cm2 cm²"),
        ("area", Fraction(1, 100), "mm2 mm²"),
        ("area", Fraction(10_000), "m2 m²"),
        ("area", (inch_mm / 10) ** 2, "in2"),
        ("density", Fraction(1), "g/ml g/mL g/cm3 g/cm³ g/cc kg/l kg/L"),
        ("density", Fraction(1, 1000), "kg/m3 kg/m³"),
        ("density", pound_g / us_gallon, "lb/US_gal"),
        ("temperature", Fraction(1), "degC °C"),
        ("share", Fraction(1, 100), "%"),
        ("pieces", Fraction(1), "piece pieces"),
        ("rolls", Fraction(1), "roll rolls"),
        ("sheets", Fraction(1), "sheet sheets"),
        ("pairs", Fraction(1), "pair pairs"),
        ("drops", Fraction(1), "drop drops"),
    ]
    table = {
        name.replace("_", " "): Unit(dimension, factor) for dimension, factor, names in rows for name in names.split()
    }
    fahrenheit = Unit("temperature", Fraction(5, 9), Fraction(-160, 9))
    table |= {"degF": fahrenheit, "°F": fahrenheit}
    return table


UNITS: Final[dict[str, Unit]] = _table()
# Volumes and weights whose name alone says two things; each with the units that say one, where there are any.
_FLUID: Final = ("US fl oz", "imp fl oz")
DOUBTFUL_UNITS: Final[dict[str, tuple[str, ...]]] = {
    **dict.fromkeys(("fl", "fl oz", "fl. oz", "fl. oz.", "fl oz.", "floz", "fl.oz", "fl.oz."), _FLUID),
    **dict.fromkeys(("fluid oz", "fluid ounce", "fluid ounces"), _FLUID),
    **dict.fromkeys(("ounce", "ounces", "oz."), ("oz", *_FLUID)),
    **dict.fromkeys(("pint", "pints", "pt"), ("US pint", "imp pint")),
    **dict.fromkeys(("cup", "cups"), ("US cup",)),
    **dict.fromkeys(("quart", "quarts", "qt"), ("US quart",)),
    **dict.fromkeys(("gal", "gals", "gallon", "gallons"), ("US gal", "imp gal")),
    **dict.fromkeys(("tsp", "teaspoon", "teaspoons", "tbsp", "tablespoon", "tablespoons"), ()),
}
