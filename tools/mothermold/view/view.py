"""Opens a book in one edition. Everything above sees documents, versions and notices only through this."""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path

from mothermold.book.document import Document
from mothermold.book.library import Book, read_book
from mothermold.ground.notices import Notice, in_order
from mothermold.history.timeline import History, open_history
from mothermold.history.versions import Version, Versions
from mothermold.model.material import Material
from mothermold.model.recipe import Recipe
from mothermold.model.settings import Settings
from mothermold.trade.vocabulary import Vocabulary
from mothermold.view.editions import Edition, admits, collect, visibility_of
from mothermold.view.pins import find_pin_faults


@dataclass
class View:
    """One book in one edition.

    Attributes:
        edition: private, class or public.
        root: The book's folder.
        settings: The book's settings.
        words: The words it knows.
        documents: What the edition holds, by kind and address.
        recipes: The addresses of all recipes with a version the edition holds, deleted ones too.
        notices: What is said about them, in order.
        newest: The time of the newest commit that touched the book.
    """

    edition: Edition
    root: Path
    settings: Settings
    words: Vocabulary
    documents: Mapping[str, Mapping[str, Document]]
    recipes: tuple[str, ...]
    notices: tuple[Notice, ...]
    newest: datetime | None
    _versions: Mapping[str, Versions] = field(repr=False, default_factory=dict)
    _renamed: Mapping[str, str] = field(repr=False, default_factory=dict)

    def versions(self, address: str) -> Versions | None:
        """The versions of a recipe, also by an earlier address; None where the edition holds none."""
        return self._versions.get(self._renamed.get(address, address))

    def materials(self) -> dict[str, Material]:
        """Today's materials by name."""
        return {
            name: document.model
            for name, document in self.documents["material"].items()
            if isinstance(document.model, Material)
        }

    def touching(self, files: Iterable[str]) -> tuple[Notice, ...]:
        """The notices about these files, and those about no file at all."""
        wanted = set(files)
        return tuple(notice for notice in self.notices if notice.file is None or notice.file in wanted)


def open_view(root: Path, edition: Edition) -> View:
    """Reads a book and its history, and collects what an edition holds.

    Args:
        root: The book's folder.
        edition: The edition; private holds everything, also what cannot be read.
    """
    book = read_book(root)
    history = open_history(book)
    versions = {address: history.versions(address) for address in history.addresses()}
    notices = [*book.notices, *history.notices, *find_pin_faults(book, history)]
    notices += [notice for each in versions.values() for notice in each.notices]
    if edition == "private":
        return View(edition, root, book.settings, book.words, book.documents, tuple(versions), tuple(in_order(notices)),
                    history.newest, versions, history.renamed)  # fmt: skip
    return _Collector(book, history, versions, edition).view(notices)


@dataclass
class _Collector:
    """Decides what an edition holds, then collects exactly that."""

    book: Book
    history: History
    versions: Mapping[str, Versions]
    edition: Edition

    def __post_init__(self) -> None:
        self.held: dict[str, set[str]] = {
            kind: {address for address, document in documents.items() if self._admitted(document)}
            for kind, documents in self.book.documents.items()
        }
        self.held["book"] = set(self.book.documents["book"])
        self.held_versions = {
            (address, row.number)
            for address, versions in self.versions.items()
            for row in versions.rows
            if self._admitted_version(address, row)
        }

    def _admitted(self, document: Document) -> bool:
        build = self.book.builds.get(document.file)
        around = [self.book.documents["build"].get(build)] if build else []
        return document.model is not None and admits(
            self.edition, visibility_of(document), *(visibility_of(each) if each else "private" for each in around)
        )

    def _admitted_version(self, address: str, row: Version) -> bool:
        head = self.book.documents["recipe"].get(address) or self.versions[address].rows[-1].document
        return admits(self.edition, visibility_of(row.document), visibility_of(head))

    def _holds(self, kind: str, address: str, version: int | None) -> bool:
        if kind == "recipe":
            address = self.history.renamed.get(address, address)
            if version is not None and self.versions.get(address) and self.versions[address].get(version):
                return (address, version) in self.held_versions
            return address in self.held["recipe"]
        return address in self.held[kind]

    def view(self, notices: list[Notice]) -> View:
        """The view, with an error for each recipe that could not be shown for what it uses."""
        refused: list[Notice] = []
        # Leaving a recipe out can leave a run of it out, and so on, until nothing changes.
        while True:
            documents = self._collected(refused)
            versions = {address: kept for address in self.versions if (kept := self._collected_versions(address))}
            if not self._shrink(documents, versions):
                break
        files = {document.file for kind in documents.values() for document in kind.values()}
        told = [notice for notice in notices if notice.file is None or notice.file in files]
        return View(
            self.edition, self.book.root, self.book.settings, self.book.words, documents, tuple(versions),
            tuple(in_order([*self._speakable(told), *refused])), self.history.newest, versions,
            {old: new for old, new in self.history.renamed.items() if new in versions},
        )  # fmt: skip

    def _collected(self, refused: list[Notice]) -> dict[str, dict[str, Document]]:
        documents: dict[str, dict[str, Document]] = {}
        for kind, every in self.book.documents.items():
            documents[kind] = {}
            for address, document in every.items():
                if address not in self.held[kind]:
                    continue
                shown = collect(document, self._holds)
                if shown is not None:
                    documents[kind][address] = shown
                elif kind == "recipe":
                    refused.append(_invisible_material(document, self.edition))
        return documents

    def _collected_versions(self, address: str) -> Versions | None:
        all_rows = self.versions[address]
        rows = tuple(
            kept for row in all_rows.rows if (address, row.number) in self.held_versions and (kept := self._shown(row))
        )
        head_held = address in self.held["recipe"] or address not in self.book.documents["recipe"]
        return Versions(address, rows, rows[-1].number) if rows and head_held else None

    def _shown(self, row: Version) -> Version | None:
        document = collect(row.document, self._holds)
        if document is None:
            return None
        amendments = tuple(
            (moment, shown)
            for moment, earlier in row.amendments
            if admits(self.edition, visibility_of(earlier)) and (shown := collect(earlier, self._holds))
        )
        clash = row.clash
        if clash is not None:
            clash = collect(clash, self._holds) if admits(self.edition, visibility_of(clash)) else None
        return dataclasses.replace(row, document=document, amendments=amendments, clash=clash)

    def _shrink(self, documents: Mapping[str, Mapping[str, Document]], versions: Mapping[str, Versions]) -> bool:
        before = sum(map(len, self.held.values())) + len(self.held_versions)
        self.held = {kind: set(every) for kind, every in documents.items()}
        self.held_versions = {(address, row.number) for address, each in versions.items() for row in each.rows}
        return sum(map(len, self.held.values())) + len(self.held_versions) < before

    def _speakable(self, notices: Iterable[Notice]) -> Iterator[Notice]:
        """Notices that give away no name the edition does not hold."""
        names = {
            piece
            for kind, every in self.book.documents.items()
            for address in every
            if address not in self.held[kind]
            for piece in (address, address.rpartition("/")[2])
        }
        if not names:
            yield from (dataclasses.replace(notice, excerpt="") for notice in notices)
            return
        pattern = re.compile("|".join(rf"(?<![a-z0-9-]){re.escape(name)}(?![a-z0-9-])" for name in sorted(names)))
        for notice in notices:
            if not pattern.search(f"{notice.message} {notice.help}"):
                yield dataclasses.replace(notice, excerpt="")


def _invisible_material(document: Document, edition: Edition) -> Notice:
    assert isinstance(document.model, Recipe)
    # The material is not named: this notice may be read by whoever reads the edition.
    return Notice(
        "invisible-material", "error", f"`{document.address}` uses a material that the {edition} edition does not hold.",
        f"Type `visibility: {edition}` in the materials it uses, or make the recipe private.", file=document.file,
    )  # fmt: skip
