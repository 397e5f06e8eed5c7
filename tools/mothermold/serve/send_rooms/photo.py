"""*Photos* on a phone: of something the edition holds, for the inbox."""

from __future__ import annotations

from mothermold.book.document import Document
from mothermold.desk.forms.with_photos import ChosenPhoto
from mothermold.desk.noted import noted_photos
from mothermold.desk.photo_places import parts_of
from mothermold.ground.errors import refused
from mothermold.model.kinds import KINDS
from mothermold.pages.desk.sending import SEND_PHOTO
from mothermold.serve.desk_rooms.photo_room import PhotoRoom
from mothermold.serve.desk_rooms.photos import SentPhotos
from mothermold.serve.desk_rooms.room import Visit
from mothermold.serve.send_rooms.posting import Posting


class SendPhotoRoom(PhotoRoom):
    """Of what they are, then the photos."""

    at = SEND_PHOTO
    sends = True

    def __init__(self, posting: Posting) -> None:
        self._posting = posting

    def _write(self, visit: Visit, document: Document, photos: SentPhotos) -> str:  # noqa: ARG002 - every room is asked alike
        parts = {offer.value for offer in parts_of(document.model)}
        groups: dict[str, list[ChosenPhoto]] = {}
        for each in photos.chosen:
            if each.part and each.part not in parts:
                raise refused(
                    "photo-nowhere", f"`{each.part}` is not among what can be chosen here.", "Choose from the list."
                )
            groups.setdefault(each.part, []).append(each)
        to = document.address if document.kind == "recipe" else f"{KINDS[document.kind].plural}/{document.address}"
        noted = [noted_photos(to, part, chosen) for part, chosen in groups.items()]
        stem = "photos-" + document.address.replace("/", "-")[:40].strip("-")
        return [self._posting.post("set of photos", each.text, stem, self.at, each.files) for each in noted][-1]
