"""The emergency card of the book: whom to call from this place."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Final

from mothermold.desk.forms.form import Form
from mothermold.desk.forms.keeping import keep
from mothermold.desk.forms.making import filled, form_of
from mothermold.desk.forms.sending import sent
from mothermold.desk.forms.trees import Pairs, path_of
from mothermold.ground.notices import Notice
from mothermold.model.walk import KeyPath
from mothermold.pages.desk.keeping import EMERGENCY_AT, emergency_page
from mothermold.pages.desk.paper import done_at
from mothermold.pages.page import Page
from mothermold.serve.desk_rooms.room import Visit

_CARD: Final = "emergency"


class EmergencyRoom:
    """The card."""

    def show(self, visit: Visit) -> Page | None:
        """Its fields."""
        if visit.at or "book" not in visit.view.on("book"):
            return None
        form = form_of(visit.view, "book", "book")
        return _page(visit, form, {}) if form.sections else None

    def take(self, visit: Visit) -> Page | str:
        """Writes it."""
        form = form_of(visit.view, "book", "book")
        if visit.one("digest") != form.digest:
            return _page(visit, form, {}, changed=True)
        made = sent(visit.view, form, _pairs(visit))
        if not made.stands:
            return _page(visit, form, made.notices)
        if keep(visit.view, form, made) is not None:
            return _page(visit, form_of(visit.view, "book", "book"), {}, changed=True)
        return done_at(form.file, EMERGENCY_AT)


def _pairs(visit: Visit) -> Pairs:
    return [(path_of(name), text) for name, text in visit.typed if name.partition(".")[0] == _CARD]


def _page(visit: Visit, form: Form, told: Mapping[KeyPath, Sequence[Notice]], *, changed: bool = False) -> Page:
    there = {each.path: each.value for each in form.fields if each.path[0] == _CARD}
    fields = [each for each in filled(visit.view, form, _pairs(visit)).fields if each.path[0] == _CARD]
    if changed:
        fields = [replace(each, help=f"{each.help} The book says: {there[each.path] or 'nothing'}.") for each in fields]
    paper = visit.paper(EMERGENCY_AT)
    return emergency_page(paper, fields, form.digest, told, changed=changed)
