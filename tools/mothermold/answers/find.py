"""Finds documents by the words in them: failures first, with what to do now."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any, Final

from mothermold.answers.records import dated_title
from mothermold.answers.result import Result
from mothermold.book.document import Document
from mothermold.find.index import Entry, build_index
from mothermold.find.ranking import ranked
from mothermold.history.versions import Version
from mothermold.model.run import Run
from mothermold.view.view import View

EMPTY: dict[str, Any] = {"query": None, "results": []}

KINDS: Final = ("failure", "recipe", "run", "material", "mold", "build", "course")


def find_documents(view: View, words: Sequence[str]) -> Result:
    """What answers to some words, the most helpful first.

    Args:
        view: The book.
        words: The words, as they come.
    """
    query = " ".join(words).strip()
    hits = ranked(query, build_index(entries(view), KINDS))
    return Result(
        {
            "query": query,
            "results": [
                {
                    "id": hit.entry.id,
                    "kind": hit.entry.kind,
                    "title": hit.entry.title,
                    "score": hit.score,
                    "now": _now(view, hit.entry),
                }
                for hit in hits
            ],
        }
    )


def _now(view: View, entry: Entry) -> list[str]:
    document = view.documents["failure"].get(entry.id) if entry.kind == "failure" else None
    return _said(document, "now") if document else []


def _said(document: Document, key: str) -> list[str]:
    """The lines under a key, also of a note that cannot be read for now: who searches has no time to mend it."""
    if document.model is not None:
        return [str(each) for each in getattr(document.model, key)]
    lines = document.raw.get(key)
    said: list[str] = []
    for each in lines if isinstance(lines, list) else []:
        # A colon inside an entry made a key of its beginning.
        said += [f"{left}: {right}" for left, right in each.items()] if isinstance(each, dict) else [str(each)]
    return said


def entries(view: View) -> Iterator[Entry]:
    """All that can be found in an edition, kind by kind; what a recipe says is what its own page shows.

    A document that cannot be read is found by its name alone: its text holds comments, which belong to no edition.
    """
    for kind in KINDS:
        addresses = {*view.documents[kind], *(view.recipes if kind == "recipe" else ())}
        for address in sorted(addresses):
            row = _shown(view, address) if kind == "recipe" else None
            document = row.document if row else view.documents[kind][address]
            model = document.model
            title = str(getattr(model, "title", None) or document.raw.get("title") or address)
            if isinstance(model, Run):
                title = dated_title(view, model)
            symptoms = _said(document, "symptoms") if kind == "failure" else []
            yield Entry(address, kind, title, " ".join([address, *symptoms]), " ".join(_texts(document.said)))


def _shown(view: View, address: str) -> Version | None:
    """The version a recipe's own page shows."""
    versions = view.versions(address)
    return (versions.current or versions.rows[-1]) if versions and versions.rows else None


def _texts(said: Any) -> list[str]:
    if isinstance(said, dict):
        return [text for value in said.values() for text in _texts(value)]
    if isinstance(said, list):
        return [text for value in said for text in _texts(value)]
    return [said] if isinstance(said, str) else []
