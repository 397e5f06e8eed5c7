"""The start of the desk: the short ways in, what waits, and the rarer rooms; and what can be begun new."""

from __future__ import annotations

from typing import Final

from mothermold.desk.starting import STARTED
from mothermold.pages.desk.paper import DeskPaper, new_at
from mothermold.pages.page import Page

WAYS: Final = (
    ("made", "I made one", "Which recipe, when, how it came out. Two minutes."),
    ("wrong", "It went wrong", "What you would shout, and what to do now."),
    ("next", "Next version, because of this", "What you do differently next time, and why."),
    ("something", "Something new", "A material, a mold, a recipe, a character, a course."),
)
"""The short ways: the room, what it is called, what it is for."""

_FOR: Final = (
    ("material", "With its lots, its family and where its safety sheet hangs; what recipes are made of."),
    ("mold", "Made and still there: how much it holds, where it stands, how it is."),
    (
        "recipe",
        "How one job is done, so that it comes out the same next time: from nothing, another recipe, or an old note.",
    ),
    ("build", "One character: the things made for it, the looks, the days, the patch tests."),
    ("run", "A recipe worked once, or something tried: what the scale said, how it ended."),
    ("failure", "What went wrong in the words you would shout, what to do now, what helps."),
    ("course", "The versions of recipes a class works from, and its meetings."),
)
"""What can be begun, and what it is for; what a book knows beside these goes by the words of its row."""


def start_page(paper: DeskPaper, *, unsaved: int | None, waiting: int, errors: int) -> Page:
    """The start of the desk.

    Args:
        paper: The page.
        unsaved: How many files are not saved yet; None where the book has no history.
        waiting: How many files lie in the inbox.
        errors: How many errors stand in the book.
    """
    return paper.page("desk_start.html", "The desk", ways=WAYS, unsaved=unsaved, waiting=waiting, errors=errors)


def something_page(paper: DeskPaper) -> Page:
    """What can be begun, each with a sentence on what it is for."""
    told = dict(_FOR)
    kinds = [(kind, STARTED[kind], words) for kind, words in _FOR if kind in STARTED]
    kinds += [(kind, words, "") for kind, words in STARTED.items() if kind not in told]
    return paper.page("desk_something.html", "Something new", kinds=kinds, new_at=new_at)
