"""A whole book read from its folder: every document, and every notice that needs no history."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from mothermold.book.causes import without_consequences
from mothermold.book.document import Document, read_document
from mothermold.book.files import Place, document_files, place_of, unreadable
from mothermold.book.inside import find_inside_faults
from mothermold.book.links import bears_on_process, find_link_faults
from mothermold.book.misplaced import find_misplaced
from mothermold.book.pictures import find_picture_faults
from mothermold.book.shelves import Shelves
from mothermold.book.strays import is_copy, stray_files
from mothermold.book.tree import Tree
from mothermold.book.unfinished import find_unfinished
from mothermold.ground.notices import Notice, in_order
from mothermold.model.kinds import KINDS
from mothermold.model.settings import Settings
from mothermold.trade.vocabulary import Vocabulary, vocabulary

_NEEDS_OWN_WORDS: Final = frozenset({"unknown-word", "unknown-family"})


@dataclass(frozen=True, slots=True)
class Book:
    """The working tree of a book.

    Attributes:
        root: Its folder.
        settings: Its own settings; common ones where book.yaml cannot be read.
        documents: On their shelves; unreadable ones too, without a model.
        builds: The build a document lies in, by file.
        files: All files that look like documents, whether or not they can be read.
        strays: All other files below ``recipes``, and copies of documents.
        words: The words it knows.
        notices: Everything found without looking at history, in order.
    """

    root: Path
    settings: Settings
    documents: Shelves
    builds: Mapping[str, str]
    files: tuple[str, ...]
    strays: tuple[str, ...]
    words: Vocabulary
    notices: tuple[Notice, ...]

    @property
    def faulty(self) -> frozenset[str | None]:
        """The files with an error or a warning of their own that leaves their process in doubt."""
        return frozenset(
            notice.file for notice in self.notices if notice.severity != "advice" and bears_on_process(notice)
        )


def read_book(root: Path) -> Book:
    """Reads the folder of a book; never raises for what lies in it: a closed file is told at its place."""
    notices: list[Notice] = []
    read: dict[str, dict[str, Document]] = {word: {} for word in KINDS}
    builds: dict[str, str] = {}
    strays = stray_files(root)
    files = dict(document_files(root))
    for file, found in files.items():
        place = found if isinstance(found, Notice) else place_of(file)
        if isinstance(place, Notice) and is_copy(file, files):
            strays.append(file)
            continue
        if isinstance(place, Notice):
            notices.append(place)
            continue
        assert not isinstance(found, Notice)
        document = _document(place, file, found)
        first = read[place.kind].setdefault(place.address, document)
        if first is not document:
            notices.append(_name_taken(place, file, first.file))
        elif place.build is not None:
            builds[file] = place.build
    documents = Shelves(read)
    settings, words = _settings(documents)
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
    told = tuple(in_order(without_consequences(notices)))
    return Book(root, settings, documents, builds, tuple(files), tuple(sorted(strays)), words, told)


def _document(place: Place, file: str, path: Path) -> Document:
    """The document in a file; one that cannot be opened is there all the same, and says nothing."""
    try:
        data = path.read_bytes()
    except OSError as problem:
        notice = unreadable(file, f"could not be opened: {problem.strerror or problem}")
        return Document(place.kind, place.address, file, b"", Tree(), {}, None, (notice,))
    return read_document(place.kind, place.address, file, data)


def _name_taken(place: Place, file: str, first: str) -> Notice:
    message = f"Another {place.kind} is already called `{place.address}`: {first}."
    return Notice(
        "name-taken", "error", message, "Rename one of the two files; a name is used once among its kind.", file=file
    )


def _settings(documents: Shelves) -> tuple[Settings, Vocabulary]:
    own = next(iter(documents.models(Settings).values()), None)
    return own or Settings.model_validate({"title": "A book"}), vocabulary(own.adds if own else None)
