"""What went wrong with git, folders and files, with what would be done about it."""

from __future__ import annotations

from collections.abc import Sequence

from mothermold.history.mishap import Mishap
from mothermold.pages.desk.paper import DeskPaper
from mothermold.pages.page import Page

NAMED = "mishap"
"""The field of the form that names what is to be mended."""


def name_of_mishap(mishap: Mishap) -> str:
    """By what a mishap is known again."""
    return f"{mishap.what} {mishap.where}"


def mend_page(paper: DeskPaper, mishaps: Sequence[Mishap], lines: Sequence[str] = ()) -> Page:
    """What is wrong now.

    Args:
        paper: The page.
        mishaps: What was found.
        lines: What was just done.
    """
    rows = [(each, name_of_mishap(each)) for each in mishaps]
    return paper.page("desk_mend.html", "Mend", rows=rows, lines=lines, named=NAMED)
