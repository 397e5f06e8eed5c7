"""A handout made within the process and read back: its words without white space, and its structure."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from os.path import commonprefix
from typing import Any

from pypdf import PdfReader
from pypdf.generic import DictionaryObject

from mothermold.handouts.command import MadeHandout, make_handout
from mothermold.handouts.sheaf import Paper
from mothermold.view.view import View


def made(view: View, of: str, kind: str | None = None, paper: Paper = "a4") -> MadeHandout:
    return make_handout(view, of, kind, paper)


def pdf_of(view: View, of: str, kind: str | None = None, paper: Paper = "a4") -> bytes:
    return made(view, of, kind, paper).printed.pdf


def reader(pdf: bytes) -> PdfReader:
    return PdfReader(io.BytesIO(pdf))


def squeezed(text: str) -> str:
    """A text as it can be looked for on paper: lines break anywhere, so white space says nothing."""
    return re.sub(r"\s+", "", text)


def words_of(pdf: bytes) -> str:
    """All that stands on its pages, without white space and without what stands around every page alike."""
    pages = [re.sub(r"page\d+of\d+$", "", squeezed(page.extract_text())) for page in reader(pdf).pages]
    head = len(commonprefix(pages)) if len(pages) > 1 else 0
    foot = len(commonprefix([page[::-1] for page in pages])) if len(pages) > 1 else 0
    return pages[0][:head] + "".join(page[head : len(page) - foot] for page in pages) + pages[-1][len(pages[-1]) - foot :]


def structure(pdf: bytes) -> list[DictionaryObject]:
    """Every element of the structure that is read aloud, in order."""
    return list(_elements(reader(pdf).trailer["/Root"]["/StructTreeRoot"]))  # type: ignore[index]


def _elements(node: Any) -> Iterator[DictionaryObject]:
    node = node.get_object() if hasattr(node, "get_object") else node
    if isinstance(node, DictionaryObject):
        if "/S" in node:
            yield node
        kids = node.get("/K")
        kids = kids.get_object() if hasattr(kids, "get_object") else kids
        for kid in kids if isinstance(kids, list) else [kids]:
            yield from _elements(kid)
