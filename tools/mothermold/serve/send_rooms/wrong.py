"""*It went wrong* on a phone: the words, whether it is one of these, and a failure note for the inbox where it is none."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from mothermold.desk.forms.trees import Pairs
from mothermold.desk.noted import noted_failure, with_photos
from mothermold.ground.errors import RefusedError, refused
from mothermold.ground.notices import Notice
from mothermold.model.recipe import Recipe
from mothermold.model.walk import KeyPath
from mothermold.pages.desk.made import blank
from mothermold.pages.desk.photo_fields import photo_fields
from mothermold.pages.desk.sending import NOTE, SEND_WRONG, note_page
from mothermold.pages.page import Page
from mothermold.serve.desk_rooms.photos import SentPhotos, photos_of
from mothermold.serve.desk_rooms.room import Visit
from mothermold.serve.desk_rooms.wrong import WrongRoom
from mothermold.serve.send_rooms.posting import Posting, offered
from mothermold.trade.vocabulary import STAGES
from mothermold.view.view import View

_NAMES = {
    "title": "title", "symptoms": "symptoms", "seen_at": "seen_at", "noticed": "noticed", "now": "now", "happened": "happened",
    "causes": "_cause", "fixes": "_fix", "harm": "harm",
}  # fmt: skip


class SendWrongRoom(WrongRoom):
    """The words, and whether it is one of these."""

    at = SEND_WRONG

    def take(self, visit: Visit) -> Page | str:  # noqa: ARG002 - every room is asked alike
        """Refuses what is sent."""
        raise refused("not-written", "Nothing is sent from here.", "Say it in words, then go on from what is found.")


class NoteRoom:
    """A failure note."""

    def __init__(self, posting: Posting) -> None:
        self._posting = posting

    def show(self, visit: Visit) -> Page | None:
        """The note, begun with the words that were shouted."""
        return None if visit.at else _page(visit, {})

    def take(self, visit: Visit) -> Page | str:
        """Sends the note."""
        if visit.one("_do") == "again":
            return _page(visit, {})
        view = visit.view
        offered(visit, "seen_at", _stages(view))
        offered(visit, "noticed", sorted(view.models(Recipe)))
        made, photos = noted_failure(view, _pairs(visit)), photos_of(visit)
        if visit.one("_do") != "write" or not made.stands or not photos.stands:
            return _page(visit, made.notices, photos)
        try:
            kept = with_photos(made.text, photos.chosen)
        except RefusedError as refusal:
            return _page(visit, made.notices, photos.refused(refusal))
        return self._posting.post("failure note", kept.text, made.address, NOTE, kept.files)


def _pairs(visit: Visit) -> Pairs:
    """What the whole form would be sent."""
    pairs: list[tuple[KeyPath, str]] = [
        ((name,), visit.one(name).strip()) for name in ("title", "seen_at", "noticed", "happened", "harm")
    ]
    for name in ("symptoms", "now"):
        pairs += [((name,), line.strip()) for line in visit.one(name).split("\n") if line.strip()]
    for name, rows, key in (("_cause", "causes", "what"), ("_fix", "fixes", "do")):
        if said := visit.one(name).strip():
            pairs += [((rows,), "+1"), ((rows, "+1", key), said)]
    return pairs


def _page(visit: Visit, told: Mapping[KeyPath, Sequence[Notice]], photos: SentPhotos | None = None) -> Page:
    view = visit.view
    fields = replace(photo_fields("failure", (photos or photos_of(visit)).slots), sends=True)
    recipes = sorted((address, str(recipe.title)) for address, recipe in view.models(Recipe).items())
    paper = visit.paper(NOTE)
    return note_page(
        paper,
        " ".join(visit.one("words").split()),
        blank(visit.typed, told, _NAMES),
        _stages(view),
        recipes,
        photos=fields,
    )


def _stages(view: View) -> list[str]:
    """The stages of the trade, and those of the book's own that a recipe of the edition is at."""
    own = {address.partition("/")[0] for address in view.models(Recipe)}
    return [each for each in view.words.stages if each in STAGES or each in own]
