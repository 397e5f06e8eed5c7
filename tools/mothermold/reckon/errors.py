"""The one way arithmetic says that it cannot go on."""

from __future__ import annotations

from collections.abc import Sequence


class ReckoningError(Exception):
    """What was asked cannot be reckoned: a code, why, and what to do."""

    def __init__(self, code: str, message: str, advice: str) -> None:
        self.code = code
        self.message = message
        self.advice = advice
        super().__init__(message)


def missing_density(names: Sequence[str]) -> ReckoningError:
    """The error that a volume is asked and a density is missing."""
    listed = ", ".join(f"`{name}`" for name in dict.fromkeys(names)) or "this mix"
    return ReckoningError(
        "missing-density",
        f"A volume is asked, and the density of {listed} is not in the book.",
        "Type `density: 1.05 g/ml` from the label in the material, or measure it on the mix.",
    )
