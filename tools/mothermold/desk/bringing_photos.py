"""Photos that wait in the inbox: beside the document that names them, or beside a text that says what they show.

They were rebuilt when they came. They come into the book with their document, in one writing, or not at all.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from mothermold.book.document import Document, read_document
from mothermold.book.files import Place, place_of
from mothermold.book.photos import LARGEST_PHOTO, Photo, is_photo_name, photo_files, read_photo
from mothermold.book.tree import Raw
from mothermold.desk.brought import BesidePhoto, Brought
from mothermold.desk.editing import edited
from mothermold.desk.forms.with_photos import ChosenPhoto, hang
from mothermold.desk.photo_places import find_place, place_in
from mothermold.desk.photos import laid, new_photo
from mothermold.ground.errors import RefusedError
from mothermold.ground.reading import read_bytes
from mothermold.ground.writing import write_text
from mothermold.model.pictures import Picture
from mothermold.model.walk import KeyPath
from mothermold.view.view import View

_KEYS: Final = {"to", "part", "photos"}
_SAID: Final = {field.alias or name for name, field in Picture.model_fields.items() if name != "file"}


def is_photos(raw: Raw) -> bool:
    """Whether a text says of photos what they show, and nothing else: of what, and which."""
    return isinstance(raw, dict) and {"to", "photos"} <= raw.keys() <= _KEYS and isinstance(raw["to"], str)


def beside(path: Path, document: Document) -> tuple[Document, tuple[BesidePhoto, ...]]:
    """A document without the photos that lie beside its file, and those; what it names of the book's own stays in it."""
    rows = document.raw.get("photos")
    found = {
        place: photo
        for place, row in enumerate(rows if isinstance(rows, list) else ())
        if (photo := _beside(path, row))
    }
    if not found:
        return document, ()
    assert isinstance(rows, list)
    gone: dict[KeyPath, None] = {("photos", place): None for place in found}
    whole: KeyPath = ("photos",)
    text = edited(document, gone if len(found) < len(rows) else {whole: None})
    return read_document(document.kind, document.address, document.file, text.encode()), tuple(found.values())


def _beside(path: Path, row: Any) -> BesidePhoto | None:
    file = row.get("file") if isinstance(row, dict) else None
    if not isinstance(file, str) or not is_photo_name(file):
        return None
    photo = path.parent / file
    if photo.is_symlink() or not photo.is_file() or photo.stat().st_size > LARGEST_PHOTO:
        return None
    says = {key: text for key, text in row.items() if key in _SAID and isinstance(text, str)}
    return BesidePhoto(photo, says, read_bytes(photo))


def look_at_photos(view: View, name: str, path: Path, document: Document) -> Brought:
    """What would become of photos that belong to a document of the book.

    Args:
        view: The owner's book as it is now.
        name: The file as it was named.
        path: The file.
        document: The file, as it was read.
    """
    _rest, photos = beside(path, document)
    part, found = str(document.raw.get("part") or ""), Brought(name, "", None, (), kind="photos")
    try:
        there = find_place(view, str(document.raw["to"])).document
        place = place_in(view, there, part)
    except RefusedError as refusal:
        return found.refused(*refusal.notices)
    words = (str(getattr(there.model, "title", there.address)), place.shows)
    found = dataclasses.replace(
        found, file=there.file, deed="renewed", photos=photos, called=there.address, words=words, part=part
    )
    return found if photos else dataclasses.replace(found, deed="known")


def put(root: Path, view: View, found: Brought) -> None:
    """Writes what was brought, with its photos: all of it, or nothing.

    Args:
        root: The book's folder.
        view: The owner's book as it is now.
        found: What becomes of the file; it may be known, and only bring photos.

    Raises:
        RefusedError: A photo cannot be taken, or a file was changed meanwhile.
        CannotRunError: The disk refused.
    """
    if not found.photos:
        if found.text:
            write_text(root / found.file, found.text, replaces=found.was)
        return
    was = found.was if found.text else read_bytes(root / found.file).decode("utf-8")
    text, place = found.text or was, place_of(found.file)
    assert text is not None
    assert isinstance(place, Place)
    chosen = [
        ChosenPhoto(new_photo(each.path.name, each.data, made_here=True), each.says, found.part)
        for each in found.photos
    ]
    document = read_document(place.kind, place.address, found.file, text.encode())
    hung = hang(view, document, text, chosen)
    with laid(root, hung.taken):
        if hung.text != was:
            write_text(root / found.file, hung.text, replaces=was)


def with_photos_of(new: Document, old: Document) -> Document:
    """A document that came again, with the photos the book names in it by now: whoever noted it knows nothing of them."""
    if "photos" in new.raw or not old.raw.get("photos"):
        return new
    try:
        text = edited(new, {("photos",): old.raw["photos"]})
    except RefusedError:
        return new
    return read_document(new.kind, new.address, new.file, text.encode())


@dataclass(frozen=True, slots=True)
class LeftOver:
    """Photos of the inbox that no file there names; somebody was stopped before the words were written, or after they came in.

    Attributes:
        known: Those the book has by now, so that they can go.
        alone: All others.
    """

    known: tuple[Path, ...] = ()
    alone: tuple[Path, ...] = ()


def left_over(inbox: Path, root: Path, found: Iterable[Brought]) -> LeftOver:
    """Looks which photos of the inbox no file there names; nothing is touched.

    Args:
        inbox: The inbox.
        root: The book's folder.
        found: What becomes, or became, of each file that waits there.
    """
    named = {photo.path.name for each in found for photo in each.photos}
    alone = [
        path
        for path in sorted(inbox.glob("*.jpg"))
        if path.name not in named and path.is_file() and not path.is_symlink()
    ]
    if not alone:
        return LeftOver()
    known = {photo.state for file in photo_files(root) if isinstance(photo := read_photo(root, file), Photo)}
    here = [path for path in alone if Photo(path.name, path.read_bytes()).state in known]
    return LeftOver(tuple(here), tuple(path for path in alone if path not in here))


def cleared(inbox: Path, root: Path, found: Iterable[Brought]) -> list[str]:
    """Clears away those the book has by now, and says which of the others lie there.

    Args:
        inbox: The inbox.
        root: The book's folder.
        found: What became of each file that waited there.
    """
    left = left_over(inbox, root, found)
    for path in left.known:
        path.unlink(missing_ok=True)
    return [path.name for path in left.alone]
