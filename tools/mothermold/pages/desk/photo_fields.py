"""The fields in which photos are chosen, and said what they show: as many as were chosen, and one more."""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from mothermold.book.document import Document
from mothermold.book.pixels import rebuilt
from mothermold.desk.asking import Offer
from mothermold.desk.forms.with_photos import ChosenPhoto
from mothermold.desk.photo_places import parts_of, place_in
from mothermold.desk.photo_questions import SHOWS, VIEWS
from mothermold.ground.notices import Notice
from mothermold.view.view import View

AGAIN: Final = ("_photos", "again")
"""What an address says where photos were chosen on the page before: nothing but a form carries them."""
PHOTO: Final = "_photo."
"""Before the number of a place for a photo, under which its file is sent, and before all that is said of it there."""
FACES: Final = (
    Offer("no", "no: whoever reads this sees it"),
    Offer("yes", "yes: only I see it"),
    Offer("yes class", "yes, and they agreed that a class sees it"),
    Offer("yes public", "yes, and they agreed that everybody sees it"),
)
"""What can be said of somebody's face, and who then sees the photo; nothing is nobody else."""
SAID: Final = ("part", "view", "as", "alt", "face", "caption", "taken", "light", "camera")
"""What is said of a photo: by the keys of a document, but where it belongs, and the face with who may see it."""
MOST_PHOTOS: Final = 12
"""Photos of one form; a casting from all sides and its edges is eight."""
MOST_BYTES: Final = 64 * 1024 * 1024
"""Bytes they may have together: a dozen as a phone takes them, or one of the largest."""
_SPARE: Final = 2
_SMALL: Final = 240


@dataclass(frozen=True, slots=True)
class PhotoSlot:
    """A place for a photo.

    Attributes:
        says: What was said in it, by ``SAID``.
        told: Why what was chosen in it was not taken.
        name: What the file was called that was chosen in it; empty where none was.
        kept: The photo as the page carries it along, so that it is not chosen again; empty where none was.
        small: The same to be seen, as an address.
    """

    says: Mapping[str, str]
    told: tuple[Notice, ...] = ()
    name: str = ""
    kept: str = ""
    small: str = ""

    def said(self, key: str) -> str:
        """What was said; empty for nothing."""
        return self.says.get(key, "")


@dataclass(frozen=True, slots=True)
class PhotoFields:
    """The places for photos on a page.

    Attributes:
        slots: What was chosen, each; behind them one that is free.
        parts: The steps or things a photo may show; none where it can only be the whole.
        whole: What the whole is called.
        shows: What a photo may be one of: before, after, good, bad.
        alt: What it says where nothing is said of what can be seen; empty where nobody knows yet.
        spare: How many more places there are for who has no scripts.
        first: The number of the first; of several such fields on a page each has its own.
        again: Whether photos were chosen on the page before, and did not come along.
        sends: Whether the page goes to a phone, which can take one now.
        most: How many photos are taken at once.
        most_bytes: How many bytes they may have together.
    """

    slots: tuple[PhotoSlot, ...]
    parts: Sequence[Offer] = ()
    whole: str = ""
    shows: Sequence[Offer] = ()
    alt: str = ""
    views: Sequence[Offer] = tuple(VIEWS)
    faces: Sequence[Offer] = FACES
    spare: int = _SPARE
    first: int = 1
    again: bool = False
    sends: bool = False
    most: int = MOST_PHOTOS
    most_bytes: int = MOST_BYTES

    @property
    def speaks(self) -> bool:
        """Whether anything was chosen or said."""
        return any(each.told or each.name or any(each.says.values()) for each in self.slots)


def photo_fields(
    kind: str, slots: Sequence[PhotoSlot], parts: Sequence[Offer] = (), whole: str = "", alt: str = ""
) -> PhotoFields:
    """The places for photos of a document.

    Args:
        kind: The document's kind.
        slots: What was chosen.
        parts: The steps or things a photo may show.
        whole: What the whole is called.
        alt: What a photo of it says where nobody says anything.
    """
    return PhotoFields((*slots, PhotoSlot({})), parts, whole, SHOWS.get(kind, ()), alt)


def fields_for(view: View, document: Document, slots: Sequence[PhotoSlot] = ()) -> PhotoFields:
    """The places for photos of a document of the book.

    Args:
        view: The book.
        document: The document, which can be read.
        slots: What was chosen.
    """
    alt, title = place_in(view, document).alt(), str(getattr(document.model, "title", ""))
    return photo_fields(document.kind, slots, parts_of(document.model), title, alt)


def carried_along(chosen: ChosenPhoto, said: Mapping[str, str]) -> PhotoSlot:
    """The place of a photo on a page that comes back: it is in the page itself, and need not be chosen again.

    Args:
        chosen: The photo.
        said: What was said of it.
    """
    photo = chosen.photo
    taken = said.get("taken") or photo.made.taken
    return PhotoSlot(
        {**said, "taken": taken}, name=photo.name, kept=_letters(photo.made.data), small=small_photo(photo.made.data)
    )


def small_photo(data: bytes) -> str:
    """A photo to be seen on a page that is made once, as an address; empty where it cannot be shown."""
    small = rebuilt(data, _SMALL)
    return f"data:image/jpeg;base64,{_letters(small.data)}" if not isinstance(small, str) else ""


def _letters(data: bytes) -> str:
    return b64encode(data).decode("ascii")
