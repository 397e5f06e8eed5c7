"""What can be said of the documents of a book without looking at history: each by itself, then against the others."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from functools import partial
from pathlib import Path
from typing import Final

from mothermold.book.causes import without_consequences
from mothermold.book.document import Document
from mothermold.book.inside import find_inside_faults
from mothermold.book.links import Names
from mothermold.book.misplaced import find_misplaced
from mothermold.book.pictures import find_picture_faults
from mothermold.book.shelves import Shelves
from mothermold.book.unfinished import find_unfinished
from mothermold.ground.made import MadeBefore
from mothermold.ground.notices import Notice, in_order, notices_of
from mothermold.model.settings import Settings
from mothermold.trade.vocabulary import Vocabulary

_NEEDS_OWN_WORDS: Final = frozenset({"unknown-word", "unknown-family"})


def judge_documents(  # what a book is, but the book itself: that asks here
    documents: Shelves,
    root: Path,
    words: Vocabulary,
    *,
    builds: Mapping[str, str],
    told: Iterable[Notice],
    made: MadeBefore,
) -> tuple[Notice, ...]:
    """Everything found in a book without looking at history, in order.

    Args:
        documents: Its documents.
        root: Its folder.
        words: The words it knows.
        builds: The build a document lies in, by file.
        told: What was said of its files before any was read.
        made: What was made of them before.
    """
    names = Names(documents, builds, made)

    def judged(document: Document) -> Iterator[Notice]:
        misplaced = find_misplaced(document)
        yield from [misplaced] if misplaced else document.notices
        # The words a book adds stand in its settings: where those cannot be read, no word is called unknown.
        own_words = len(documents.on("book")) == len(documents.of(Settings))
        for notice in find_inside_faults(document, words):
            if own_words or notice.code not in _NEEDS_OWN_WORDS:
                yield notice
        yield from find_picture_faults(root, document)
        yield from find_unfinished(document)
        yield from names.faults(document)

    notices = list(told)
    for each in documents.every():
        notices += notices_of(made, f"{each.kind}/{each.address}", partial(judged, each))
    return tuple(in_order(without_consequences(notices)))
