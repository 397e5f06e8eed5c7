"""A course as one file: its plan, every recipe at the version it is taught at, with calculators and bench views, and the words."""

from __future__ import annotations

from functools import partial

from mothermold.model.course import Course
from mothermold.pages.addresses import HUBS, page_of
from mothermold.pages.bench import is_at_bench
from mothermold.pages.documents import document_page
from mothermold.publish.carried.one_file import CarriedRecipe, assembled
from mothermold.view.view import View


def course_file(view: View, name: str) -> str:
    """The text of the file.

    Args:
        view: The edition; nothing else is in the file.
        name: A course of it that can be read.
    """
    return assembled(
        view,
        view.models(Course)[name].title,
        pinned(view, name),
        partial(document_page, view, "course", name),
        (page_of("course", name), HUBS["course"][0]),
    )


def pinned(view: View, name: str) -> list[CarriedRecipe]:
    """The recipes of a course at the versions it pins, in its order, those that the edition holds."""
    found: dict[tuple[str, int], CarriedRecipe] = {}
    for pin in view.models(Course)[name].pins:
        versions = view.versions(pin.address)
        row = (versions.get(pin.version) if pin.version else versions.current) if versions is not None else None
        if versions is not None and row is not None:
            carried = CarriedRecipe(versions, row, is_at_bench(view, versions, row), pinned=True)
            found.setdefault((versions.address, row.number), carried)
    return list(found.values())
