"""Amounts with their units, exact, as written and as reckoned."""

from mothermold.quantities.quantity import Quantity, QuantityError, parse
from mothermold.quantities.units import DIMENSION_WORDS, Dimension

__all__ = ["DIMENSION_WORDS", "Dimension", "Quantity", "QuantityError", "parse"]
