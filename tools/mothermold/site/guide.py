"""Pages on the site itself: what each notice means and the first evening, both the owner's alone; and what is not kept."""

from __future__ import annotations

from mothermold.answers.meanings import explain, meanings, rule_meanings
from mothermold.site.addresses import ABOUT, FIRST_EVENING, OFFLINE
from mothermold.site.page import Page, render
from mothermold.view.view import View


def about(view: View) -> Page:
    """What each notice means, each at an anchor of its own code."""
    own = view.ruling.own
    told = [explain(code, own).data for code in dict.fromkeys((*meanings(), *rule_meanings(), *own))]
    return render(view, "about.html", ABOUT[0], ABOUT[1], meanings=told)


def first_evening(view: View) -> Page:
    """How a book is begun in one sitting."""
    return render(view, "first_evening.html", FIRST_EVENING[0], FIRST_EVENING[1])


def offline(view: View) -> Page:
    """What stands where a page was not kept on the device and there is no signal."""
    return render(view, "offline.html", OFFLINE[0], OFFLINE[1])
