"""Reads an amount as it is written at the bench: a number or a range, and its unit.

It owns what counts as a readable amount and what to type instead. It knows nothing of documents.
"""

from __future__ import annotations

import re
from collections.abc import Collection
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Final

from mothermold.ground.words import nearest
from mothermold.quantities.units import BARE_OUNCES, DIMENSION_WORDS, EITHER_OUNCE, UNITS, Dimension, Unit

_NUMBER: Final = r"[+-]?\d+(?:\.\d+)?"
_SINGLE: Final = re.compile(rf"({_NUMBER})\s*(\D.*)?", re.DOTALL)
_RANGE: Final = re.compile(rf"({_NUMBER})\s*(?:-|–|to)\s*(\d+(?:\.\d+)?)\s*(\D.*)?", re.DOTALL)
_PIECE: Final = re.compile(r"(\d+(?:\.\d+)?)\s*([^\d\s]+)\s*")
_COMMA: Final = re.compile(r"\d,\d")
_CLOCK: Final = re.compile(r"(\d{1,3}):(\d{2})(?::\d{2})?")


class QuantityError(ValueError):
    """An amount that cannot be read: a code, what is wrong, and what to type instead."""

    def __init__(self, code: str, message: str, advice: str) -> None:
        self.code = code
        self.message = message
        self.advice = advice
        super().__init__(message)


@dataclass(frozen=True, slots=True)
class Quantity:
    """An amount in base units, exact; equal amounts are equal however they are written.

    Attributes:
        dimension: What kind of amount it is.
        low: The amount, or the lower end of a range, in the base unit of the dimension.
        high: The upper end; equal to ``low`` where no range is meant.
        text: As written; not part of equality.
    """

    dimension: Dimension
    low: Fraction
    high: Fraction
    text: str = field(compare=False)

    @property
    def value(self) -> Fraction:
        """The amount where one number is needed: of a range, the longer end."""
        return self.high

    def __str__(self) -> str:
        return self.text


def parse(
    text: str, wanted: Collection[Dimension], *, default: Dimension | None = None, signed: bool = False
) -> Quantity:
    """Reads an amount.

    Args:
        text: As typed, for instance ``185 ml``, ``2 h 30 min``, ``20-25 degC``, ``150 %``.
        wanted: The dimensions that make sense here.
        default: The dimension a bare number has (percent fields take ``150`` or ``150 %``).
        signed: Whether less than nothing makes sense; temperatures always may.

    Returns:
        The amount in base units with its text.

    Raises:
        QuantityError: With a code, a sentence on what is wrong, and one on what to type.
    """
    written = text.strip()
    _refuse_doubtful(written, wanted)
    if "time" in wanted and (minutes := _compound_time(written)) is not None:
        return Quantity("time", minutes, minutes, written)
    match = _RANGE.fullmatch(written) or _SINGLE.fullmatch(written)
    if not match:
        advice = _buried(written, wanted) or _example(wanted)
        raise QuantityError("bad-quantity", f"`{written}` cannot be read as {_words(wanted)}.", advice)
    *numbers, unit_text = match.groups()
    values = [Fraction(number) for number in numbers]
    unit = _unit((unit_text or "").strip(), numbers[-1], wanted, default)
    ends = [value * unit.factor + unit.offset for value in values]
    low, high = ends[0], ends[-1]
    if low > high:
        raise QuantityError(
            "out-of-range", f"`{written}` runs from the larger to the smaller.",
            f"Type the smaller number first, {_example_text(wanted)}.",
        )  # fmt: skip
    if low < 0 and unit.dimension != "temperature" and not signed:
        raise QuantityError("out-of-range", f"`{written}` is less than nothing.", _example(wanted))
    return Quantity(unit.dimension, low, high, written)


def _refuse_doubtful(written: str, wanted: Collection[Dimension]) -> None:
    if _COMMA.search(written):
        pointed = written.replace(",", ".")
        joined = written.replace(",", "")
        raise QuantityError(
            "decimal-comma", f"The comma in `{written}` can mean a decimal or thousands.",
            f"Type `{pointed}` with a point, or `{joined}` if thousands were meant.",
        )  # fmt: skip
    if re.search(r"\d_\d", written):
        code = "bad-number" if "number" in wanted else "bad-quantity"
        advice = f"Type `{written.replace('_', '')}`."
        raise QuantityError(code, f"`{written}` has an underscore between its digits.", advice)
    if clock := _CLOCK.fullmatch(written):
        first, second = int(clock[1]), int(clock[2])
        raise QuantityError(
            "bad-time" if "time" in wanted else "bad-quantity",
            f"`{written}` can be hours and minutes or minutes and seconds.",
            f"Type `{first} h {second} min` or `{first} min {second} s`." if "time" in wanted else _example(wanted),
        )  # fmt: skip


def _buried(written: str, wanted: Collection[Dimension]) -> str | None:
    """The amount inside a phrase such as "about 40 ml", as advice."""
    for match in re.finditer(r"\d+(?:\.\d+)?\s*[^\d\s]*", written):
        unit = UNITS.get(match[0].lstrip("0123456789. "))
        if unit is not None and unit.dimension in wanted:
            return f"Type `{match[0]}` alone; what else is to be said belongs in a comment behind two spaces and `#`."
    return None


def _compound_time(written: str) -> Fraction | None:
    pieces = _PIECE.findall(written)
    if len(pieces) < 2 or "".join(_PIECE.sub("", written)).strip():
        return None
    total = Fraction(0)
    last = None
    for number, name in pieces:
        unit = UNITS.get(name)
        if unit is None or unit.dimension != "time":
            return None
        if last is not None and unit.factor >= last:
            raise QuantityError(
                "bad-quantity", f"`{written}` does not go from the longer unit to the shorter.", "Type `2 h 30 min`."
            )
        total += Fraction(number) * unit.factor
        last = unit.factor
    return total


def _unit(name: str, number: str, wanted: Collection[Dimension], default: Dimension | None) -> Unit:
    plain = Unit("number", Fraction(1))
    if not name:
        if "number" in wanted:
            return plain
        if default == "share":
            return UNITS["%"]
        raise QuantityError("missing-unit", f"`{number}` has no unit.", _with_units(number, wanted))
    if name.casefold() in BARE_OUNCES:
        raise QuantityError(
            "bare-ounce", f"`{name}` differs between the United States and Britain.",
            f"Type `{number} US fl oz` or `{number} imp fl oz`.",
        )  # fmt: skip
    if name.casefold() in EITHER_OUNCE:
        kind = name.rstrip("s") if name.casefold() not in ("ounce", "ounces") else "fl oz"
        raise QuantityError(
            "bare-ounce", f"`{name}` means different amounts in different places.",
            f"Type `{number} g`, `{number} ml`, or the unit with its country such as `{number} US {kind}`.",
        )  # fmt: skip
    unit = UNITS.get(name)
    if unit is None:
        near = _near_unit(name, wanted)
        raise QuantityError(
            "wrong-unit", f"`{name}` is no unit known here.",
            f"Did you mean `{number} {near}`?" if near else _with_units(number, wanted),
        )  # fmt: skip
    if unit.dimension not in wanted:
        if name == "oz" and "volume" in wanted:
            raise QuantityError(
                "bare-ounce", "`oz` is a weight, and a volume is wanted here.",
                f"Type `{number} US fl oz` or `{number} imp fl oz`, or milliliters.",
            )  # fmt: skip
        given = DIMENSION_WORDS[unit.dimension][0]
        raise QuantityError(
            "wrong-unit", f"`{number} {name}` is {given}; {_words(wanted)} is wanted here.", _with_units(number, wanted)
        )
    return unit


def _near_unit(name: str, wanted: Collection[Dimension]) -> str | None:
    names = [known for known, unit in UNITS.items() if unit.dimension in wanted]
    return nearest(name, sorted(names, key=len), cutoff=0.55)


def _words(wanted: Collection[Dimension]) -> str:
    return " or ".join(DIMENSION_WORDS[dimension][0] for dimension in wanted)


def _example_text(wanted: Collection[Dimension]) -> str:
    return "for instance " + " or ".join(f"`{DIMENSION_WORDS[dimension][1]}`" for dimension in wanted)


def _example(wanted: Collection[Dimension]) -> str:
    return f"Type {_words(wanted)}, {_example_text(wanted)}."


def _with_units(number: str, wanted: Collection[Dimension]) -> str:
    examples = [DIMENSION_WORDS[dimension][1].split(" ", 1) for dimension in wanted]
    choices = [f"`{number} {example[1]}`" if len(example) == 2 else f"`{number}`" for example in examples]
    if "time" in wanted:
        choices[list(wanted).index("time")] = f"`{number} min` or `{number} h`"
    return f"Type the unit too: {' or '.join(dict.fromkeys(choices))}."
