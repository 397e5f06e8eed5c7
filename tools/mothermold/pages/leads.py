"""What other documents are called where a page leads to them."""

from __future__ import annotations

from mothermold.answers.records import dated_title
from mothermold.model.names import RecipeRef
from mothermold.model.run import Run
from mothermold.pages.addresses import Links
from mothermold.pages.content import Lead
from mothermold.view.view import View


def to_document(view: View, kind: str, name: str) -> Lead:
    """A document by its title; by its name where the edition does not hold it."""
    document = view.on(kind).get(name)
    return Lead(kind, str(name), str(getattr(document.model if document else None, "title", None) or name))


def to_run(view: View, name: str) -> Lead:
    """A run by what was done, and when."""
    run = view.models(Run).get(name)
    return Lead("run", str(name), dated_title(view, run) if run else str(name))


def to_recipe(view: View, reference: str, words: str = "") -> Lead:
    """A recipe named with version and step, by the words given, else as one reads it."""
    return Lead("reference", str(reference), words or Links(view, 0).words(reference))


def to_pair(view: View, address: str, before: int, after: int, words: str) -> Lead | None:
    """Two versions of a recipe beside each other; None where one of them cannot be read."""
    pair = Lead("pair", f"{address}@{before}@{after}", words)
    return pair if Links(view, 0).where(pair.to, pair.name) else None


def pinned_title(view: View, pin: RecipeRef) -> str:
    """What a recipe was called at the version it is pinned to; its address where that is not known."""
    versions = view.versions(pin.address)
    row = (versions.get(pin.version) if pin.version else versions.current) if versions else None
    return row.recipe.title if row is not None and row.recipe else pin.address


def newer_version(view: View, pin: RecipeRef) -> int | None:
    """The version in use, where it is newer than the one a recipe is pinned to."""
    versions = view.versions(pin.address)
    current = versions.current if versions else None
    return current.number if current and pin.version and current.number > pin.version else None
