"""Amounts given on the command line where exactly one number is reckoned with, and what is said where none is given."""

from __future__ import annotations

from fractions import Fraction

from mothermold.ground.errors import RefusedError, refused
from mothermold.quantities import Dimension, Quantity, QuantityError, parse


def amount(option: str, text: str, *wanted: Dimension) -> Quantity:
    """An amount given on the command line; refused with what to type where it cannot be read."""
    found = _read(option, text, *wanted)
    if found.value == 0:
        raise refused("out-of-range", f"{option}: `{text}` is nothing.", "Give an amount above 0.")
    return found


def one_amount(option: str, text: str, *wanted: Dimension) -> Fraction:
    """One amount in its base unit; a range is refused, for which end is meant would be a guess.

    Raises:
        RefusedError: It cannot be read, is nothing, or is a range.
    """
    found = amount(option, text, *wanted)
    if found.low != found.high:
        raise refused(
            "bad-quantity", f"{option}: `{text}` is a range, and one number is needed.", "Give one end of it."
        )
    return found.value


def temperature(option: str, text: str) -> tuple[Fraction, Fraction]:
    """A temperature or a range of them, in degC; unlike other amounts it may be 0 or less.

    Raises:
        RefusedError: It cannot be read.
    """
    found = _read(option, text, "temperature", default="temperature")
    return found.low, found.high


def percent(option: str, text: str) -> Fraction:
    """A percentage as a share of one; the sign may be left out.

    Raises:
        RefusedError: It cannot be read, or is a range.
    """
    found = _read(option, text, "share", default="share")
    if found.low != found.high:
        raise refused(
            "bad-quantity", f"{option}: `{text}` is a range, and one number is needed.", "Give one end of it."
        )
    return found.value


def missing(what: str, example: str) -> RefusedError:
    """What to raise where the amount to start from is not given."""
    return refused("nothing-to-reckon", f"{what} is not given.", f"Type `{example}`.")


def _read(option: str, text: str, *wanted: Dimension, default: Dimension | None = None) -> Quantity:
    try:
        return parse(text, wanted, default=default)
    except QuantityError as problem:
        raise refused(problem.code, f"{option}: {problem.message}", problem.advice) from None
