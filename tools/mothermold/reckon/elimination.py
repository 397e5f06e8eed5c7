"""Linear equations in exact fractions."""

from __future__ import annotations

from fractions import Fraction


def solve_exactly(rows: list[list[Fraction]]) -> list[Fraction] | None:
    """Solves linear equations by elimination; None where they have no single solution.

    Args:
        rows: For n unknowns n rows of n coefficients and the right-hand side.
    """
    size = len(rows)
    for pivot in range(size):
        chosen = next((index for index in range(pivot, size) if rows[index][pivot]), None)
        if chosen is None:
            return None
        rows[pivot], rows[chosen] = rows[chosen], rows[pivot]
        head = rows[pivot][pivot]
        rows[pivot] = [value / head for value in rows[pivot]]
        for index in range(size):
            if index != pivot and rows[index][pivot]:
                by = rows[index][pivot]
                rows[index] = [a - by * b for a, b in zip(rows[index], rows[pivot], strict=True)]
    return [row[-1] for row in rows]
