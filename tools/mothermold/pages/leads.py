"""What other documents are called where a page leads to them."""

from __future__ import annotations

from mothermold.answers.records import dated_title
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


def cited(view: View, name: str) -> str:
    """A run named elsewhere, as one reads it."""
    return to_run(view, name).words
