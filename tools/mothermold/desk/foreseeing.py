"""What `check` would say if some files of the book said something else."""

from __future__ import annotations

import dataclasses
import tempfile
from collections.abc import Mapping
from pathlib import Path

from mothermold.book.files import document_files
from mothermold.book.library import read_book
from mothermold.ground.notices import Notice, in_order
from mothermold.history.timeline import open_history
from mothermold.view.pins import find_pin_faults


def foresee(root: Path, texts: Mapping[str, str]) -> list[Notice]:
    """The notices there would be, were these the texts of these files; nothing in the book is touched.

    Args:
        root: The book's folder.
        texts: By file, relative to the book.
    """
    with tempfile.TemporaryDirectory() as scratch:
        copy = Path(scratch)
        for file, found in document_files(root):
            if isinstance(found, Path):
                target = copy / file
                target.parent.mkdir(parents=True, exist_ok=True)
                target.write_bytes(texts[file].encode("utf-8") if file in texts else found.read_bytes())
        # The copy has no history; the texts are judged by the history of the book itself.
        book = dataclasses.replace(read_book(copy), root=root)
    history = open_history(book)
    versions = (history.versions(address) for address in history.addresses())
    notices = [*book.notices, *history.notices, *find_pin_faults(book, history)]
    notices += [notice for each in versions for notice in each.notices]
    return in_order(notices)
