"""*Photos* of something the book has, with nothing else of it on the page."""

from __future__ import annotations

from dataclasses import replace

from mothermold.book.document import Document
from mothermold.desk.forms.making import form_of
from mothermold.desk.forms.with_photos import keep_fields
from mothermold.desk.photo_places import SHOW_PHOTOS
from mothermold.ground.errors import RefusedError, refused
from mothermold.pages.desk.paper import done_at
from mothermold.pages.desk.photo_fields import fields_for
from mothermold.pages.desk.photo_page import PHOTO_ROOM, photo_page
from mothermold.pages.page import Page
from mothermold.serve.desk_rooms.photos import SentPhotos, photos_of
from mothermold.serve.desk_rooms.room import Visit


class PhotoRoom:
    """Of what they are, then the photos.

    Attributes:
        at: Where it lies.
        sends: Whether they go into the inbox.
    """

    at: str = PHOTO_ROOM
    sends: bool = False

    def show(self, visit: Visit) -> Page | None:
        """What can be chosen, or the places for photos of what was chosen."""
        return None if visit.at else self._page(visit, photos_of(visit))

    def take(self, visit: Visit) -> Page | str:
        """Takes the photos."""
        document, photos = _document(visit), photos_of(visit)
        if document is None:
            raise refused("unknown-reference", "It was not said what the photos are of.", "Choose it below.")
        if visit.one("_do") != "write" or not photos.stands:
            return self._page(visit, photos)
        if not photos.chosen:
            raise refused("not-written", "No photo was chosen, so nothing was written.", "Choose one, or go back.")
        try:
            return self._write(visit, document, photos)
        except RefusedError as refusal:
            return self._page(visit, photos.refused(refusal))

    def _write(self, visit: Visit, document: Document, photos: SentPhotos) -> str:
        view = visit.view
        files = keep_fields(view, form_of(view, document.kind, document.address), (), photos.chosen)
        return done_at(document.file, self.at, files)

    def _page(self, visit: Visit, photos: SentPhotos) -> Page:
        document = _document(visit)
        fields = replace(fields_for(visit.view, document, photos.slots), sends=self.sends) if document else None
        return photo_page(visit.paper(self.at), visit.one("to") if document else "", fields)


def _document(visit: Visit) -> Document | None:
    """What the photos are of, where the edition holds it and it can be read."""
    kind, _, name = visit.one("to").partition("/")
    document = visit.view.on(kind).get(name) if kind in SHOW_PHOTOS else None
    return document if document is not None and document.model is not None else None
