"""A photo as it may be shown: small and larger, each made anew of its pixels, so that nothing of the file itself gets out.

What was made is kept beside the history by what it was made of, and may vanish at any time.
"""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass
from functools import cached_property
from importlib.metadata import version
from pathlib import Path
from typing import Final

from mothermold.book.beside_pixels import told_beside
from mothermold.book.photos import Photo, read_photo
from mothermold.book.pictures import Drawing, read_drawing
from mothermold.book.pixels import rebuilt, shrunk, size_of
from mothermold.ground.errors import CannotRunError
from mothermold.ground.store import Store, digest
from mothermold.ground.writing import place_bytes
from mothermold.model.pictures import PictureFile

SMALL: Final = 480
"""The longest side a list or a phone needs, in pixels."""
LARGE: Final = 1200
"""The longest side of the larger one, in pixels."""
_MADE: Final = "1"
"""Another word here, and every photo is made anew: for whoever changes how they are made."""


@dataclass(frozen=True)
class ShownPhoto:
    """A photo pages may show.

    Attributes:
        file: Its name.
        root: The book's folder.
        state: What its file is known by.
        size: Width and height of the whole, upright.
        store: Where what was made is kept.
    """

    file: str
    root: Path
    state: str
    size: tuple[int, int]
    store: Store

    @cached_property
    def sizes(self) -> dict[int, tuple[int, int]]:
        """Width and height by the longest side it is made for, the small one first; one where there is no more to see."""
        return {longest: shrunk(self.size, longest) for longest in (SMALL, LARGE)[: 1 + (max(self.size) > SMALL)]}

    def data(self, longest: int) -> bytes | None:
        """It as a JPEG; None where the file cannot be shown any more."""
        name = digest(_MADE, version("Pillow"), self.state, longest)
        place = self.store.folder / "photos" / f"{name}.jpg" if self.store.folder is not None else None
        if place is not None and (kept := _kept(place)) is not None:
            return kept
        photo = read_photo(self.root, self.file)
        made = rebuilt(photo.data, longest) if isinstance(photo, Photo) and photo.state == self.state else None
        if made is None or isinstance(made, str):
            return None
        if place is not None:
            with suppress(CannotRunError):
                place_bytes(place, made.data, waits=False)
        return made.data


def shown_picture(root: Path, file: PictureFile, store: Store) -> Drawing | ShownPhoto | None:
    """A drawing or photo of the book as it may be shown; None where it cannot be.

    Args:
        root: The book's folder.
        file: Its name.
        store: Where what is made of it is kept.
    """
    if file.is_drawing:
        told = read_drawing(root, file)
        return told if isinstance(told, Drawing) else None
    photo = read_photo(root, file)
    size = size_of(photo.data) if isinstance(photo, Photo) else None
    if size is None or not isinstance(photo, Photo):
        return None
    shown = ShownPhoto(file, root, photo.state, size, store)
    # A head can be whole and the picture behind it not: no page points at what cannot be made.
    return shown if shown.data(SMALL) is not None else None


def _kept(place: Path) -> bytes | None:
    """What was kept, where it is whole and says nothing beside its picture, whoever had the folder in hand."""
    with suppress(OSError, ValueError):
        data = place.read_bytes()
        return None if told_beside(data) else data
    return None
