"""Photos of something the book has: of what, and which; at the desk, and on a phone for the inbox."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from mothermold.answers.records import dated_title
from mothermold.desk.asking import Offer
from mothermold.desk.photo_places import SHOW_PHOTOS
from mothermold.model.kinds import KINDS
from mothermold.model.run import Run
from mothermold.pages.desk.paper import DeskPaper
from mothermold.pages.desk.photo_fields import PhotoFields
from mothermold.pages.page import Page
from mothermold.view.view import View

PHOTO_ROOM: Final = "desk/photo"
_NEWEST_RUNS: Final = 30


def shown_things(view: View) -> Iterator[tuple[str, list[Offer]]]:
    """All that photos can be of, by kind, the runs of late first; only what the edition holds."""
    for kind in SHOW_PHOTOS:
        found = [Offer(f"{kind}/{name}", _called(view, each)) for name, each in _documents(view, kind)]
        if found:
            yield KINDS[kind].plural.capitalize() if kind != "failure" else "Failure notes", found


def photo_page(paper: DeskPaper, to: str, photos: PhotoFields | None) -> Page:
    """The page.

    Args:
        paper: The page.
        to: What they are of, by its kind and name; empty where nobody said yet.
        photos: The places for photos; None likewise.
    """
    kind, _, name = to.partition("/")
    document = paper.view.on(kind).get(name) if kind in SHOW_PHOTOS else None
    title = f"Photos: {_called(paper.view, document.model)}" if document is not None else "Photos"
    return paper.page("desk_photo.html", title, target=to, photos=photos, things=list(shown_things(paper.view)))


def _documents(view: View, kind: str) -> Sequence[tuple[str, object]]:
    found = [(name, each.model) for name, each in view.on(kind).items() if each.model is not None]
    if kind != "run":
        return sorted(found, key=lambda each: _called(view, each[1]))
    runs = [(name, model) for name, model in found if isinstance(model, Run)]
    return sorted(runs, key=lambda each: each[1].started, reverse=True)[:_NEWEST_RUNS]


def _called(view: View, model: object) -> str:
    return dated_title(view, model) if isinstance(model, Run) else str(getattr(model, "title", ""))
