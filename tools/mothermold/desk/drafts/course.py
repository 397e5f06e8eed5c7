"""Begins a course."""

from __future__ import annotations

from typing import Any

from mothermold.desk.asking import Asking
from mothermold.desk.drafts.questions import Draft, draft, fits, name_for
from mothermold.desk.shop import Shop


def ask_course(asking: Asking, shop: Shop) -> Draft:
    """Asks for a course."""
    title = asking.text("What the course is called", needed=True)
    name = name_for(asking, shop, "course", title, file_of=_file)
    term = asking.text("When it is given (like fall 2026)")
    pins = shop.pins()
    if not pins:
        asking.say("A course teaches locked recipe versions, and the book has none yet; they can come later.")
    taught = list(asking.several("Which recipe versions are taught", pins)) if pins else []
    students = asking.text("How many take part", check=fits("course", "students"))
    tree: dict[str, Any] = {"title": title, "term": term, "pins": taught, "students": students}
    return draft("course", name, _file(name), tree)


def _file(name: str) -> str:
    return f"recipes/courses/{name}.yaml"
