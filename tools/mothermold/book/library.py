"""A whole book read from its folder: every document, and every notice that needs no history."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from types import MappingProxyType

from mothermold.book.document import Document
from mothermold.book.files import (
    PHOTOS,
    PICTURES,
    Place,
    document_files,
    picture_state,
    picture_states,
    place_of,
    unreadable,
)
from mothermold.book.shelves import Shelves
from mothermold.book.strays import is_copy, stray_files
from mothermold.ground.made import MadeBefore
from mothermold.ground.notices import Notice
from mothermold.ground.store import digest
from mothermold.model.kinds import KINDS
from mothermold.model.settings import Settings
from mothermold.trade.vocabulary import Vocabulary, vocabulary


@dataclass(frozen=True)
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
        displaced: What is said of files that are no document where they lie.
        digest: Of all that lies below ``recipes`` and is read; the same digest, the same book.
        made: What was made of it before.
    """

    root: Path
    settings: Settings
    documents: Shelves
    builds: Mapping[str, str]
    files: tuple[str, ...]
    strays: tuple[str, ...]
    words: Vocabulary
    displaced: tuple[Notice, ...]
    digest: str
    made: MadeBefore = field(default_factory=MadeBefore)

    def __post_init__(self) -> None:
        self.documents.open_to(self.made)
        self.made.knows("drawing", lambda file: digest(*picture_state(self.root / PICTURES / file)))
        self.made.knows("photo", lambda file: digest(*picture_state(self.root / PHOTOS / file)))

    @cached_property
    def notices(self) -> tuple[Notice, ...]:
        """Everything found without looking at history, in order."""
        from mothermold.book.judging import judge_documents  # noqa: PLC0415 - most questions do without

        return judge_documents(
            self.documents, self.root, self.words, builds=self.builds, told=self.displaced, made=self.made
        )

    @cached_property
    def faulty(self) -> frozenset[str | None]:
        """The files with an error or a warning of their own that leaves their process in doubt."""
        from mothermold.book.links import bears_on_process  # noqa: PLC0415 - most questions do without

        return frozenset(
            notice.file for notice in self.notices if notice.severity != "advice" and bears_on_process(notice)
        )


def read_book(root: Path, instead: Mapping[str, str | None] = MappingProxyType({}), before: Book | None = None) -> Book:
    """Reads the folder of a book; never raises for what lies in it: a closed file is told at its place.

    Args:
        root: The folder.
        instead: Texts that stand for files, or for files that are not there, by file relative to the book; None for a
            file that is to be as if it were not there.
        before: The same book as it was read before: what did not change since is not read again.
    """
    notices: list[Notice] = []
    read: dict[str, dict[str, Document]] = {word: {} for word in KINDS}
    builds: dict[str, str] = {}
    strays = stray_files(root)
    files: dict[str, Path | Notice] = dict(document_files(root)) | {file: root / file for file in instead}
    files = {file: files[file] for file in sorted(files) if instead.get(file, "") is not None}
    told: list[object] = []
    for file, found in files.items():
        place = found if isinstance(found, Notice) else place_of(file)
        if isinstance(place, Notice) and is_copy(file, files):
            strays.append(file)
            continue
        if isinstance(place, Notice):
            notices.append(place)
            continue
        assert not isinstance(found, Notice)
        data = text.encode() if (text := instead.get(file)) is not None else _bytes(file, found)
        told += [file, data]
        document = _document(place, file, data, before)
        first = read[place.kind].setdefault(place.address, document)
        if first is not document:
            notices.append(_name_taken(place, file, first.file))
        elif place.build is not None:
            builds[file] = place.build
    documents = Shelves(read)
    settings, words = _settings(documents)
    told += [*strays, *notices, *picture_states(root)]
    misfits = tuple(notices)
    made = MadeBefore(before.made if before is not None else None)
    return Book(
        root, settings, documents, builds, tuple(files), tuple(sorted(strays)), words, misfits, digest(*told), made
    )


def _document(place: Place, file: str, data: bytes | Notice, before: Book | None) -> Document:
    cell = f"text {place.kind}/{place.address}"
    if isinstance(data, Notice):
        return Document.closed(place.kind, place.address, file, data, cell)
    known = before.documents.on(place.kind).get(place.address) if before is not None else None
    if known is not None and known.is_text(file, data):
        return known
    return Document(place.kind, place.address, file, data, cell)


def _bytes(file: str, path: Path) -> bytes | Notice:
    """What is in a file, or that it cannot be opened."""
    try:
        return path.read_bytes()
    except OSError as problem:
        return unreadable(file, f"could not be opened: {problem.strerror or problem}")


def _name_taken(place: Place, file: str, first: str) -> Notice:
    message = f"Another {place.kind} is already called `{place.address}`: {first}."
    return Notice(
        "name-taken", "error", message, "Rename one of the two files; a name is used once among its kind.", file=file
    )


def _settings(documents: Shelves) -> tuple[Settings, Vocabulary]:
    own = next(iter(documents.models(Settings).values()), None)
    return own or Settings.model_validate({"title": "A book"}), vocabulary(own.adds if own else None)
