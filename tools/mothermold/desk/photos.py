"""Takes photos into the book: rebuilt from their pixels, named in a document, all of them or none.

Whoever has bytes and knows where they go can ask here: the command, a form, a phone.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass, replace
from itertools import count
from pathlib import Path
from typing import Any, Final

from mothermold.book.beside_pixels import told_beside
from mothermold.book.document import read_document
from mothermold.book.files import PHOTOS
from mothermold.book.photos import Photo, is_photo_name, photo_files, read_photo
from mothermold.book.pixels import LONGEST, Rebuilt, rebuilt, size_of
from mothermold.book.tree import value_at
from mothermold.desk.editing import Arranged, Changes, edited, write_changes
from mothermold.desk.photo_places import PhotoPlace
from mothermold.ground.errors import RefusedError, refused
from mothermold.ground.writing import place_bytes, write_new
from mothermold.model.pictures import Picture
from mothermold.view.pictured import pictured
from mothermold.view.view import View

ORIGINALS: Final = "private/photos"
"""Where an original is kept that is to stay with the book: a folder no save takes in."""
_STEM_LENGTH: Final = 80


@dataclass(frozen=True, slots=True)
class NewPhoto:
    """A photo somebody wants in the book, rebuilt.

    Attributes:
        name: What its file was called.
        original: Its bytes as they came.
        made: What the book keeps of it.
        here: Its name where it lies among the photos of the book already; else empty.
    """

    name: str
    original: bytes
    made: Rebuilt
    here: str = ""


@dataclass(frozen=True, slots=True)
class TakenPhoto:
    """What became of a photo.

    Attributes:
        photo: The photo.
        file: Its name in the book.
        known: Whether the very same picture lay in the book before.
        named: Whether the document named it before.
        original: Where its original is kept; empty where it stayed where it was.
    """

    photo: NewPhoto
    file: str
    known: bool
    named: bool
    original: str = ""

    @property
    def is_anew(self) -> bool:
        """Whether a file of the book gave way to one that holds its picture alone."""
        return bool(self.photo.here) and self.photo.original != self.photo.made.data


def new_photo(name: str, data: bytes, *, here: str = "", made_here: bool = False) -> NewPhoto:
    """Rebuilds a photo; see ``book.pixels``.

    Args:
        name: What its file is called.
        data: What is in it.
        here: Its name, where it lies in the folder of the photos of this book.
        made_here: Whether it was rebuilt by us already, as what waits in the inbox; it is then not rebuilt once more.

    Raises:
        RefusedError: ``photo-refused``: it is no photo, damaged, or too large.
    """
    made = rebuilt(data)
    if isinstance(made, str):
        raise refused("photo-refused", f"The photo `{name}` {made}.", "Give another file; nothing was written.")
    if (here or made_here) and _is_kept_already(data):
        # Nothing would be gained by another loss.
        made = Rebuilt(data, made.width, made.height, made.taken, made.moves)
    return NewPhoto(name, data, made, here)


def _is_kept_already(data: bytes) -> bool:
    with suppress(ValueError):
        return not told_beside(data) and max(size_of(data) or (LONGEST + 1,)) <= LONGEST
    return False


def take_in(
    root: Path,
    view: View,
    place: PhotoPlace,
    photos: Sequence[tuple[NewPhoto, Mapping[str, str]]],
    *,
    keep_original: bool = False,
) -> list[TakenPhoto]:
    """Puts photos into the book and names them in a document; touches nothing else in it.

    Args:
        root: The book's folder.
        view: The book in the private edition.
        place: Where they go.
        photos: The photos in order, each with what is said of it, by the keys of ``Picture``.
        keep_original: Whether the originals are kept in ``private``; of files that lay among the photos of the book they are.

    Raises:
        RefusedError: Something said of them is no such thing, the document cannot be changed in place, or an original cannot
            be kept where no save takes it in.
        CannotRunError: The disk refused.
    """
    changes, taken = named_in(root, view, place, photos)
    taken = _with_originals(root, taken, every=keep_original)
    if any(each.original for each in taken):
        _refuse_saved_originals(root)
    with laid(root, taken):
        if changes:
            write_changes(root, place.document, changes)
    return taken


def named_in(
    root: Path,
    view: View,
    place: PhotoPlace,
    photos: Sequence[tuple[NewPhoto, Mapping[str, str]]],
    before: Sequence[TakenPhoto] = (),
) -> tuple[Changes, list[TakenPhoto]]:
    """What a document says of photos, as changes of it, and the name of each; nothing is written.

    Args:
        root: The book's folder.
        view: The book in the private edition.
        place: Where they go; its document may be one that is not written yet.
        photos: The photos in order, each with what is said of it, by the keys of ``Picture``.
        before: Photos that come in by the same deed, and have their names.

    Raises:
        RefusedError: Something said of them is no such thing, or the document cannot be changed in place.
    """
    listed = _listed(place)
    taken = _named(root, view, place, [photo for photo, _says in photos], before)
    changes = _changes(
        place,
        listed,
        [entry_of(each.file, says) for each, (_photo, says) in zip(taken, photos, strict=True) if not each.named],
    )
    _judge(place, changes)
    return changes, taken


def entry_of(file: str, says: Mapping[str, str]) -> dict[str, str]:
    """An entry of a list of photos, its keys in the order of the model."""
    return {"file": file, **{key: says[key] for key in _KEYS if says.get(key)}}


_KEYS: Final = tuple(field.alias or name for name, field in Picture.model_fields.items() if name != "file")


def _listed(place: PhotoPlace) -> list[Any]:
    """The entries that stand in the list; none where there is no list yet."""
    with suppress(LookupError, TypeError):
        found = value_at(place.document.tree.raw, place.path)
        return list(found) if isinstance(found, list) else []
    return []


def _named(
    root: Path, view: View, place: PhotoPlace, photos: Iterable[NewPhoto], before: Sequence[TakenPhoto]
) -> list[TakenPhoto]:
    """Each photo with its name: that of the very same picture, where the book has it."""
    there = {str(entry.get("file")) for entry in _listed(place) if isinstance(entry, Mapping)}
    lying = (read_photo(root, file) for file in photo_files(root))
    known = {each.state: each.file for each in lying if isinstance(each, Photo)}
    known |= {Photo("", each.photo.made.data).state: each.file for each in before}
    # A number is given once: older versions of a recipe may still show the photo that had it.
    used = {*photo_files(root), *pictured(view), *(each.file for each in before)}
    stem = place.stem[:_STEM_LENGTH].strip("-")
    numbers = (int(match[1]) for file in used if (match := re.fullmatch(rf"{re.escape(stem)}-(\d+)\.jpg", file)))
    number = max(numbers, default=0)
    found: list[TakenPhoto] = []
    for photo in photos:
        state = Photo("", photo.made.data).state
        file = photo.here if is_photo_name(photo.here) else known.get(state, "")
        lay_there = bool(file) and not photo.here
        if not file:
            number += 1
            file = known[state] = f"{stem}-{number}.jpg"
        found.append(TakenPhoto(photo, file, known=lay_there, named=file in there))
        there.add(file)
    return found


def _changes(place: PhotoPlace, listed: Sequence[Any], entries: Sequence[Mapping[str, str]]) -> Changes:
    if not entries:
        return {}
    if listed:
        return {(*place.path, len(listed) + number): entry for number, entry in enumerate(entries)}
    if place.path[0] == "things" and (whole := _on_lines(place, entries)) is not None:
        return {("things",): whole}
    return {place.path: list(entries)}


def _on_lines(place: PhotoPlace, entries: Sequence[Mapping[str, str]]) -> Arranged | None:
    """A thing that stood on one line in braces, where no sentence belongs; None where a remark behind it would go with that."""
    _, number, key = place.path
    document, things = place.document, value_at(place.document.tree.raw, ("things",))
    line = document.text.split("\n")[document.at_value(("things", number)).line - 1]
    if not line.lstrip(" -").startswith("{") or "#" in line or not isinstance(number, int):
        return None
    thing = {**things[number], key: list(entries)}
    return Arranged(tuple(thing if each == number else each for each in range(len(things))))


def _judge(place: PhotoPlace, changes: Changes) -> None:
    """Refuses before the first file is written."""
    document = place.document
    after = read_document(document.kind, document.address, document.file, edited(document, changes).encode())
    wrong = [each for each in after.notices if each.severity == "error"]
    if after.model is None or wrong:
        raise RefusedError(*wrong)


def _with_originals(root: Path, taken: Iterable[TakenPhoto], *, every: bool) -> list[TakenPhoto]:
    """The same, each with the place of its original where that is kept: under a name nothing has, two cameras count alike."""
    found: list[TakenPhoto] = []
    for each in taken:
        if not (every or each.is_anew):
            found.append(each)
            continue
        stem, ending = Path(each.photo.name).stem, Path(each.photo.name).suffix
        names = (f"{ORIGINALS}/{stem}{f' {number}' if number > 1 else ''}{ending}" for number in count(1))
        given = {other.original for other in found}
        free = next(name for name in names if name not in given and not (root / name).exists())
        found.append(replace(each, original=free))
    return found


def _refuse_saved_originals(root: Path) -> None:
    """An original says where somebody lives; where a save would take it in, it is not laid there."""
    lines: list[str] = []
    with suppress(OSError, UnicodeDecodeError):
        lines = (root / ".gitignore").read_text(encoding="utf-8").splitlines()
    if not {"private/", "/private/", "private", "/private"} & {line.strip() for line in lines}:
        raise refused(
            "photo-original",
            "The original cannot be kept in `private`, for here a save would take that folder in.",
            "Put a line `private/` into the file `.gitignore` of the book first; nothing was written.",
        )


@contextmanager
def laid(root: Path, taken: Iterable[TakenPhoto]) -> Iterator[None]:
    """Lays the files of photos into the book; where what is done meanwhile fails, all of them are taken back.

    Raises:
        CannotRunError: The disk refused.
    """
    undone: list[tuple[Path, bytes | None]] = []
    try:
        for each in taken:
            _lay(root, each, undone)
        yield
    except BaseException:
        for path, before in reversed(undone):
            if before is None:
                path.unlink(missing_ok=True)
            else:
                place_bytes(path, before)
        raise


def _lay(root: Path, each: TakenPhoto, undone: list[tuple[Path, bytes | None]]) -> None:
    if each.original:
        write_new(root / each.original, each.photo.original)
        undone.append((root / each.original, None))
    path = root / PHOTOS / each.file
    before = path.read_bytes() if path.is_file() else None
    if before is None:
        write_new(path, each.photo.made.data)
        undone.append((path, None))
    elif before != each.photo.made.data:
        place_bytes(path, each.photo.made.data)
        undone.append((path, before))
    if each.photo.here and each.photo.here != each.file:
        moved = root / PHOTOS / each.photo.here
        moved.unlink()
        undone.append((moved, each.photo.original))
