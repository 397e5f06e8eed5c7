"""The page of an old note taken apart: each line with what it was taken for, before a recipe is begun with it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Final

from mothermold.desk.forms.old_notes import NoteLine, OldNote
from mothermold.pages.page import Page, render
from mothermold.view.view import View

FROM: Final = "_from"
"""Under which name it is asked from which recipe a new one is begun."""
NOTE: Final = "_note"
"""Under which name an old note is sent."""
LINE: Final = "_line."
"""Before the number of a line: which material it means."""
_WORDS: Final = {
    "title": "its title", "heading": "a heading", "step": "a step", "part": "a part of a mix", "nothing": "left out",
}  # fmt: skip


def note_page(view: View, note: OldNote, text: str, seal: Callable[[], str]) -> Page:
    """The page of a note.

    Args:
        view: The owner's book.
        note: What its lines were taken for.
        text: The note as it was pasted.
        seal: Makes the hidden fields of the form.
    """
    return render(
        view, "desk_note.html", "desk/new/recipe", "A recipe from an old note", note=note, text=text, seal=seal,
        words=_WORDS, pieces={line.number: list(_pieces(line)) for line in note.lines}, line_name=LINE,
        lost=text.count("\n") + 1 - len(note.lines),
    )  # fmt: skip


def _pieces(line: NoteLine) -> Iterator[tuple[str, bool]]:
    """A line in pieces, each with whether it is an amount."""
    at = 0
    for amount in line.amounts:
        if amount.start >= at:
            yield line.text[at : amount.start], False
            yield line.text[amount.start : amount.end], True
            at = amount.end
    yield line.text[at:], False
