"""What can be said of the documents of a book without looking at history: each by itself, then against the others."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from typing import TYPE_CHECKING, Final

from mothermold.book.causes import without_consequences
from mothermold.book.inside import find_inside_faults
from mothermold.book.links import Names
from mothermold.book.misplaced import find_misplaced
from mothermold.book.pictures import find_picture_faults
from mothermold.book.unfinished import find_unfinished
from mothermold.ground.notices import Notice, in_order, notices_of
from mothermold.model.settings import Settings

if TYPE_CHECKING:
    from mothermold.book.document import Document
    from mothermold.book.library import Book

_NEEDS_OWN_WORDS: Final = frozenset({"unknown-word", "unknown-family"})


def judge_documents(book: Book) -> tuple[Notice, ...]:
    """Everything found in a book without looking at history, in order."""
    names = Names(book.documents, book.builds, book.made)
    notices = list(book.displaced)
    for document in book.documents.every():
        notices += notices_of(book.made, f"{document.kind}/{document.address}", partial(_judged, document, book, names))
    return tuple(in_order(without_consequences(notices)))


def _judged(document: Document, book: Book, names: Names) -> Iterator[Notice]:
    """All that is said of one document."""
    misplaced = find_misplaced(document)
    yield from [misplaced] if misplaced else document.notices
    # The words a book adds stand in its settings: where those cannot be read, no word is called unknown.
    settings = book.documents.on("book")
    own_words = len(settings) == len(book.documents.of(Settings))
    for notice in find_inside_faults(document, book.words):
        if own_words or notice.code not in _NEEDS_OWN_WORDS:
            yield notice
    yield from find_picture_faults(book.root, document)
    yield from find_unfinished(document)
    yield from names.faults(document)
