"""The index of the find box: titles and symptoms, failures first."""

from __future__ import annotations

import json

from mothermold.answers.records import run_title
from mothermold.model.failure import Failure
from mothermold.model.run import Run
from mothermold.site.addresses import page_of
from mothermold.view.view import View

FILE = "assets/find-index.js"


def find_index(view: View) -> str:
    """A script that lays the index down as (page, title, kind, other words), so that it loads from a folder too."""
    entries: list[tuple[str, str, str, str]] = []
    for kind in ("failure", "recipe", "material", "build", "mold", "course", "run"):
        addresses = (
            sorted({*view.recipes, *view.documents["recipe"]}) if kind == "recipe" else sorted(view.documents[kind])
        )
        entries += [(page_of(kind, address), *_words(view, kind, address)) for address in addresses]
    # `</` must not end the script element a page might put this into.
    text = json.dumps(entries, ensure_ascii=False, separators=(",", ":")).replace("</", "<\\/")
    return f"window.mothermoldFind = {text};\n"


def _words(view: View, kind: str, address: str) -> tuple[str, str, str]:
    document = view.documents[kind].get(address)
    model = document.model if document else None
    if kind == "recipe":
        versions = view.versions(address)
        row = (versions.current or versions.rows[-1]) if versions and versions.rows else None
        model = row.recipe if row else model
    title = getattr(model, "title", None) or address
    if isinstance(model, Run):
        title = f"{run_title(view, model)}, {model.started.date().isoformat()}"
    said = kind
    words = [address]
    if isinstance(model, Failure):
        said = "failure"
        words += [str(symptom) for symptom in model.symptoms]
    return str(title), said, " ".join(words)
