"""Opens a book in one edition. Everything above sees documents, versions and notices only through this."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from functools import cached_property
from pathlib import Path

from mothermold.book.coming_off import NO_WAY_OFF
from mothermold.book.document import Document
from mothermold.book.files import SETTINGS_FILE
from mothermold.book.library import Book, read_book
from mothermold.book.pictures import Drawing, read_drawing
from mothermold.book.shelves import M, Shelves
from mothermold.ground.notices import Notice, in_order
from mothermold.history.timeline import History, open_history
from mothermold.history.versions import Versions
from mothermold.model.settings import Settings
from mothermold.trade.unused import UNUSED
from mothermold.trade.vocabulary import Vocabulary
from mothermold.view.advising import find_advice
from mothermold.view.clearing import find_clearing_faults
from mothermold.view.collecting import Collector
from mothermold.view.conditions import find_condition_faults
from mothermold.view.editions import Edition
from mothermold.view.evidence import Evidence
from mothermold.view.missing import keep_house
from mothermold.view.opening import find_open_faults
from mothermold.view.pins import find_pin_faults
from mothermold.view.pouring import find_pour_faults
from mothermold.view.ruling import Ruling, find_rule_faults
from mothermold.view.speaking import speakable
from mothermold.view.taking_off import find_glue_faults


@dataclass(eq=False)
class View:
    """One book in one edition; a view is equal to itself alone, so that what is made of it can be kept.

    Attributes:
        edition: private, class or public.
        root: The book's folder.
        settings: The book's settings.
        words: The words it knows.
        documents: What the edition holds, on its shelves.
        recipes: The addresses of all recipes with a version the edition holds, deleted ones too.
        notices: What is said about them, in order.
        newest: The time of the newest commit that touched the book.
        pins: Of each course, how many recipes it pins the edition leaves out, and how many it pins.
    """

    edition: Edition
    root: Path
    settings: Settings
    words: Vocabulary
    documents: Shelves
    recipes: tuple[str, ...]
    notices: tuple[Notice, ...]
    newest: datetime | None
    pins: Mapping[str, tuple[int, int]] = field(default_factory=dict)
    _versions: Mapping[str, Versions] = field(repr=False, default_factory=dict)
    _renamed: Mapping[str, str] = field(repr=False, default_factory=dict)
    _ruling: Ruling | None = field(repr=False, default=None)
    _past: Callable[[str], dict[str, list[tuple[datetime, Document | None]]]] = field(
        repr=False, default=lambda _kind: {}
    )
    _touched: Mapping[Notice, frozenset[str]] = field(repr=False, default_factory=dict)

    def versions(self, address: str) -> Versions | None:
        """The versions of a recipe, also by an earlier address; None where the edition holds none."""
        return self._versions.get(self._renamed.get(address, address))

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
        return self._past(kind)

    @cached_property
    def unsettled(self) -> tuple[Notice, ...]:
        """Why the book's settings cannot be read, where they cannot: scales, currency and zone are then not its own."""
        if self.of(Settings):
            return ()
        return tuple(each for each in self.notices if each.file == SETTINGS_FILE and each.severity == "error")

    @cached_property
    def ruling(self) -> Ruling:
        """What the rules of the trade say about what the edition holds."""
        return self._ruling or Ruling(self.documents, self.versions)

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
        return tuple(
            notice
            for notice in self.notices
            if notice.file is None
            or notice.file in wanted
            or notice in self.unsettled
            or not wanted.isdisjoint(self._touched.get(notice, ()))
        )


def _one_cause(notices: list[Notice]) -> list[Notice]:
    """A slip in a locked recipe is told as the slip it is; that it changes the version is its consequence."""
    no_slip = {"locked-changed", NO_WAY_OFF, *UNUSED}
    faulty = {notice.file for notice in notices if notice.severity != "advice" and notice.code not in no_slip}
    return [notice for notice in notices if notice.code != "locked-changed" or notice.file not in faulty]


def _judged(book: Book, history: History, ruling: Ruling) -> list[Notice]:
    """All that is said about a whole book, but what became of what is missing."""
    notices = [*book.notices, *history.notices, *find_pin_faults(book, history)]
    faulty = book.faulty
    for find in (find_rule_faults, find_clearing_faults, find_pour_faults, find_condition_faults, find_glue_faults):
        notices += find(book.documents, ruling, faulty)
    notices += find_advice(book, ruling, history.newest.date() if history.newest else None, tuple(notices))
    versions = (history.versions(address) for address in history.addresses())
    return _one_cause([*notices, *(notice for each in versions for notice in each.notices)])


def all_notices(book: Book) -> list[Notice]:
    """What `check` says of a book that was read, in order."""
    history = open_history(book)
    return in_order(keep_house(_judged(book, history, Ruling(book.documents, history.versions)), book, history).notices)


def open_view(root: Path, edition: Edition) -> View:
    """Reads a book and its history, and collects what an edition holds.

    Args:
        root: The book's folder.
        edition: The edition; private holds everything, also what cannot be read.
    """
    book = read_book(root)
    history = open_history(book)
    versions = {address: history.versions(address) for address in history.addresses()}
    ruling = Ruling(book.documents, history.versions)
    notices = _judged(book, history, ruling)
    if edition == "private":
        notices += find_open_faults(book.documents, history.versions, book.faulty)
        kept = keep_house(notices, book, history)
        return View(
            edition,
            root,
            book.settings,
            book.words,
            book.documents,
            tuple(versions),
            tuple(in_order(kept.notices)),
            history.newest,
            {},
            versions,
            history.renamed,
            ruling,  # the whole book is judged already
            history.saved,
            kept.touched,
        )
    held = Collector(book, history, versions, edition)
    shown = held.shown_versions
    own = next(iter(held.shown.models(Settings).values()), book.settings)
    return View(
        edition,
        root,
        own,
        book.words,
        held.shown,
        tuple(shown),
        tuple(in_order(speakable(notices, held))),
        history.newest,
        held.pins,
        shown,
        {old: new for old, new in history.renamed.items() if new in shown},
        _past=lambda kind: _shown_past(kind, history, held),
    )


def _shown_past(kind: str, history: History, held: Collector) -> dict[str, list[tuple[datetime, Document | None]]]:
    return {
        address: [(moment, held.as_shown(text) if text is not None else None) for moment, text in texts]
        for address, texts in history.saved(kind).items()
        if address in held.shown.on(kind) or address not in history.book.documents.on(kind)
    }
