"""Who sees what, and what must be opened with a document before somebody else sees it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from mothermold.answers.open_needs import find_needs, lines_of, tell_needs
from mothermold.answers.result import Result
from mothermold.book.document import Document
from mothermold.desk.forms.making import form_of
from mothermold.desk.forms.with_photos import keep_fields
from mothermold.desk.heard import Heard
from mothermold.desk.opening import open_for
from mothermold.ground.errors import refused
from mothermold.model.kinds import KINDS
from mothermold.pages.desk.keeping import EDITIONS_AT, editions_page, opening_page, opens_of
from mothermold.pages.page import Page
from mothermold.serve.desk_rooms.room import Visit
from mothermold.view.editions import EDITIONS, Edition, admits, visibility_of
from mothermold.view.needs import READERS
from mothermold.view.view import View, open_view

_NEEDING = ("recipe", "course")
"""Kinds that are seen only where what they name is."""


class EditionsRoom:
    """Every document with who sees it, and each with what it takes to change that."""

    def show(self, visit: Visit) -> Page | None:
        """The list, or one document."""
        if not visit.at:
            return editions_page(visit.paper(EDITIONS_AT))
        return _page(visit, ())

    def take(self, visit: Visit) -> Page | str:
        """Opens a document to somebody, or keeps it to oneself."""
        document, to = _document(visit), _edition(visit.one("to"))
        if document is None or document.model is None:
            raise refused("not-opened", "That document cannot be read.", "Mend it first.")
        view, root = visit.view, visit.view.root
        if document.kind in _NEEDING and not admits(to, visibility_of(document)):
            if opens_of(_needs(view, document, to)) != visit.one("opens"):
                raise refused("changed-meanwhile", "What must be opened is not what it was, so nothing was opened.", "Look again.")  # fmt: skip
            lines = lines_of(open_for(root, document.address, to, Heard(agrees=True), yes=True, asks=False).data)
        else:
            keep_fields(view, form_of(view, document.kind, document.address), [(("visibility",), to)])
            lines = [f"{document.file} says now that {READERS[to]} may see it."]
        found = _page(replace(visit, view=open_view(root, "private")), [*lines, "`mothermold save` keeps it; only then is it seen."])  # fmt: skip
        assert found is not None
        return found


def _page(visit: Visit, lines: Sequence[str]) -> Page | None:
    document = _document(visit)
    if document is None:
        return None
    paper = visit.paper(f"{EDITIONS_AT}/{visit.at}")
    wider = [each for each in EDITIONS if not admits(each, visibility_of(document))]
    is_needing = document.kind in _NEEDING and document.model is not None
    needs: dict[str, Result] = {each: _needs(visit.view, document, each) for each in wider} if is_needing else {}
    return opening_page(paper, document, needs, lines)


def _document(visit: Visit) -> Document | None:
    kind, _, address = visit.at.partition("/")
    return visit.view.on(kind).get(address) if kind in KINDS and KINDS[kind].has_pages else None


def _edition(to: str) -> Edition:
    found = next((each for each in EDITIONS if each == to), None)
    if found is None:
        raise refused("unknown-edition", f"Nothing is opened to `{to}`.", "Choose one below.")
    return found


def _needs(view: View, document: Document, to: Edition) -> Result:
    return tell_needs(view, find_needs(view, document.address, to), to)
