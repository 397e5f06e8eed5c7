"""The page of a course: what is taught at which version, session by session."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

from mothermold.answers.changes import changes_since
from mothermold.book.document import Document
from mothermold.model.course import Course
from mothermold.model.names import RecipeRef
from mothermold.view.needs import not_open
from mothermold.view.view import View

SHOWN: Final = ("title", "term", "pins", "sessions", "students", "previous")


@dataclass(frozen=True, slots=True)
class PinShown:
    """A recipe pinned to a version: its title, and the newer version in use, where there is one."""

    reference: RecipeRef
    title: str
    newer: int | None


def details(view: View, document: Document[Course]) -> dict[str, Any]:
    """What the page of a course shows beside the course itself."""
    course = document.model
    return {
        "pins": [_pin(view, reference) for reference in course.pins],
        "left_out": not_open(*view.pins[document.address], view.edition) if document.address in view.pins else "",
        "since": changes_since(view, document.address).data,
        "follows": [
            (name, each.title)
            for name, each in sorted(view.models(Course).items())
            if each.previous == document.address
        ],
    }


def _pin(view: View, reference: RecipeRef) -> PinShown:
    versions = view.versions(reference.address)
    row = versions.get(reference.version) if versions and reference.version else None
    current = versions.current if versions else None
    newer = current.number if current and reference.version and current.number > reference.version else None
    return PinShown(reference, row.recipe.title if row and row.recipe else reference.address, newer)
