"""The page of one document, of every kind but recipes."""

from __future__ import annotations

from functools import cache
from types import ModuleType
from typing import Any

from mothermold.book.document import Document
from mothermold.model.kinds import KINDS, Kind, own_module
from mothermold.pages.addresses import Links, LinksOf, page_of
from mothermold.pages.content import Content
from mothermold.pages.page import Page, render
from mothermold.pages.saying import words
from mothermold.pages.strip import document_strips
from mothermold.pages.wording import document_rows
from mothermold.view.view import View


@cache
def _own(kind: Kind) -> ModuleType | None:
    return own_module(f"mothermold.pages.{kind.plural}")


def content_of(view: View, kind: Kind, document: Document[Any]) -> Content:
    """What is shown of a document that can be read; of a kind without a module of its own all fields stand in rows."""
    if own := _own(kind):
        shown: Content = own.content(view, document)
        return shown
    title = getattr(document.model, "title", None) or document.address
    return Content(title, words(kind.called.capitalize()), words(document.address))


def document_page(view: View, word: str, address: str, linked: LinksOf = Links) -> Page:
    """The page of one document; one that cannot be read shows what is wrong with it."""
    kind, document = KINDS[word], view.on(word)[address]
    page = page_of(word, address)
    notices = tuple(notice for notice in view.touching({document.file}) if notice.file is not None)
    if document.model is None:
        return render(
            view, "unreadable.html", page, address, linked, document=document, called=kind.called, notices=notices
        )
    shown = content_of(view, kind, document)
    rows = document_rows(view, document, shown.paths)
    return render(
        view,
        "content.html",
        page,
        shown.title,
        linked,
        glossed=kind.word == "failure",
        kind=kind,
        shown=shown,
        notices=notices,
        rows=rows,
        strips=document_strips(view, document),
    )
