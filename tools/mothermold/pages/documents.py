"""The page of one document, of every kind but recipes."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cache
from typing import Any

from mothermold.answers.records import run_title
from mothermold.answers.result import title_words
from mothermold.book.document import Document
from mothermold.model.kinds import KINDS, Kind, own_module
from mothermold.model.run import Run
from mothermold.pages.addresses import page_of
from mothermold.pages.page import Page, has_template, render
from mothermold.pages.wording import document_rows
from mothermold.view.view import View


@dataclass(frozen=True, slots=True)
class _Own:
    """What the page of a kind shows in its own way.

    Attributes:
        shown: The keys that stand at a place of their own; all others stand in rows.
        details: What the template needs beside the document.
        template: Its template.
    """

    shown: tuple[str, ...] = ("title",)
    details: Callable[[View, Document[Any]], dict[str, Any]] = lambda _view, _document: {}
    template: str = "document.html"


@cache
def _own(kind: Kind) -> _Own:
    template, module = f"{kind.word}.html", own_module(f"mothermold.pages.{kind.plural}")
    own = _Own(module.SHOWN, module.details) if module is not None else _Own()
    return replace(own, template=template) if has_template(template) else own


def document_page(view: View, word: str, address: str) -> Page:
    """The page of one document; one that cannot be read shows what is wrong with it."""
    kind, document = KINDS[word], view.on(word)[address]
    page = page_of(word, address)
    notices = tuple(notice for notice in view.touching({document.file}) if notice.file is not None)
    if document.model is None:
        return render(view, "unreadable.html", page, address, document=document, called=kind.called, notices=notices)
    model = document.model
    title = run_title(view, model) if isinstance(model, Run) else getattr(model, "title", None) or address
    own = _own(kind)
    return render(
        view,
        own.template,
        page,
        title,
        kind=kind,
        address=address,
        document=document,
        it=model,
        notices=notices,
        titles=title_words(view),
        rows=document_rows(view, document, own.shown),
        **own.details(view, document),
    )
