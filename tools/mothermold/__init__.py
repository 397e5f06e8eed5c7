"""Mothermold keeps a prosthetic makeup artist's process true: versioned recipes, failures, runs, arithmetic.

Packages import downward only: cli, desk, answers, view, history, book, compare, trade, reckon, model,
quantities, ground. A test holds the direction.
"""

__version__ = "0.1.0"
