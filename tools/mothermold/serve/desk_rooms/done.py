"""Where somebody is led once something stands in the book."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from mothermold.book.document import Document
from mothermold.book.files import Place, place_of
from mothermold.desk.drafts.failure import nearest_first
from mothermold.desk.drafts.questions import Draft
from mothermold.desk.linking import name_in_run
from mothermold.desk.photo_questions import who_sees
from mothermold.desk.shop import Shop, UnnotedTrouble
from mothermold.ground.errors import refused
from mothermold.model.failure import Failure
from mothermold.model.pictures import pictures_of
from mothermold.pages.desk.done import done_page
from mothermold.pages.page import Page
from mothermold.serve.desk_rooms.room import Visit
from mothermold.view.view import open_view

_MOST: int = 3


class DoneRoom:
    """What was written; of a failure note also which runs tell of it."""

    def show(self, visit: Visit) -> Page | None:
        """What stands in the book, and what comes next."""
        return None if visit.at else _page(visit, ())

    def take(self, visit: Visit) -> Page | str:
        """Writes the name of a failure note into a run that told of it in free words."""
        document, place = _document(visit), visit.one("place")
        run = visit.view.on("run").get(visit.one("run"))
        known = [
            each for each in _troubles(visit, document) if each.name == visit.one("run") and str(each.place) == place
        ]
        if document is None or document.kind != "failure" or run is None or not known:
            raise refused("not-written", "That run tells of nothing without a name any more.", "Nothing was written.")
        draft = Draft(document.kind, document.address, document.file, document.text, tuple(known[:1]))
        said = name_in_run(draft, run, visit.view.root)
        found = _page(replace(visit, view=open_view(visit.view.root, "private")), (said,))
        assert found is not None
        return found


def _page(visit: Visit, lines: Sequence[str]) -> Page | None:
    document = _document(visit)
    if document is None:
        return None
    paper = visit.paper("desk/done")
    lines = (*_photos(visit, document), *lines)
    return done_page(paper, document, visit.one("from"), _troubles(visit, document)[:_MOST], lines)


def _photos(visit: Visit, document: Document) -> Iterator[str]:
    """Of each photo that came in with it, who sees it."""
    for picture in pictures_of(document.model).values() if document.model is not None else ():
        if picture.file in visit.all("photo"):
            more = " Say in its form whether a face can be seen, and others may." if picture.face is None else ""
            yield f"Photo, {picture.alt}: {who_sees(document, picture)}{more}"


def _document(visit: Visit) -> Document | None:
    file = visit.one("file")
    place = place_of(file) if file.startswith("recipes/") else None
    document = visit.view.on(place.kind).get(place.address) if isinstance(place, Place) else None
    return document if document is not None and document.file == file else None


def _troubles(visit: Visit, document: Document | None) -> Sequence[UnnotedTrouble]:
    note = document.model if document is not None else None
    if not isinstance(note, Failure):
        return ()
    return nearest_first(" ".join([note.title, *note.symptoms]), Shop(visit.view).troubles())
