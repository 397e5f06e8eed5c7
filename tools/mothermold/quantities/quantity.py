"""Reads an amount as it is written at the bench: a number or a range, and its unit.

It owns what counts as a readable amount and what to type instead. It knows nothing of documents.
"""

from __future__ import annotations

import re
from collections.abc import Collection
from dataclasses import dataclass, field
from fractions import Fraction
from functools import lru_cache
from typing import Final

from mothermold.ground.words import nearest
from mothermold.quantities.units import DIMENSION_WORDS, DOUBTFUL_UNITS, LEAST, MOST, MOST_TIME, UNITS, Dimension, Unit

LONGEST: Final = 60
"""The most characters an amount may have; no pattern below ever sees more, whoever sent it."""

_NUMBER: Final = r"[+-]?\d+(?:\.\d+)?"
_SINGLE: Final = re.compile(rf"({_NUMBER})\s*(\D.*)?", re.DOTALL)
_RANGE: Final = re.compile(rf"({_NUMBER})\s*(?:-|–|to)\s*({_NUMBER})\s*(\D.*)?", re.DOTALL)
_PIECE: Final = re.compile(r"(\d+(?:\.\d+)?)\s*([^\d\s]+)\s*")
_COMMA: Final = re.compile(r"\d,\d")
_CLOCK: Final = re.compile(r"(\d{1,3}):(\d{2})(?::\d{2})?")
_TWO_UNITS: Final = re.compile(rf"({_NUMBER})\s*(\S+?)\s*(?:-|–|—|to)\s*({_NUMBER})\s*(\S+)")
_FRACTION: Final = re.compile(r"(?:(\d{1,3}) )?(\d{1,3})/([1-9]\d{0,2})\b")
_EXPONENT: Final = re.compile(r"(\d+(?:\.\d+)?)[eE]\+?(\d)\b")


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
    if len(written) > LONGEST:
        raise QuantityError(
            "too-long", f"`{written}` has {len(written):,} characters, too many for an amount.", _example(wanted)
        )
    return _weighed(written, tuple(wanted), default, signed)


# The versions of a recipe repeat most of their amounts word by word.
@lru_cache(maxsize=4096)
def _weighed(written: str, wanted: tuple[Dimension, ...], default: Dimension | None, signed: bool) -> Quantity:
    found = _parse(written, wanted, default, signed)
    _refuse_beyond_bench(found)
    return found


def _parse(written: str, wanted: tuple[Dimension, ...], default: Dimension | None, signed: bool) -> Quantity:
    _refuse_doubtful(written, wanted)
    if "time" in wanted and (minutes := _compound_time(written)) is not None:
        return Quantity("time", minutes, minutes, written)
    match = _RANGE.fullmatch(written) or _SINGLE.fullmatch(written)
    name = " ".join((match.groups()[-1] or "").split()) if match else ""
    # A digit in what should be a unit: the number is written in a way that is not read here.
    if not match or (name not in UNITS and re.search(r"\d", name)):
        advice = _meant(written, wanted) or _buried(written, wanted) or _example(wanted)
        raise QuantityError("bad-quantity", f"`{written}` cannot be read as {_words(wanted)}.", advice)
    numbers = [number for number in match.groups()[:-1] if number]
    values = [Fraction(number) for number in numbers]
    unit = _unit(name, written, "-".join(numbers) if len(numbers) == 2 else numbers[0], wanted, default)
    ends = [value * unit.factor + unit.offset for value in values]
    low, high = ends[0], ends[-1]
    if low > high:
        raise QuantityError(
            "out-of-range",
            f"`{written}` runs from the larger to the smaller.",
            f"Type the smaller number first: `{numbers[-1]}-{numbers[0]} {name}`.",
        )
    if unit.dimension == "density" and low <= 0:
        raise QuantityError("out-of-range", "Nothing has a density of 0 or less.", _example(wanted))
    if low < 0 and unit.dimension != "temperature" and not signed:
        raise QuantityError("out-of-range", f"`{written}` is less than nothing.", _example(wanted))
    return Quantity(unit.dimension, low, high, written)


def _refuse_beyond_bench(found: Quantity) -> None:
    """Refuses what no bench holds, weighs or waits for, so that no sum further on overflows."""
    most = MOST_TIME if found.dimension == "time" else MOST
    for end in (found.low, found.high):
        if abs(end) > most or 0 < abs(end) < LEAST:
            word = "more" if abs(end) > most else "less"
            message = f"`{found.text}` is {word} than any bench works with."
            raise QuantityError("out-of-range", message, "Look again at the number and its unit.")


def _refuse_doubtful(written: str, wanted: Collection[Dimension]) -> None:
    if _COMMA.search(written):
        pointed = written.replace(",", ".")
        joined = written.replace(",", "")
        raise QuantityError(
            "decimal-comma",
            f"The comma in `{written}` can mean a decimal or thousands.",
            f"Type `{pointed}` with a point, or `{joined}` if thousands were meant."
            if re.search(r"\d,\d{3}(?!\d)", written)
            else f"Type `{pointed}` with a point.",
        )
    if re.search(r"\d_\d", written):
        code = "bad-number" if "number" in wanted else "bad-quantity"
        advice = f"Type `{written.replace('_', '')}`."
        raise QuantityError(code, f"`{written}` has an underscore between its digits.", advice)
    if clock := _CLOCK.fullmatch(written):
        first, second = int(clock[1]), int(clock[2])
        if "time" not in wanted:
            message = f"`{written}` is a ratio or a time, not {_words(wanted)}."
            raise QuantityError("bad-quantity", message, _example(wanted))
        raise QuantityError(
            "bad-time",
            f"`{written}` can be hours and minutes or minutes and seconds.",
            f"Type `{first} h {second} min` or `{first} min {second} s`.",
        )


def _meant(written: str, wanted: Collection[Dimension]) -> str | None:
    """The same amount as it is read here, as advice; None where no way of writing it is recognized."""
    rewritten = (
        re.sub(r"(?<=\d)[ '](?=\d{3}(?!\d))", "", written),
        re.sub(r"(?<![\d.])\.(?=\d)", "0.", written),
        re.sub(r"(?<=\d)\.(?!\d)", "", written),
        written.replace("—", "-"),
        _TWO_UNITS.sub(lambda m: f"{m[1]} to {m[3]} {m[2]}" if m[2] == m[4] else m[0], written),
        _FRACTION.sub(lambda m: _decimal(int(m[1] or 0) + Fraction(int(m[2]), int(m[3]))), written),
        _EXPONENT.sub(lambda m: _decimal(Fraction(m[1]) * 10 ** int(m[2])), written),
        re.sub(r"^(\d+\s*h)\s*(\d+)$", r"\1 \2 min", written),
    )
    for text in rewritten:
        if text == written:
            continue
        try:
            parse(text, wanted)
        except QuantityError:
            continue
        return f"Type `{text}`."
    return None


def _decimal(value: Fraction) -> str:
    """A number in decimals, to three places where it does not end."""
    return f"{float(value):.3f}".rstrip("0").rstrip(".")


def _buried(written: str, wanted: Collection[Dimension]) -> str | None:
    """The amount inside a phrase such as "about 40 ml", as advice; of several numbers none is picked."""
    found = re.findall(r"(?<![\d.,/'])(\d+(?:\.\d+)?\s*([^\d\s]*))", written)
    if len(found) == 1 and len(re.findall(r"\d+(?:\.\d+)?", written)) == 1:
        amount, name = found[0]
        if name in UNITS and UNITS[name].dimension in wanted:
            more = "what else there is to say belongs in a comment, after two spaces and `#`."
            return f"Type `{amount}` alone; {more}"
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
            message = f"`{written}` does not go from the longer unit to the shorter."
            raise QuantityError("bad-quantity", message, "Type `2 h 30 min`.")
        total += Fraction(number) * unit.factor
        last = unit.factor
    return total


def _unit(name: str, written: str, number: str, wanted: Collection[Dimension], default: Dimension | None) -> Unit:
    plain = Unit("number", Fraction(1))
    if not name:
        if "number" in wanted:
            return plain
        if default == "share":
            return UNITS["%"]
        raise QuantityError("missing-unit", f"`{number}` has no unit.", _with_units(number, wanted))
    clear = DOUBTFUL_UNITS.get(name.casefold())
    if clear is not None:
        choices = [f"`{number} {each}`" for each in clear if UNITS[each].dimension in wanted]
        advice = f"Type {' or '.join(choices)}, or measure it in metric units."
        raise QuantityError(
            "bare-ounce",
            f"`{name}` means different amounts in different places.",
            advice if choices else _example(wanted),
        )
    unit = UNITS.get(name)
    if unit is None:
        near = _near_unit(name, wanted)
        other = _meant(written, wanted) or _buried(written, wanted) or _example(wanted)
        advice = f"Did you mean `{number} {near}`?" if near else other
        raise QuantityError("wrong-unit", f"`{name}` is not a unit known here.", advice)
    if unit.dimension not in wanted:
        if name == "oz" and "volume" in wanted:
            raise QuantityError(
                "bare-ounce",
                "`oz` is a weight, and a volume is wanted here.",
                f"Type `{number} US fl oz` or `{number} imp fl oz`, or milliliters.",
            )
        given = DIMENSION_WORDS[unit.dimension][0]
        raise QuantityError(
            "wrong-unit", f"`{number} {name}` is {given}; {_words(wanted)} is wanted here.", _example(wanted)
        )
    return unit


def _near_unit(name: str, wanted: Collection[Dimension]) -> str | None:
    names = [known for known, unit in UNITS.items() if unit.dimension in wanted]
    if f"deg{name}" in names:
        return f"deg{name}"
    # Strict, for a wrong guess is wrong by a factor: `cl` is no `l`.
    return nearest(name, sorted(names, key=len), cutoff=0.75)


def _words(wanted: Collection[Dimension]) -> str:
    return " or ".join(DIMENSION_WORDS[dimension][0] for dimension in wanted)


def _example(wanted: Collection[Dimension]) -> str:
    examples = " or ".join(f"`{DIMENSION_WORDS[dimension][1]}`" for dimension in wanted)
    return f"Type {_words(wanted)}, for instance {examples}."


def _with_units(number: str, wanted: Collection[Dimension]) -> str:
    examples = [DIMENSION_WORDS[dimension][1].split(" ", 1) for dimension in wanted]
    choices = [f"`{number} {example[1]}`" if len(example) == 2 else f"`{number}`" for example in examples]
    if "time" in wanted:
        choices[list(wanted).index("time")] = f"`{number} min` or `{number} h`"
    return f"Type the unit too: {' or '.join(dict.fromkeys(choices))}."
