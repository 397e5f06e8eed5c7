"""What can be said of the documents of a book without looking at history: each by itself, then against the others."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Final

from mothermold.book.causes import without_consequences
from mothermold.book.inside import find_inside_faults
from mothermold.book.links import find_link_faults
from mothermold.book.misplaced import find_misplaced
from mothermold.book.pictures import find_picture_faults
from mothermold.book.shelves import Shelves
from mothermold.book.unfinished import find_unfinished
from mothermold.ground.notices import Notice, in_order
from mothermold.trade.vocabulary import Vocabulary

_NEEDS_OWN_WORDS: Final = frozenset({"unknown-word", "unknown-family"})


def judge_documents(
    documents: Shelves, root: Path, words: Vocabulary, builds: Mapping[str, str], told: Iterable[Notice]
) -> tuple[Notice, ...]:
    """Everything found in a book without looking at history, in order.

    Args:
        documents: Its documents.
        root: Its folder.
        words: The words it knows.
        builds: The build a document lies in, by file.
        told: What was said of its files before any was read.
    """
    notices = list(told)
    # The words a book adds stand in its settings: where those cannot be read, no word is called unknown.
    own_words = all(document.model is not None for document in documents.on("book").values())
    for document in documents.every():
        misplaced = find_misplaced(document)
        notices += [misplaced] if misplaced else document.notices
        found_inside = find_inside_faults(document, words)
        notices += [notice for notice in found_inside if own_words or notice.code not in _NEEDS_OWN_WORDS]
        notices += find_picture_faults(root, document)
        notices += find_unfinished(document)
    notices += find_link_faults(documents, builds)
    return tuple(in_order(without_consequences(notices)))
