"""A handout made within the process and read back: its words without white space, and its structure."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from typing import Any, Final

from pypdf import PageObject, PdfReader
from pypdf.generic import ContentStream, DictionaryObject, NameObject

from mothermold.handouts.command import MadeHandout, make_handout
from mothermold.handouts.sheaf import Paper
from mothermold.view.view import View

ARTIFACT: Final = re.compile(rb"/Artifact\s*(?:<<.*?>>)?\s*B[DM]C.*?EMC", re.DOTALL)


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
    """All that is read aloud of it, without white space: what stands around every page is marked as no part of it."""
    read = reader(pdf)
    return squeezed("".join(_body(page, read).extract_text() for page in read.pages))


def _body(page: PageObject, read: PdfReader) -> PageObject:
    """A page without its artifacts."""
    content = ContentStream(page.get_contents(), read, "bytes")
    content.set_data(ARTIFACT.sub(b"", content.get_data()))
    page[NameObject("/Contents")] = content
    return page


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
