"""The recipe versions a course or a build is pinned to, and what is newer."""

from __future__ import annotations

from collections.abc import Collection, Mapping

from mothermold.answers.recipes import pinned_recipe
from mothermold.model.build import Build
from mothermold.model.course import Course
from mothermold.model.names import RecipeRef
from mothermold.pages.addresses import HOME, Links
from mothermold.pages.content import Lead
from mothermold.view.sums import entry_by_entry
from mothermold.view.view import View


def to_pair(view: View, address: str, before: int, after: int, words: str) -> Lead | None:
    """Two versions of a recipe beside each other; None where one of them cannot be read."""
    pair = Lead("pair", f"{address}@{before}@{after}", words)
    return pair if Links(view, HOME).where(pair.to, pair.name) else None


def pinned_title(view: View, pin: RecipeRef) -> str:
    """What a recipe was called at the version it is pinned to; its address where that is not known."""
    recipe = pinned_recipe(view, pin)
    return recipe.title if recipe is not None else pin.address


def newer_version(view: View, pin: RecipeRef) -> int | None:
    """The version in use, where it is newer than the one a recipe is pinned to."""
    versions = view.versions(pin.address)
    current = versions.current if versions else None
    return current.number if current and pin.version and current.number > pin.version else None


def pinned_versions(view: View, address: str) -> Collection[int]:
    """The versions of a recipe that a build or a course names."""
    return _all_pinned(view).get(address, ())


@entry_by_entry("pinned")
def _all_pinned(view: View) -> Mapping[str, Collection[int]]:
    """Of each recipe the versions a build or a course names."""
    pins = [ref for build in view.models(Build).values() for ref in build.recipes]
    pins += [pin for course in view.models(Course).values() for pin in course.pins]
    found: dict[str, set[int]] = {}
    for pin in pins:
        if pin.version is not None:
            found.setdefault(view.today(pin.address), set()).add(int(pin.version))
    return {address: sorted(numbers) for address, numbers in found.items()}
