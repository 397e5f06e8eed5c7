"""What stands in place of a form: a file as its text, a file changed meanwhile field by field, and what writing brought elsewhere."""

from __future__ import annotations

from collections.abc import Sequence

from mothermold.desk.forms.carried import packed
from mothermold.desk.forms.form import Form
from mothermold.desk.forms.keeping import Conflict
from mothermold.desk.forms.sending import Sent
from mothermold.desk.forms.trees import name_of
from mothermold.ground.notices import Notice, in_order
from mothermold.pages.desk.form_page import FormSheet, book_mark, title_of
from mothermold.pages.page import Page, render
from mothermold.view.view import View

TAKE = "_take."
"""Before the name of a field: whose text is taken, ``mine`` or ``theirs``."""
TEXT = "_text"
"""Under which name a file is sent as its text."""
_AROUND = 2


def text_page(view: View, form: Form, sheet: FormSheet, typed: str | None = None, there: str = "") -> Page:
    """The page on which a file is written as its text, with what is said of its lines.

    Args:
        view: The owner's book.
        form: The form of the file.
        sheet: What is said of it.
        typed: What was typed; its text as it is unless given.
        there: What the file says by now, where it was changed meanwhile.
    """
    text = form.text if typed is None else typed
    told = in_order(each for held in (sheet.told or form.notices).values() for each in held)
    lines = text.split("\n")
    rows = [(notice, _excerpt(lines, notice)) for notice in told]
    return render(
        view, "desk_text.html", sheet.address, title_of(form), form=form, sheet=sheet, text=text, rows=rows, there=there,
        opened=packed(there or form.text), tall=min(40, max(12, len(lines) + 2)), readable=bool(form.sections), book=book_mark(view),
    )  # fmt: skip


def _excerpt(lines: Sequence[str], notice: Notice) -> list[tuple[int, str, bool]]:
    """The lines about a notice, each with its number and whether it is the one."""
    if notice.line is None or notice.line > len(lines):
        return []
    first = max(1, notice.line - _AROUND)
    return [(number, lines[number - 1], number == notice.line) for number in range(first, notice.line + 1)]


def conflict_page(view: View, form: Form, conflict: Conflict, sheet: FormSheet) -> Page:
    """The page of a file that was changed meanwhile: field by field what was opened, what is there, what was typed.

    Args:
        view: The owner's book.
        form: The form as it was made.
        conflict: What differs; its form is that of the file as it is now.
        sheet: What is said of it.
    """
    assert conflict.now is not None
    rows = [
        {
            "name": name_of(row.path), "label": row.label, "both": row.both,
            "sides": [("opened", "When you opened it", _shown(row.opened)), ("theirs", "In the file now", _shown(row.there)),
                      ("mine", "What you typed", _shown(row.typed))],
            "chosen": "" if row.both and row.there != row.typed else "mine" if row.opened == row.there else "theirs",
            "typed": ("", *row.typed) if isinstance(row.typed, tuple) else (row.typed,),
        }
        for row in conflict.rows
    ]  # fmt: skip
    return render(
        view, "desk_conflict.html", sheet.address, title_of(form), rows=rows, sheet=sheet, take=TAKE,
        opened=packed(conflict.now.text), file=form.file,
    )  # fmt: skip


def _shown(text: str | tuple[str, ...]) -> str:
    return "\n".join(text) if isinstance(text, tuple) else text


def written_page(view: View, found: Sent, address: str, onward: str) -> Page:
    """What is shown where something was written that brings about something elsewhere.

    Args:
        view: The owner's book, as it was before.
        found: What was written.
        address: Where the page lies.
        onward: Where to go now.
    """
    return render(
        view, "desk_written.html", address, "Written into the book", found=found, onward=onward, from_=address
    )
