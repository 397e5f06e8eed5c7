"""The whole view as plain data: every document as written, every version, nothing the edition does not hold."""

from __future__ import annotations

import json
from typing import Any

from mothermold.answers.question import question
from mothermold.answers.result import Result
from mothermold.answers.versions import row_data
from mothermold.book.document import Document
from mothermold.history.versions import Version
from mothermold.trade.cautions import all_cautions
from mothermold.view.view import View

EMPTY: dict[str, Any] = {"edition": None, "title": None, "documents": [], "versions": [], "cautions": []}


def _text(result: Result) -> str:
    return json.dumps(dict(result.data), ensure_ascii=False, indent=2) + "\n"


@question("export", empty=EMPTY, text=_text)
def export_book(view: View) -> Result:
    """Everything an edition holds.

    ``documents`` are the texts of today, ``versions`` those under each number, with the text shown for it and
    the earlier texts saved under the same number. Texts are as written: every value as it was typed.
    Each version says by step which cautions it calls for, under an empty name where it has no step yet; ``cautions``
    tells those, worst first. Its ``findings`` are the rules that apply along it, kept ones too.
    """
    documents = [
        {"kind": kind, "address": address, "file": document.file, "document": _said(document)}
        for kind, every in view.documents.by_kind().items()
        for address, document in every.items()
    ]
    versions = [
        {"recipe": address, **_version(view, address, row)}
        for address in view.recipes
        if (each := view.versions(address)) is not None
        for row in each.rows
    ]
    data = {
        "edition": view.edition,
        "title": view.settings.title,
        "documents": documents,
        "versions": versions,
        "cautions": _cautions(versions),
    }
    return Result(data, view.notices)


def _cautions(versions: list[dict[str, Any]]) -> list[dict[str, Any]]:
    wanted = {name for version in versions for names in version["cautions"].values() for name in names}
    return [
        {
            "id": each.id,
            "title": each.title,
            "words": list(each.words),
            "statements": [{"code": code, "text": text} for code, text in each.statements],
        }
        for each in all_cautions()
        if each.id in wanted
    ]


def _said(document: Document) -> Any:
    # What cannot be understood is kept as it lies in the file; only the private edition holds such documents.
    return document.said or document.raw or document.text


def _version(view: View, address: str, row: Version) -> dict[str, Any]:
    zone = view.settings.zone
    return {
        **row_data(view, row),
        "cautions": _steps_of(view, row),
        "findings": _findings(view, address, row),
        "document": _said(row.document),
        "amendments": [
            {"until": moment.astimezone(zone).isoformat(), "document": _said(earlier)}
            for moment, earlier in row.amendments
        ],
        "clash": _said(row.clash) if row.clash is not None else None,
    }


def _findings(view: View, address: str, row: Version) -> list[dict[str, Any]]:
    """Every rule that applies along a version, and what keeps it or why it is accepted."""
    if row.recipe is None:
        return []
    return [
        {
            "rule": each.rule.id,
            "step": each.at.step,
            "used": each.used,
            "meets": each.meets or None,
            "open": each.open,
            "kept_by": each.kept_by.step if each.kept_by else None,
            "tested": each.tested,
            "accepted": each.accepted,
        }
        for each in view.ruling.of_recipe(address, row.recipe)
    ]


def _steps_of(view: View, row: Version) -> dict[str, list[str]]:
    if row.recipe is None:
        return {}
    return {step: [each.id for each in every] for step, every in view.ruling.cautions(row.recipe).items()}
