"""What `check` would say if some files of the book said something else, or if there were more of them."""

from __future__ import annotations

import dataclasses
import shutil
import tempfile
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path

from mothermold.book.files import document_files
from mothermold.book.library import read_book
from mothermold.book.pictures import FOLDER as PICTURES
from mothermold.ground.notices import Notice
from mothermold.view.view import all_notices


def foresee(root: Path, texts: Mapping[str, str | None]) -> list[Notice]:
    """The notices there would be, were these the texts of these files; nothing in the book is touched.

    Args:
        root: The book's folder.
        texts: By file, relative to the book; a file that is not there yet is as if it were, one without a text as if it
            were not.
    """
    with tempfile.TemporaryDirectory() as scratch:
        copy = Path(scratch)
        held, closed = _held(root)
        said = {file: text.encode("utf-8") for file, text in texts.items() if text is not None}
        kept = {file: data for file, data in held.items() if file not in texts}
        for file, data in (kept | said).items():
            target = copy / file
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_bytes(data)
        if (root / PICTURES).is_dir():
            with suppress(OSError):  # what cannot be copied is told of the book itself
                shutil.copytree(root / PICTURES, copy / PICTURES)
        # The copy has no history; the texts are judged by the history of the book itself.
        book = dataclasses.replace(read_book(copy), root=root)
    return [notice for notice in all_notices(book) if notice.file not in closed]


def _held(root: Path) -> tuple[dict[str, bytes], set[str]]:
    """The bytes of the book's documents, and which of them cannot be opened; those stand in as empty files."""
    held: dict[str, bytes] = {}
    closed: set[str] = set()
    for file, found in document_files(root):
        if not isinstance(found, Path):
            continue
        try:
            held[file] = found.read_bytes()
        except OSError:
            held[file] = b""
            closed.add(file)
    return held, closed
