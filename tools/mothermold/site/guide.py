"""Pages for whoever keeps the book: what each notice means, and the first evening. Only the owner's edition has them."""

from __future__ import annotations

from mothermold.answers.meanings import explain, meanings
from mothermold.site.addresses import ABOUT, FIRST_EVENING
from mothermold.site.page import Page, render
from mothermold.view.view import View


def about(view: View) -> Page:
    """What each notice means, each at an anchor of its own code."""
    told = [explain(code).data for code in meanings()]
    return render(view, "about.html", ABOUT[0], ABOUT[1], meanings=told)


def first_evening(view: View) -> Page:
    """How a book is begun in one sitting."""
    return render(view, "first_evening.html", FIRST_EVENING[0], FIRST_EVENING[1])
