"""Every notice of a book."""

from __future__ import annotations

from typing import Any, Final

from mothermold.answers.question import question
from mothermold.answers.result import Result
from mothermold.ground.notices import count, in_order
from mothermold.ground.rendering import as_text, verdict
from mothermold.view.view import View

EMPTY: Final[dict[str, Any]] = {"notices": [], "errors": None, "warnings": None}


def _text(result: Result) -> str:
    notices = in_order(result.notices)
    told = "".join(f"{as_text(notice)}\n" for notice in notices)
    if not notices:
        return "Nothing to say: the book is in order.\n"
    return f"{told}\n{verdict(notices)}. Type `mothermold about CODE` for what a notice means.\n"


@question("check", empty=EMPTY, text=_text, page="notices.html")
def check_book(view: View) -> Result:
    """All notices; well only where none is an error."""
    errors = count(view.notices, "error")
    told = {**EMPTY, "errors": errors, "warnings": count(view.notices, "warning")}
    return Result(told, view.notices, ok=errors == 0)
