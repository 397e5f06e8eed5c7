"""The room in which a document is begun: from nothing, from another recipe, or from an old note."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from mothermold.desk.forms.carried import packed
from mothermold.desk.forms.deeds import begun_with
from mothermold.desk.forms.making import form_of
from mothermold.desk.forms.old_notes import from_text
from mothermold.desk.forms.trees import name_of
from mothermold.ground.errors import RefusedError
from mothermold.model.kinds import KINDS
from mothermold.pages.desk.begin_page import FROM, LINE, NOTE, note_page
from mothermold.pages.desk.form_page import DO, OPENED
from mothermold.pages.page import Page
from mothermold.serve.desk_rooms.document import DocumentRoom
from mothermold.serve.desk_rooms.room import Visit

RECIPE: Final = "recipe"
# What another recipe says of itself, and a new one does not.
_ANEW: Final = (("version", "1"), ("status", "draft"), ("why", ""), ("fixes", ""), ("formerly", ""))


class NewRoom:
    """Where a document is begun."""

    def __init__(self) -> None:
        self._room = DocumentRoom()

    def show(self, visit: Visit) -> Page | None:
        """The form of a new document, begun with what the address says."""
        if _is_there(visit):
            return DocumentRoom(visit.at).show(visit)
        if visit.at == RECIPE and (name := visit.one(FROM)) and not visit.one(OPENED):
            try:
                text = form_of(visit.view, RECIPE, name).text
            except RefusedError:
                return None
            visit = replace(visit, typed=(*_ANEW, (OPENED, packed(text))))
        return self._room.show(visit)

    def take(self, visit: Visit) -> Page | str:
        """Takes what was typed, or takes a note apart and begins a recipe with it."""
        if _is_there(visit):
            return DocumentRoom(visit.at).take(visit)
        pressed = visit.one(DO)
        if visit.at != RECIPE or pressed not in ("note", "begin"):
            return self._room.take(visit)
        note = from_text(visit.view, visit.one(NOTE))
        if pressed == "note":
            return note_page(visit.view, note, visit.one(NOTE), visit.seal)
        chosen = {line.number: visit.one(f"{LINE}{line.number}") for line in note.lines if line.taken == "part"}
        typed = [(name_of(path), text) for path, text in begun_with(note.said(chosen))]
        page = self._room.show(replace(visit, typed=(*typed, (OPENED, packed("")))))
        assert page is not None
        return page


def _is_there(visit: Visit) -> bool:
    """Whether there can be only one of the kind, as the settings, and there is."""
    return visit.at in KINDS and not KINDS[visit.at].plural and bool(visit.view.on(visit.at))
