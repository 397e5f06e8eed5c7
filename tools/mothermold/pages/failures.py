"""The page of a failure note: where it happened, and whether its fixes held."""

from __future__ import annotations

from typing import Any, Final

from mothermold.answers.records import runs_with
from mothermold.book.document import Document
from mothermold.model.failure import Failure
from mothermold.pages.evidence import failure_evidence
from mothermold.pages.runs import entries
from mothermold.view.view import View

SHOWN: Final = (
    "title", "seen_at", "noticed", "caused_at", "symptoms", "now", "do_not", "happened", "causes", "fixes", "prevent",
    "harm",
)  # fmt: skip


def details(view: View, document: Document[Failure]) -> dict[str, Any]:
    """What the page of a failure note shows beside the note itself."""
    happened = runs_with(view, document.address)
    listed = entries(view, [run for run, _ in happened])
    return {
        "happened_in": [(entry, went) for entry, (_, went) in zip(listed, happened, strict=True)],
        **failure_evidence(view, document.address, document.model),
    }
