"""Photos of a book: JPEGs in ``recipes/photos``, named by the documents that show them.

What is shown is never the file itself but what is made of its pixels (``book.pixels``): a file somebody laid there by hand
may say where a wearer lives. A name is one plain name, so nothing outside the folder can be meant.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from mothermold.book.beside_pixels import told_beside
from mothermold.book.files import PHOTOS
from mothermold.book.strays import in_short
from mothermold.ground.looking import saw
from mothermold.ground.notices import Notice
from mothermold.ground.store import digest

_NAME: Final = re.compile(r"[a-z0-9][a-z0-9._-]{0,95}\.jpg")
LARGEST_PHOTO: Final = 60_000_000
"""What a camera writes fits in it; the photos that were taken in have some hundred kilobytes."""


@dataclass(frozen=True, slots=True)
class Photo:
    """A photo as it lies in the book.

    Attributes:
        file: Its name.
        data: What is in the file; never shown as it is.
    """

    file: str
    data: bytes

    @property
    def state(self) -> str:
        """What it is known by: the same bytes, the same photo."""
        return digest(self.data)


def is_photo_name(file: str) -> bool:
    """Whether a file could be called so; such a name leads nowhere but into the folder of the photos."""
    return _NAME.fullmatch(file) is not None


def read_photo(root: Path, file: str) -> Photo | str:
    """A photo of the book; or, as the rest of a sentence, why there is none."""
    if not is_photo_name(file):
        return "is not a photo by its name: small letters, digits and hyphens, and `.jpg` at the end"
    folder = root / PHOTOS
    path = folder / file
    saw(f"photo {file}")
    try:
        if folder.is_symlink() or path.is_symlink() or not path.is_file():
            return f"is not in {PHOTOS}"
        if path.stat().st_size > LARGEST_PHOTO:
            return f"is larger than {LARGEST_PHOTO // 1_000_000} MB"
        data = path.read_bytes()
    except OSError as problem:
        return f"could not be opened: {problem.strerror or problem}"
    if not data:
        return "is empty"
    return Photo(file, data)


def photo_fault(root: Path, file: str) -> tuple[str, tuple[str, ...]]:
    """Why a photo cannot be shown, as the rest of a sentence, and what stands in it beside the picture."""
    photo = read_photo(root, file)
    if isinstance(photo, str):
        return photo, ()
    try:
        return "", told_beside(photo.data)
    except ValueError:
        return "is not a whole JPEG", ()


def photo_files(root: Path) -> list[str]:
    """The names of all files in the folder of the photos, sorted; what a computer leaves lying there is none."""
    try:
        return sorted(path.name for path in (root / PHOTOS).iterdir() if not path.name.startswith("."))
    except OSError:
        return []


def find_unnamed(unnamed: Iterable[str]) -> Iterator[Notice]:
    """One notice that lists the photos no document names."""
    if not (listed := [f"{PHOTOS}/{each}" for each in unnamed]):
        return
    one = len(listed) == 1
    yield Notice(
        "photo-unnamed",
        "advice",
        f"{'This photo is' if one else f'These {len(listed)} photos are'} named by no document, so nobody sees "
        f"{'it' if one else 'them'}: {in_short(listed)}.",
        f"Type `mothermold photo {listed[0]} --to` and the run, note, mold, recipe or build it shows, or delete {'it' if one else 'them'}.",
        file=listed[0],
    )
