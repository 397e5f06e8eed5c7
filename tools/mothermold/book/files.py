"""Which files make a book, and what kind of document each is by where it lies."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path, PurePosixPath
from typing import Final

from mothermold.book.root import RECIPES, SETTINGS_FILE
from mothermold.ground.notices import Notice
from mothermold.ground.words import in_words
from mothermold.model.kinds import FOLDERS, KINDS
from mothermold.model.names import mended_name, name_fault

__all__ = [
    "PHOTOS",
    "PICTURES",
    "RECIPES",
    "SETTINGS_FILE",
    "Place",
    "build_of",
    "document_files",
    "place_of",
    "unreadable",
]


PICTURES: Final = f"{RECIPES}/pictures"
"""Where drawings lie."""
PHOTOS: Final = f"{RECIPES}/photos"
"""Where photos lie."""


@dataclass(frozen=True, slots=True)
class Place:
    """Where a document belongs: its kind, what others call it, and the build it lies in."""

    kind: str
    address: str
    build: str | None = None


def place_of(file: str) -> Place | Notice:
    """What a document is by its path relative to the book, or what is wrong with that path."""
    folder, _, name = file.removeprefix(f"{RECIPES}/").rpartition("/")
    stem, dot, ending = name.rpartition(".")
    if f"{dot}{ending}" != ".yaml":
        return Notice(
            "wrong-suffix",
            "error",
            f"`{name}` ends in `{dot}{ending}`.",
            f"Rename it to `{stem}.yaml`.",
            file=file,
        )
    if not folder and name == "book.yaml":
        return Place("book", "book")
    pieces = [*folder.split("/"), stem] if folder else [stem]
    for piece in pieces:
        if fault := name_fault(piece):
            suffix = ".yaml" if piece == stem else ""
            return Notice(
                "bad-file-name",
                "error",
                f"The name `{piece}` {fault}.",
                f"Rename it to `{mended_name(piece)}{suffix}`.",
                file=file,
            )
    if FOLDERS.get(pieces[0]) == "build":
        return _place_in_build(file, pieces)
    if len(pieces) == 1:
        return _lost(file, "Move it into the folder of its stage or kind, such as `recipes/cast/`.")
    if pieces[0] in FOLDERS:
        return Place(FOLDERS[pieces[0]], pieces[-1])
    return Place("recipe", "/".join(pieces))


def build_of(file: str) -> str | None:
    """The build a document lies in, by its file; None for what lies in none."""
    place = place_of(file)
    return place.build if isinstance(place, Place) else None


def _place_in_build(file: str, pieces: list[str]) -> Place | Notice:
    if len(pieces) == 3 and pieces[2] == "build":
        return Place("build", pieces[1], pieces[1])
    inner = FOLDERS.get(pieces[2]) if len(pieces) >= 4 else None
    if inner is not None and KINDS[inner].in_builds:
        return Place(inner, pieces[-1], pieces[1])
    folders = in_words([*sorted(kind.folder for kind in KINDS.values() if kind.in_builds), "photos"])
    return _lost(file, f"In a build lie `build.yaml` and the folders {folders}.")


def _lost(file: str, advice: str) -> Notice:
    return Notice("wrong-folder", "error", "A document cannot lie here.", advice, file=file)


def document_files(root: Path) -> Iterator[tuple[str, Path | Notice]]:
    """All files of a book that look like documents, sorted, or what keeps one from being read."""
    top = root / RECIPES
    found: list[tuple[str, bool]] = []
    closed: list[tuple[str, OSError]] = []
    _look_into(os.fspath(top), RECIPES, found, closed)
    for file, problem in closed:
        if top.is_dir():
            yield file, unreadable(file, f"could not be opened: {problem.strerror}")
    for file, is_link in sorted(found):
        path = root / file
        if notice := _link_fault(file, path, top) if is_link else None:
            yield file, notice
        elif not is_link or path.is_file():
            yield file, path


def _look_into(folder: str, here: str, found: list[tuple[str, bool]], closed: list[tuple[str, OSError]]) -> None:
    """Adds what looks like a document in a folder and those in it, each with whether it only points to another place."""
    try:
        with os.scandir(folder) as entries:
            inside = sorted(entries, key=lambda entry: entry.name)
    except OSError as problem:
        closed.append((here, problem))
        return
    for entry in inside:
        file, is_link = f"{here}/{entry.name}", entry.is_symlink()
        if entry.name.startswith("."):
            continue
        if _is_folder(entry):
            if is_link:
                found.append((file, True))
            else:
                _look_into(entry.path, file, found, closed)
        elif entry.name.endswith((".yaml", ".yml")) and (is_link or entry.is_file()):
            found.append((file, is_link))


def _is_folder(entry: os.DirEntry[str]) -> bool:
    """Whether it is a folder, or points to one; what points in a circle is none."""
    try:
        return entry.is_dir()
    except OSError:
        return False


def _link_fault(file: str, path: Path, top: Path) -> Notice | None:
    """What is wrong with a file that only points to another place."""
    if not path.exists():
        return unreadable(file, "points to nothing, or in a circle", "Put the file itself in this place, or delete it.")
    # Not `Path.resolve`, which gives up with an error of its own where links go in a circle.
    if not Path(os.path.realpath(path)).is_relative_to(os.path.realpath(top)):
        message = f"`{path.name}` only points to a place outside the book."
        return Notice("symlink-outside", "error", message, "Copy the file itself to this place.", file=file)
    if path.is_dir():
        return unreadable(file, "only points to another folder, and what it points to is not read", "Delete it.")
    return None


def unreadable(
    file: str, why: str, advice: str = "See that you may read it: whose it is, and whether another program holds it."
) -> Notice:
    """The notice that a file or folder of the book cannot be opened; ``why`` is the rest of the sentence."""
    return Notice("cannot-open", "error", f"`{PurePosixPath(file).name}` {why}.", advice, file=file)


def picture_states(root: Path) -> Iterator[object]:
    """What the drawings and photos of a book are, without reading them: their names, sizes and times."""
    for folder in (PICTURES, PHOTOS):
        with suppress(OSError):
            for path in sorted((root / folder).iterdir()):
                yield from (path.name, *picture_state(path))


def picture_state(path: Path) -> tuple[int, ...]:
    """What a drawing or photo is, without reading it: its size and times; nothing where there is none."""
    with suppress(OSError):
        state = path.lstat()
        return state.st_mode, state.st_size, state.st_mtime_ns, state.st_ino
    return ()
