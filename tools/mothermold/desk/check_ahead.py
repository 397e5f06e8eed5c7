"""What `check` would say if some files of the book said something else, or if there were more of them."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from mothermold.book.library import read_book
from mothermold.ground.notices import Notice
from mothermold.view.view import all_notices


def foresee(root: Path, texts: Mapping[str, str | None]) -> list[Notice]:
    """The notices there would be, were these the texts of these files; nothing in the book is touched.

    Args:
        root: The book's folder.
        texts: By file, relative to the book; a file that is not there yet is as if it were, one without a text as if it
            were not.
    """
    # What cannot be opened is told of the book itself.
    return [notice for notice in all_notices(read_book(root, texts)) if notice.code != "cannot-open"]
