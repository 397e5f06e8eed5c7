"""Every notice of a book."""

from __future__ import annotations

from mothermold.answers.result import Result
from mothermold.ground.notices import count
from mothermold.view.view import View

EMPTY: dict[str, object] = {"errors": None, "warnings": None}


def check_book(view: View) -> Result:
    """All notices; well only where none is an error."""
    errors = count(view.notices, "error")
    return Result({"errors": errors, "warnings": count(view.notices, "warning")}, view.notices, ok=errors == 0)
