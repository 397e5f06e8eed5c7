"""The one way arithmetic says that it cannot go on."""

from __future__ import annotations


class ReckoningError(Exception):
    """What was asked cannot be reckoned: a code, why, and what to do."""

    def __init__(self, code: str, message: str, advice: str) -> None:
        self.code = code
        self.message = message
        self.advice = advice
        super().__init__(message)
