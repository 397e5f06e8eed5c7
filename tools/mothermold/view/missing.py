"""Documents that are spoken of and not there: where each went and how it comes back, once and not for every reader."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import partial
from typing import Final

from mothermold.book.document import Document
from mothermold.book.files import PICTURES, RECIPES, Place, place_of
from mothermold.book.library import Book
from mothermold.book.misplaced import home_of
from mothermold.book.photos import find_unnamed, photo_files
from mothermold.book.strays import document_meant, find_strays, pictures_named
from mothermold.ground.notices import Notice, Severity
from mothermold.history.timeline import History
from mothermold.model.kinds import KINDS
from mothermold.model.recipe import Recipe
from mothermold.model.walk import KeyPath
from mothermold.view.pins import spoken_of

DocumentName = tuple[str, str]
"""A document's kind and address."""

_UNDO: Final = "`mothermold undo --unsaved` brings it back"
_RETIRE: Final = "if it was meant to go, bring it back and type `status: retired` in it"


@dataclass(frozen=True, slots=True)
class Housekeeping:
    """The notices of a whole book, its missing documents told once.

    Attributes:
        notices: All that is said.
        touched: The files a notice about a missing document is about, beside the one it stands in.
    """

    notices: list[Notice]
    touched: Mapping[Notice, frozenset[str]]


@dataclass(slots=True)
class _Gone:
    """A document that is spoken of and not there: its kind and address, and where it is spoken of."""

    kind: str
    address: str
    spoken: list[tuple[Document, KeyPath]] = field(default_factory=list)

    @property
    def name(self) -> DocumentName:
        return self.kind, self.address

    @property
    def usual(self) -> str:
        """The file such a document lies in where nothing else is known."""
        return f"{RECIPES}/{KINDS[self.kind].file_of(self.address)}"

    def told(self, severity: Severity, what: str, advice: str) -> Notice:
        document, path = self.spoken[0]
        message = f"The {KINDS[self.kind].called} `{self.address}` {what}, and {_speakers(self.spoken)} of it."
        return document.notice("document-gone", message, advice, path, severity=severity)


def keep_house(notices: Iterable[Notice], book: Book, history: History) -> Housekeeping:
    """Tells of documents that vanished, moved or were renamed where they went, and lists the files nobody reads.

    Args:
        notices: What is said about the book so far, with a notice at every name nothing answers to.
        book: The book as it lies there.
        history: Knows what the newest save holds.
    """
    listed, touched, silent = list(notices), {}, set()
    missing = _Missing(book, history, listed)
    for gone in _all_gone(book, history):
        files = frozenset(document.file for document, _path in gone.spoken)
        elsewhere = missing.saved.get(gone.name) in history.log.elsewhere
        cause = missing.cause(gone, listed)
        told = None if cause or elsewhere else missing.told(gone)
        if not (cause or told or elsewhere):
            continue
        silent |= {(document.file, _at(document, path)) for document, path in gone.spoken}
        if cause is not None:
            back = missing.sent_back(cause, gone)
            listed = [back if each == cause else each for each in listed]
            touched[back] = files
            missing.displaced.add(cause.file)
        elif told is not None:
            listed.append(told)
            touched[told] = files
    kept = [
        each
        for each in listed
        if (each.code != "unknown-reference" or (each.file, (each.line, each.column)) not in silent)
        # What else is said of a document in a wrong place mostly follows from its place.
        and (each.file not in missing.displaced or each.severity == "error" or each in touched)
    ]
    left = [each for each in book.strays if each not in missing.used]
    photos = photo_files(book.root)
    shown = _pictures_shown(book) if left or photos else set()
    strays = find_strays(each for each in left if each.removeprefix(f"{PICTURES}/") not in shown)
    unnamed = find_unnamed(_unnamed_photos(history, [file for file in photos if file not in shown]))
    return Housekeeping([*kept, *strays, *unnamed, *history.log.for_owner], touched)


def _pictures_shown(book: Book) -> set[str]:
    """The drawings and photos the documents of today name."""
    return {
        file
        for each in book.documents.every()
        for file in book.made.of(f"{each.kind}/{each.address}: shows", partial(pictures_named, each))
    }


def _unnamed_photos(history: History, left: Sequence[str]) -> list[str]:
    """Those of these photos that no version of a recipe names either: an older one may still be looked at."""
    if not left:
        return []
    rows = (row for address in history.addresses() for row in history.versions(address).rows)
    named = {file for row in rows for file in pictures_named(row.document)}
    return [file for file in left if file not in named]


def _at(document: Document, path: KeyPath) -> tuple[int | None, int | None]:
    span = document.at_value(path)
    return span.line, span.column


def _all_gone(book: Book, history: History) -> list[_Gone]:
    found: dict[DocumentName, _Gone] = {}
    for document in book.documents.every():
        for kind, address, path in spoken_of(document, book, history)["gone"]:
            gone = found.setdefault((kind, address), _Gone(kind, address))
            gone.spoken.append((document, tuple(path)))
    return list(found.values())


class _Missing:
    """Knows where documents went."""

    def __init__(self, book: Book, history: History, notices: Iterable[Notice]) -> None:
        self.book, self.history = book, history
        self.used: set[str] = set()
        self.displaced: set[str | None] = set()
        read = {document.file: document for document in book.documents.every()}
        self.strays = _by_name((document_meant(each), each) for each in book.strays)
        self.lost = [each for each in book.files if each not in read]
        self.unread = _by_name((document_meant(each), each) for each in self.lost)
        away = dict.fromkeys(each.file for each in notices if each.code in ("wrong-folder", "wrong-stage"))
        homes = ((_home(read[file]), file) for file in away if file in read)
        self.misplaced = _by_name((home, file) for home, file in homes if home)
        self.saved = _by_name((file, file) for file in history.log.newest)
        self.new = {file for file in book.files if history.log.newest.get(file, (None, None))[1] is None}

    def cause(self, gone: _Gone, notices: Iterable[Notice]) -> Notice | None:
        """What is said already about the document itself, where it lies now."""
        files = {self.misplaced.get(gone.name), self.unread.get(gone.name)} - {None}
        last = self.saved.get(gone.name, gone.usual)
        lost = [each for each in self.lost if each.rpartition("/")[2] == last.rpartition("/")[2]]
        told = ("wrong-folder", "wrong-stage", "wrong-suffix", "bad-file-name", "symlink-outside")
        return next((each for each in notices if each.file in {*files, *lost} and each.code in told), None)

    def sent_back(self, cause: Notice, gone: _Gone) -> Notice:
        """The same notice, with who speaks of the document and the very place it came from."""
        home = self.saved.get(gone.name, gone.usual)
        spoken = f"{_speakers(gone.spoken)} of it there."
        if cause.code in ("wrong-stage", "wrong-folder"):
            return replace(cause, help=f"Move it back to `{home}`; {spoken}")
        if cause.code == "bad-file-name":
            return replace(cause, help=f"Rename it back to `{home.rpartition('/')[2]}`; {spoken}")
        return cause

    def told(self, gone: _Gone) -> Notice | None:
        """Where a document went and how it comes back; None where there never was one."""
        file = self.saved.get(gone.name)
        if stray := self.strays.get(gone.name):
            self.used.add(stray)
            name = document_meant(stray).rpartition("/")[2]
            return gone.told("error", f"is now called `{stray}`", f"Rename that file back to `{name}`.")
        if file is None:
            return None
        commit, blob = self.history.log.newest[file]
        if blob is not None and (moved := self._moved(file)):
            self.displaced.add(moved)
            carried = (
                f", or type `formerly: [{gone.address}]` in it if it was meant to" if gone.kind == "recipe" else ""
            )
            return gone.told("error", f"now lies at `{moved}`", f"Move it back to `{file}`{carried}.")
        if blob is not None:
            advice = f"{_UNDO}; {_RETIRE}." if gone.kind == "recipe" else f"{_UNDO}, as it was last saved."
            return gone.told("error", "is gone from the book since its last save", advice)
        day = commit.moment.astimezone(self.book.settings.zone).date()
        back = f"`git restore --source={commit.sha[:10]}~1 {file}` brings its last text back"
        if gone.kind == "recipe":
            advice = f"Its saved versions stay readable; {back}, and `status: retired` says that it is done no more."
            return gone.told("advice", f"was deleted in the save of {day}", advice)
        return gone.told("error", f"was deleted in the save of {day}", f"{back[:1].upper()}{back[1:]}.")

    def _moved(self, file: str) -> str | None:
        """A new document of the same name, or in the same words, in another folder."""
        name, blob = file.rpartition("/")[2], self.history.log.newest[file][1]
        text = self.history.log.blobs.get(blob or "", b"").replace(b"\r\n", b"\n")
        for document in self.book.documents.every():
            if document.file in self.new and (
                document.file.endswith(f"/{name}") or (text and document.text.encode() == text)
            ):
                return document.file
        return None


def _home(document: Document) -> str | None:
    """Where a document in the folder of another kind or stage belongs."""
    model = document.model
    if isinstance(model, Recipe):
        folder, _, rest = document.address.partition("/")
        return f"{RECIPES}/{model.stage}/{rest}.yaml" if model.stage != folder else None
    return home_of(document)


def _by_name(files: Iterable[tuple[str, str]]) -> dict[DocumentName, str]:
    found: dict[DocumentName, str] = {}
    for meant, file in files:
        place = place_of(meant) if meant.startswith(f"{RECIPES}/") else None
        if isinstance(place, Place):
            found.setdefault((place.kind, place.address), file)
    return found


def _speakers(spoken: Iterable[tuple[Document, KeyPath]]) -> str:
    kinds = Counter({document.file: document.kind for document, _path in spoken}.values())
    counted = [
        f"{number} {KINDS[kind].called if number == 1 else KINDS[kind].several}" for kind, number in kinds.items()
    ]
    named = f"{', '.join(counted[:-1])} and {counted[-1]}" if len(counted) > 1 else counted[0]
    return f"{named} {'speaks' if sum(kinds.values()) == 1 else 'speak'}"
