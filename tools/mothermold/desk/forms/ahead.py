"""What a recipe would be, were what was typed saved: the difference in words, with its grams, hours, rules and cautions."""

from __future__ import annotations

from mothermold.answers.difference import explain_difference
from mothermold.answers.recipes import WORKING
from mothermold.answers.result import Result
from mothermold.book.document import read_document
from mothermold.book.library import read_book
from mothermold.desk.forms.sending import Sent
from mothermold.ground.errors import refused
from mothermold.view.view import View, Whole


def ahead(view: View, found: Sent, since: str | None = None) -> Result:
    """The difference a change of a recipe makes; the answer of `diff`.

    Args:
        view: The owner's book.
        found: What became of the recipe's form; its text is taken whatever is wrong elsewhere in the book.
        since: The version it is compared with; else the last locked one, or a draft's own last save.

    Raises:
        RefusedError: There is no text, it cannot be read, or there is nothing to compare it with yet.
    """
    text = found.typed or ""
    if found.kind != "recipe" or read_document(found.kind, found.address, found.file, text.encode()).model is None:
        raise refused(
            "nothing-to-compare",
            "What was typed is no text of a recipe yet.",
            "Mend what is said beside the fields, then look again.",
        )
    then = Whole(read_book(view.root, {found.file: text})).edition("private")
    return explain_difference(then, found.address, since or WORKING, WORKING if since else None)
