"""Which field of a form a notice is about, from where in the text it stands."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from typing import Any

from mothermold.book.document import Document
from mothermold.book.tree import value_at
from mothermold.desk.forms.rewriting import form_path
from mothermold.ground.notices import Notice
from mothermold.ground.spans import Span
from mothermold.model.expected import keys_of, model_in, type_at
from mothermold.model.kinds import KINDS
from mothermold.model.walk import KeyPath


def by_field(
    document: Document, tree: Mapping[str, Any], notices: Iterable[Notice]
) -> dict[KeyPath, tuple[Notice, ...]]:
    """Notices by the paths of the fields they are about; under ``()`` those of the whole document.

    Args:
        document: What they are said of.
        tree: What a form holds of it.
        notices: Those of its file.
    """
    found: dict[KeyPath, list[Notice]] = defaultdict(list)
    for notice in notices:
        found[form_path(tree, _place(document, notice))].append(notice)
    return {path: tuple(each) for path, each in found.items()}


def _place(document: Document, notice: Notice) -> KeyPath:
    """Where in the document a notice stands."""
    if notice.line is None:
        return ()
    at = (notice.line, notice.column or 1)
    spans = [*document.tree.keys.items(), *document.tree.values.items()]
    begun = sorted({path for path, span in spans if (span.line, span.column) == at}, key=len)
    if notice.code == "missing-key":
        for path in begun:
            if key := _lacking(document, path, notice):
                return (*path, key)
    if begun:
        return begun[-1]
    around = [path for path, span in spans if _holds(span, at)]
    return max(around, key=len, default=())


def _lacking(document: Document, path: KeyPath, notice: Notice) -> str:
    """The key a group lacks, by the notice that says so."""
    group, raw = model_in(type_at(KINDS[document.kind].model, path)), value_at(document.tree.raw, path)
    if group is None or not isinstance(raw, dict):
        return ""
    lacking = [key for key in keys_of(group) if key not in raw]
    for words in (notice.message, notice.help):
        for key in lacking:
            if f"`{key}`" in words or f"`{key}:" in words:
                return key
    return ""


def _holds(span: Span, at: tuple[int, int]) -> bool:
    return (span.line, span.column) <= at <= (span.end_line, span.end_column)
