"""Opens a book and shows it in one edition. Everything above sees documents, versions and notices only through this."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import datetime
from functools import cached_property
from pathlib import Path

from mothermold.book.coming_off import NO_WAY_OFF
from mothermold.book.document import Document
from mothermold.book.files import SETTINGS_FILE
from mothermold.book.library import Book, read_book
from mothermold.book.pictures import Drawing, read_drawing
from mothermold.book.shelves import M
from mothermold.ground.memory import all_stays
from mothermold.ground.notices import Notice, in_order
from mothermold.history.timeline import open_history
from mothermold.history.versions import Versions
from mothermold.model.settings import Settings
from mothermold.trade.unused import UNUSED
from mothermold.view.advising import find_advice
from mothermold.view.clearing import find_clearing_faults
from mothermold.view.collecting import Collector
from mothermold.view.conditions import find_condition_faults
from mothermold.view.editions import Edition
from mothermold.view.evidence import Evidence
from mothermold.view.missing import Housekeeping, keep_house
from mothermold.view.opening import find_open_faults
from mothermold.view.pins import find_pin_faults
from mothermold.view.pouring import find_pour_faults
from mothermold.view.ruling import Ruling, find_rule_faults
from mothermold.view.speaking import speakable
from mothermold.view.taking_off import find_glue_faults


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
        documents: What the edition holds, on its shelves.
        newest: The time of the newest commit that touched the book.
    """

    def __init__(self, whole: Whole, edition: Edition) -> None:
        self._whole, self.edition = whole, edition
        self._held = None if edition == "private" else Collector(whole.book, whole.history, whole.versions, edition)
        self.root, self.words, self.newest = whole.book.root, whole.book.words, whole.history.newest
        self.documents = self._held.shown if self._held is not None else whole.book.documents

    @cached_property
    def settings(self) -> Settings:
        """The book's settings, as the edition shows them."""
        return next(iter(self.models(Settings).values()), self._whole.book.settings)

    @cached_property
    def _versions(self) -> Mapping[str, Versions]:
        return self._held.shown_versions if self._held is not None else self._whole.versions

    @cached_property
    def recipes(self) -> tuple[str, ...]:
        """The addresses of all recipes with a version the edition holds, deleted ones too."""
        return tuple(self._versions)

    @property
    def pins(self) -> Mapping[str, tuple[int, int]]:
        """Of each course, how many recipes it pins the edition leaves out, and how many it pins."""
        return self._held.pins if self._held is not None else {}

    @cached_property
    def notices(self) -> tuple[Notice, ...]:
        """What is said about what the edition holds, in order."""
        if self._held is None:
            return tuple(in_order(self._whole.kept.notices))
        return tuple(in_order(speakable(self._whole.judged, self._held)))

    def versions(self, address: str) -> Versions | None:
        """The versions of a recipe, also by an earlier address; None where the edition holds none."""
        return self._versions.get(self._whole.history.renamed.get(address, address))

    def of(self, model: type[M]) -> Mapping[str, Document[M]]:
        """The documents of a kind the edition holds and that can be read, by address; see `Shelves.of`."""
        return self.documents.of(model)

    def models(self, model: type[M]) -> Mapping[str, M]:
        """What they say, by address; see `Shelves.models`."""
        return self.documents.models(model)

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
        if self.of(Settings):
            return ()
        return tuple(each for each in self.notices if each.file == SETTINGS_FILE and each.severity == "error")

    @cached_property
    def ruling(self) -> Ruling:
        """What the rules of the trade say about what the edition holds."""
        return self._whole.ruling if self._held is None else Ruling(self.documents, self.versions)

    @cached_property
    def evidence(self) -> Evidence:
        """What the runs the edition holds say of its failures."""
        return Evidence(self.documents, self.versions, self.recipes)

    def drawing(self, file: str) -> Drawing | None:
        """A drawing a step of the edition names; None where it cannot be shown."""
        told = read_drawing(self.root, file)
        return told if isinstance(told, Drawing) else None

    def touching(self, files: Iterable[str]) -> tuple[Notice, ...]:
        """The notices about these files, those about no file at all, and why the settings cannot be read: they matter everywhere."""
        wanted = set(files)
        touched = self._whole.kept.touched if self._held is None else {}
        return tuple(
            notice
            for notice in self.notices
            if notice.file is None
            or notice.file in wanted
            or notice in self.unsettled
            or not wanted.isdisjoint(touched.get(notice, ()))
        )


def _one_cause(notices: list[Notice]) -> list[Notice]:
    """A slip in a locked recipe is told as the slip it is; that it changes the version is its consequence."""
    no_slip = {"locked-changed", NO_WAY_OFF, *UNUSED}
    faulty = {notice.file for notice in notices if notice.severity != "advice" and notice.code not in no_slip}
    return [notice for notice in notices if notice.code != "locked-changed" or notice.file not in faulty]


class Whole:
    """A book and its history, read once; every edition is made of it.

    Attributes:
        book: The book as it lies there.
        history: What was saved of it.
    """

    def __init__(self, book: Book) -> None:
        self.book, self.history = book, open_history(book)
        self._editions: dict[Edition, View] = {}

    @classmethod
    @all_stays()
    def open(cls, root: Path) -> Whole:
        """Reads a book and its history.

        Args:
            root: The book's folder.
        """
        return cls(read_book(root))

    def edition(self, edition: Edition) -> View:
        """The book in one edition."""
        if edition not in self._editions:
            self._editions[edition] = View(self, edition)
        return self._editions[edition]

    @cached_property
    @all_stays()
    def versions(self) -> Mapping[str, Versions]:
        """The versions of every recipe there is or ever was."""
        return {address: self.history.versions(address) for address in self.history.addresses()}

    @cached_property
    def ruling(self) -> Ruling:
        """What the rules of the trade say about the whole book."""
        return Ruling(self.book.documents, self.history.versions)

    @cached_property
    @all_stays()
    def judged(self) -> tuple[Notice, ...]:
        """All that is said about the book, but what became of what is missing."""
        book, history = self.book, self.history
        notices = [*book.notices, *history.notices, *find_pin_faults(book, history)]
        for find in (find_rule_faults, find_clearing_faults, find_pour_faults, find_condition_faults, find_glue_faults):
            notices += find(book.documents, self.ruling, book.faulty)
        notices += find_advice(book, self.ruling, history.newest.date() if history.newest else None, tuple(notices))
        return tuple(_one_cause([*notices, *(notice for each in self.versions.values() for notice in each.notices)]))

    @cached_property
    def kept(self) -> Housekeeping:
        """The same, with what is missing told once, and what other editions lack."""
        lacking = find_open_faults(self.book.documents, self.history.versions, self.book.faulty)
        return keep_house([*self.judged, *lacking], self.book, self.history)


def all_notices(book: Book) -> list[Notice]:
    """What `check` says of a book that was read, in order."""
    return list(Whole(book).edition("private").notices)


def open_view(root: Path, edition: Edition) -> View:
    """A book in one edition; see `Whole`."""
    return Whole.open(root).edition(edition)
