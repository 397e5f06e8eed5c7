"""Drawings and photos on a page: how they stand together, which files of the site they are, and what is still to be taken."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from datetime import datetime
from typing import Final

from mothermold.book.photos import is_photo_name
from mothermold.book.pictures import Drawing
from mothermold.model.pictures import Picture, PictureFile
from mothermold.model.run import Run
from mothermold.model.walk import KeyPath
from mothermold.pages.addresses import photo_page, picture_page
from mothermold.pages.content import Widget
from mothermold.view.pictured import pictured
from mothermold.view.showing import LARGE, SMALL, ShownPhoto
from mothermold.view.view import View

_PAIRS: Final = (frozenset({"good", "bad"}), frozenset({"before", "after"}))
_PHOTO_PAGE: Final = re.compile(rf"photos/(.+)-({SMALL}|{LARGE})\.jpg")


def pictures_widget(pictures: Sequence[Picture], *at: str | int) -> Widget | None:
    """The pictures of a list in the document, in order; None where it has none."""
    paths: tuple[KeyPath, ...] = tuple((*at, place) for place in range(len(pictures)))
    return Widget("pictures", side_by_side(pictures), paths) if pictures else None


def side_by_side(pictures: Iterable[Picture]) -> list[tuple[Picture, ...]]:
    """The pictures in order; *before* and *after*, and *like this* and *not like this*, together where they follow each other."""
    found: list[tuple[Picture, ...]] = []
    for each in pictures:
        before = found[-1] if found else ()
        if len(before) == 1 and frozenset({before[0].as_, each.as_}) in _PAIRS:
            found[-1] = (before[0], each)
        else:
            found.append((each,))
    return found


def alt_words(picture: Picture) -> str:
    """What is read to who cannot see it, where nobody wrote it: all that is known."""
    said = picture.alt or picture.caption
    what = "Drawing" if picture.file.is_drawing else "Photo"
    return said or ", ".join(filter(None, (what, picture.view, taken_words(picture))))


def taken_words(picture: Picture) -> str:
    """When it was taken, as one reads it; empty where nobody knows."""
    taken = picture.taken
    return f"{taken:%Y-%m-%d %H:%M}" if isinstance(taken, datetime) else taken.isoformat() if taken else ""


def readers_words(view: View, picture: Picture) -> str:
    """What decides who sees a picture, for its owner, as it is typed; empty where nobody wrote anything and nothing keeps it back."""
    if view.edition != "private":
        return ""
    face = {None: "", True: "face: yes", False: "face: no"}[picture.face]
    seen = f"visibility: {picture.visibility}" if picture.visibility else ""
    alone = "only you see it" if picture.seen_by == "private" else ""
    return ", ".join(filter(None, (face, seen, alone)))


# The files of a site.


def picture_addresses(view: View) -> list[str]:
    """Where every drawing and photo the edition names may lie in the site; some may not be there, or be no larger than the small one."""
    photos = [file for file in pictured(view) if not PictureFile(file).is_drawing and is_photo_name(file)]
    drawings = [file for file in pictured(view) if PictureFile(file).is_drawing]
    return [*map(picture_page, drawings), *(photo_page(file, longest) for file in photos for longest in (SMALL, LARGE))]


def picture_file(view: View, address: str) -> bytes | None:
    """The drawing or photo at an address of the site; None where the edition shows none there."""
    if (asked := _PHOTO_PAGE.fullmatch(address)) is not None:
        file, longest = f"{asked[1]}.jpg", int(asked[2])
        photo = view.picture(file) if file in pictured(view) else None
        return photo.data(longest) if isinstance(photo, ShownPhoto) and longest in photo.sizes else None
    file = address.removeprefix(picture_page(""))
    drawing = view.picture(file) if file != address and file in pictured(view) else None
    return drawing.data if isinstance(drawing, Drawing) else None


# What is still to be taken.

_SLOTS: Final = (
    ("Front", frozenset({"front"})),
    ("Left edge", frozenset({"left", "left 3/4"})),
    ("Right edge", frozenset({"right", "right 3/4"})),
    ("Back", frozenset({"back"})),
)
_IN_PLACE: Final = "In place, on the head"


def slots_widget(view: View, run: Run) -> Widget | None:
    """Frames for the photos of a piece nobody has taken yet, for the owner's sheet on paper; None where there is nothing to take."""
    if view.edition != "private" or run.kind == "test" or not (run.kept or run.thing):
        return None
    seen = {photo.view for photo in run.photos}
    missing = [title for title, views in _SLOTS if seen.isdisjoint(views)]
    if not any(photo.as_ == "after" for photo in run.photos):
        missing.append(_IN_PLACE)
    return Widget("slots", missing) if missing else None
