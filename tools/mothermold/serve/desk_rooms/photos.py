"""The photos that were chosen in a form: rebuilt at once, each with what was said of it, or why it is not taken."""

from __future__ import annotations

import re
from base64 import b64decode
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass, replace
from typing import Final

from mothermold.desk.forms.with_photos import ChosenPhoto
from mothermold.desk.photos import NewPhoto, new_photo
from mothermold.ground.errors import RefusedError
from mothermold.ground.notices import Notice
from mothermold.pages.desk.photo_fields import MOST_PHOTOS, PHOTO, SAID, PhotoSlot, carried_along
from mothermold.serve.desk_rooms.room import Visit

_FIELD: Final = re.compile(re.escape(PHOTO) + r"([0-9]{1,4})(?:\.([a-z]+))?")
_TOO_MANY: Final = Notice(
    "photo-refused", "error", f"More than {MOST_PHOTOS} photos were chosen at once, and this one is not taken.",
    "Write these first, then choose the others.",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class SentPhotos:
    """What became of the photos of a form.

    Attributes:
        chosen: The photos.
        slots: The places they were chosen in, as the page shows them again.
    """

    chosen: tuple[ChosenPhoto, ...]
    slots: tuple[PhotoSlot, ...]

    @property
    def stands(self) -> bool:
        """Whether none was refused."""
        return not any(each.told for each in self.slots)

    def refused(self, refusal: RefusedError) -> SentPhotos:
        """The same where what was said of them cannot stand; it is told at the first."""
        first, *others = self.slots
        return replace(self, slots=(replace(first, told=refusal.notices), *others))


def photos_of(visit: Visit) -> SentPhotos:
    """The photos that were chosen, in the order of the form."""
    chosen: list[ChosenPhoto] = []
    slots: list[PhotoSlot] = []
    for number in _numbers(visit):
        said = {key: text for key in SAID if (text := visit.one(f"{PHOTO}{number}.{key}").strip())}
        found = list(_files(visit, number))
        for name, data in found:
            slot = PhotoSlot(said, name=name)
            if len(chosen) == MOST_PHOTOS:
                slots.append(replace(slot, told=(_TOO_MANY,)))
                continue
            try:
                photo = new_photo(name, data)
            except RefusedError as refusal:
                slots.append(replace(slot, told=refusal.notices))
                continue
            chosen.append(_chosen(photo, said))
            slots.append(carried_along(chosen[-1], said))
        if not found and said:
            slots.append(PhotoSlot(said))
    return SentPhotos(tuple(chosen), tuple(slots))


def _chosen(photo: NewPhoto, said: dict[str, str]) -> ChosenPhoto:
    says = {key: text for key, text in said.items() if key not in ("part", "face")}
    face, _, seen_by = said.get("face", "").partition(" ")
    return ChosenPhoto(photo, {**says, "face": face, "visibility": seen_by}, said.get("part", ""))


def _numbers(visit: Visit) -> list[str]:
    names = [*(name for name, _text in visit.typed), *(each.field for each in visit.files)]
    return sorted({found[1] for name in names if (found := _FIELD.fullmatch(name))}, key=int)


def _files(visit: Visit, number: str) -> Iterator[tuple[str, bytes]]:
    """Each photo of a place, what it is called and its bytes: one that came back with the page is looked at as any other."""
    kept, name = visit.one(f"{PHOTO}{number}.kept"), visit.one(f"{PHOTO}{number}.name")
    if kept and not visit.one(f"{PHOTO}{number}.drop"):
        data = b""
        with suppress(ValueError):
            data = b64decode(kept, validate=True)
        yield name or "photo", data
    for each in visit.files:
        if each.field == f"{PHOTO}{number}":
            yield each.name, each.data
