"""Opens a book and shows it in one edition. Everything above sees documents, versions and notices only through this."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import astuple
from datetime import datetime
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any

from mothermold.book.document import Document
from mothermold.book.files import SETTINGS_FILE
from mothermold.book.library import Book, read_book
from mothermold.book.shelves import M, Shelves
from mothermold.ground.looking import Remembered
from mothermold.ground.memory import all_stays
from mothermold.ground.notices import Notice, in_order
from mothermold.ground.store import digest
from mothermold.history.timeline import History, open_history
from mothermold.history.versions import Versions
from mothermold.model.pictures import PictureFile, pictures_of
from mothermold.model.settings import Settings
from mothermold.view.editions import Edition

if TYPE_CHECKING:
    from mothermold.book.pictures import Drawing
    from mothermold.view.contents import Collector
    from mothermold.view.evidence import Evidence
    from mothermold.view.judging import Judging
    from mothermold.view.ruling import Ruling
    from mothermold.view.showing import ShownPhoto

SaidNotice = tuple[Notice, frozenset[str]]
"""A notice, and the files it is about beside the one it stands in."""


class View:
    """One book in one edition; a view is equal to itself alone, so that what is made of it can be kept.

    What nobody asks for is not worked out.

    Args:
        whole: The book.
        edition: private, class or public; private holds everything, also what cannot be read.

    Attributes:
        edition: The edition.
        root: The book's folder.
        words: The words it knows.
        newest: The time of the newest commit that touched the book.
        once: What was made of it that several ask for.
    """

    def __init__(self, whole: Whole, edition: Edition) -> None:
        self._whole, self.edition = whole, edition
        self.root, self.words, self.newest = whole.book.root, whole.book.words, whole.history.newest
        self.once, self._saying = Remembered(), dict[type, dict[int, Document[Any]]]()

    @cached_property
    def _held(self) -> Collector | None:
        return None if self.edition == "private" else self._whole.collected(self.edition)

    @cached_property
    def documents(self) -> Shelves:
        """What the edition holds, on its shelves."""
        return self._held.shown if self._held is not None else self._whole.book.documents

    @cached_property
    def settings(self) -> Settings:
        """The book's settings, as the edition shows them."""
        return next(iter(self.models(Settings).values()), self._whole.book.settings)

    @cached_property
    def recipes(self) -> tuple[str, ...]:
        """The addresses of all recipes with a version the edition holds, deleted ones too."""
        return tuple(self._held.shown_versions if self._held is not None else self._whole.history.addresses())

    @property
    def pins(self) -> Mapping[str, tuple[int, int]]:
        """Of each course, how many recipes it pins the edition leaves out, and how many it pins."""
        return self._held.pins if self._held is not None else {}

    @cached_property
    def notices(self) -> tuple[Notice, ...]:
        """What is said about what the edition holds, in order."""
        return tuple(each for each, _files in self._touching)

    @cached_property
    def _touching(self) -> Sequence[SaidNotice]:
        """What is said, each with the files it is about beside the one it stands in."""

        def judge() -> list[list[Any]]:
            with self._whole.as_before():
                return [[*astuple(each), sorted(files)] for each, files in self._judged()]

        told = self.kept("notices", "", judge)
        return [(Notice(*notice), frozenset(files)) for *notice, files in told]

    def kept(self, room: str, asked: str, make: Callable[[], Any], *, most: int = 6) -> Any:
        """What was made of this very book in this edition before; else made, and kept until anything of the book changes.

        Args:
            room: What kind of thing it is.
            asked: What else it was made from.
            make: Makes it, of what JSON gives back as it was; anything else is made anew each time.
            most: How many of its kind are kept.
        """
        found = self.recall(room, asked)
        if found is None:
            found = make()
            self.keep(room, asked, found, most=most)
        return found

    def recall(self, room: str, asked: str) -> Any:
        """What was kept of this very book in this edition; None where nothing was."""
        return self._whole.history.log.store.get(room, digest(self._whole.state, self.edition, asked))

    def keep(self, room: str, asked: str, made: Any, *, most: int) -> None:
        """Keeps what was made of the book until anything of it changes; see ``kept``."""
        self._whole.history.log.store.put(room, digest(self._whole.state, self.edition, asked), made, most=most)

    def _judged(self) -> Sequence[SaidNotice]:
        whole = self._whole
        if self._held is not None:
            from mothermold.view.speakable import speakable  # noqa: PLC0415 - most questions do without

            return [(each, frozenset()) for each in in_order(speakable(whole.judged, self._held))]
        from mothermold.view.missing import keep_house  # noqa: PLC0415 - most questions do without

        kept = keep_house([*whole.judged, *whole.judging.open_faults()], whole.book, whole.history)
        return [(each, kept.touched.get(each, frozenset())) for each in in_order(kept.notices)]

    def versions(self, address: str) -> Versions | None:
        """The versions of a recipe, also by an earlier address; None where the edition holds none."""
        history = self._whole.history
        if self._held is not None:
            return self._held.shown_versions.get(history.renamed.get(address, address))
        listed = history.versions(address)
        return listed if listed.rows or listed.address in self.on("recipe") else None

    def of(self, model: type[M]) -> Mapping[str, Document[M]]:
        """The documents of a kind the edition holds and that can be read, by address; see `Shelves.of`."""
        return self.documents.of(model)

    def models(self, model: type[M]) -> Mapping[str, M]:
        """What they say, by address; see `Shelves.models`."""
        return self.documents.models(model)

    def that_says(self, model: M) -> Document[M]:
        """The document that says this: a run may lie under another name than its id.

        Args:
            model: What a document the edition holds says, itself and no copy.
        """
        kind = type(model)
        if kind not in self._saying:
            self._saying[kind] = {id(document.model): document for document in self.of(kind).values()}
        return self._saying[kind][id(model)]

    def on(self, kind: str) -> Mapping[str, Document]:
        """Every document of a kind the edition holds, by address; see `Shelves.on`."""
        return self.documents.on(kind)

    def past(self, kind: str) -> dict[str, list[tuple[datetime, Document | None]]]:
        """The texts under which documents of a kind were saved, newest first, each as the edition shows it.

        Args:
            kind: The kind of document.

        Returns:
            By address, of what the edition holds and of what the book holds no more; None for a text that deleted
            the document, and for one the edition does not show.
        """
        saved, held = self._whole.history.saved(kind), self._held
        if held is None:
            return saved
        return {
            address: [(moment, held.as_shown(text) if text is not None else None) for moment, text in texts]
            for address, texts in saved.items()
            if address in held.shown.on(kind) or address not in self._whole.book.documents.on(kind)
        }

    @cached_property
    def unsettled(self) -> tuple[Notice, ...]:
        """Why the book's settings cannot be read, where they cannot: scales, currency and zone are then not its own."""
        if self._whole.book.documents.of(Settings):
            return ()
        return tuple(each for each in self.notices if each.file == SETTINGS_FILE and each.severity == "error")

    @cached_property
    def ruling(self) -> Ruling:
        """What the rules of the trade say about what the edition holds."""
        if self._held is None:
            return self._whole.ruling
        from mothermold.view.ruling import Ruling  # noqa: PLC0415 - most questions do without

        return Ruling(self.documents, self.versions)

    @cached_property
    def evidence(self) -> Evidence:
        """What the runs the edition holds say of its failures."""
        from mothermold.view.evidence import Evidence  # noqa: PLC0415 - most questions do without

        return Evidence(self.documents, self.versions, self.recipes)

    @cached_property
    def pictures(self) -> tuple[PictureFile, ...]:
        """The drawings and photos the edition's documents and versions name, each once."""
        rows = (row for address in self.recipes if (each := self.versions(address)) for row in each.rows)
        models = (each.model for each in (*self.documents.every(), *(row.document for row in rows)) if each.model)
        named = (picture.file for model in models for picture in pictures_of(model).values())
        return tuple(dict.fromkeys(named))

    def picture(self, file: str) -> Drawing | ShownPhoto | None:
        """A drawing or photo the edition names, as it may be shown; None where it cannot be."""
        from mothermold.view.showing import shown_picture  # noqa: PLC0415 - most questions do without

        if self._held is not None and file not in self.pictures:
            return None
        store = self._whole.history.log.store
        return self.once.of(("picture", file), lambda: shown_picture(self.root, PictureFile(file), store))

    def touching(self, files: Iterable[str]) -> tuple[Notice, ...]:
        """The notices about these files, those about no file at all, and why the settings cannot be read: they matter everywhere."""
        wanted = set(files)
        return tuple(
            notice
            for notice, besides in self._touching
            if notice.file is None
            or notice.file in wanted
            or notice in self.unsettled
            or not wanted.isdisjoint(besides)
        )


class Whole:
    """A book and its history, read once; every edition is made of it.

    Attributes:
        book: The book as it lies there.
        history: What was saved of it.
    """

    def __init__(self, book: Book, before: Whole | None = None) -> None:
        self.book = book
        self.history: History = open_history(book, before.history if before is not None else None)
        self._editions: dict[Edition, View] = {}
        self._is_followed = before is not None

    @classmethod
    @all_stays()
    def open(cls, root: Path, before: Whole | None = None) -> Whole:
        """Reads a book and its history.

        Args:
            root: The book's folder.
            before: The book as it was opened before: what did not change since is not read and judged again.
        """
        return cls(read_book(root, before=before.book if before is not None else None), before)

    def edition(self, edition: Edition) -> View:
        """The book in one edition."""
        if edition not in self._editions:
            self._editions[edition] = View(self, edition)
        return self._editions[edition]

    @cached_property
    def state(self) -> str:
        """A digest of all that can be known of the book: its files, its history, and what of it lies elsewhere."""
        log = self.history.log
        return digest(self.book.digest, log.name, *log.notices, *log.left_out, *sorted(log.elsewhere))

    def collected(self, edition: Edition) -> Collector:
        """What an edition holds, which is not the owner's."""
        from mothermold.view.contents import Collector  # noqa: PLC0415 - most questions do without

        return Collector(self.book, self.history, self.versions, edition)

    @cached_property
    @all_stays()
    def versions(self) -> Mapping[str, Versions]:
        """The versions of every recipe there is or ever was."""
        return {address: self.history.versions(address) for address in self.history.addresses()}

    @cached_property
    def ruling(self) -> Ruling:
        """What the rules of the trade say about the whole book."""
        from mothermold.view.ruling import Ruling  # noqa: PLC0415 - most questions do without

        return Ruling(self.book.documents, self.history.versions, self.book.made)

    @cached_property
    def judging(self) -> Judging:
        """What judges its documents."""
        from mothermold.view.judging import Judging  # noqa: PLC0415 - most questions do without

        return Judging(self.book, self.history, self.ruling, self.book.faulty)

    @cached_property
    @all_stays()
    def judged(self) -> tuple[Notice, ...]:
        """All that is said about the book, but what became of what is missing, and what is for the owner alone."""
        from mothermold.view.judging import judge  # noqa: PLC0415 - most questions do without

        return judge(self.judging)

    @contextmanager
    def as_before(self) -> Iterator[None]:
        """While it lasts, what was made before of what did not change since is not made again."""
        made, store = self.book.made, self.history.log.store
        if not made.begun:
            made.begin(store.get("made", ""))
        yield
        # Whoever follows a book has in memory what was judged; the file need not hear of every word typed.
        if made.changed and not self._is_followed:
            store.put("made", "", made.kept(), most=1)
            made.changed = False


def all_notices(book: Book) -> list[Notice]:
    """What `check` says of a book that was read, in order."""
    return list(Whole(book).edition("private").notices)


def open_view(root: Path, edition: Edition) -> View:
    """A book in one edition; see `Whole`."""
    return Whole.open(root).edition(edition)
