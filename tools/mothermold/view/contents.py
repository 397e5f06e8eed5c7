"""Decides what an edition holds, then collects exactly that, document by document and version by version."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Mapping
from datetime import datetime

from mothermold.book.document import Document
from mothermold.book.files import RECIPES
from mothermold.book.library import Book
from mothermold.book.shelves import Shelves
from mothermold.ground.store import digest
from mothermold.history.timeline import History
from mothermold.history.versions import Version, Versions
from mothermold.model.course import Course
from mothermold.model.names import RecipeAddress, Reference
from mothermold.model.pictures import Picture, PictureFile, pictures_of
from mothermold.model.walk import KeyPath
from mothermold.view.editions import (
    Edition,
    PlacedName,
    admits,
    collect,
    name_used,
    names_brought,
    narrowest_pictures,
    reference_in,
    visibility_of,
)
from mothermold.view.saved_texts import RememberedTexts


class Collector:
    """What one edition holds of a book.

    Attributes:
        book: The whole book.
        history: Its whole history.
        versions: All versions of all its recipes.
        edition: The edition.
        held: The documents it holds, as they lie in the book.
        held_versions: The versions it holds, likewise.
        shown: The documents as it shows them.
        shown_versions: The versions as it shows them.
        refused: Recipes it admits and cannot show, for a material it does not hold.
        known: Every name that documents of the whole book bring in.
        names: Those that what is shown brings in.
        pins: Of each course it shows, how many recipes it pins are left out, and how many it pins.
    """

    def __init__(self, book: Book, history: History, versions: Mapping[str, Versions], edition: Edition) -> None:
        self.book, self.history, self.versions, self.edition = book, history, versions, edition
        self._saved = RememberedTexts(history.log.store, edition)
        self.held = Shelves(
            {
                kind: {address: each for address, each in shelf.items() if kind == "book" or self._admitted(each)}
                for kind, shelf in book.documents.by_kind().items()
            }
        )
        admitted = self.held.on("recipe")
        self.held_versions: Mapping[str, Versions] = {
            address: found for address, each in versions.items() if (found := self._admitted_versions(each)).rows
        }
        every = (text for address in (*versions, *history.renamed) for text in self._texts(address))
        self.known = self._names(book.documents, versions) | self._saved.names(every)
        self.names = self._names(self.held, self.held_versions)
        self._seen_by = narrowest_pictures(book.documents.every())
        # Leaving a recipe out can leave a run of it out, then a name the run brought, until nothing changes.
        while True:
            self.shown = self._collected()
            self.shown_versions = self._collected_versions()
            if not self._shrink():
                break
        self._saved.keep()
        self.pins = dict(self._pins())
        self.refused = [recipe for address, recipe in admitted.items() if address not in self.shown.on("recipe")]

    def _pins(self) -> Iterator[tuple[str, tuple[int, int]]]:
        for address, shown in self.shown.models(Course).items():
            whole = self.book.documents.models(Course)[address]
            yield address, (len(whole.pins) - len(shown.pins), len(whole.pins))

    def as_shown(self, document: Document) -> Document | None:
        """A saved text as the edition shows it; None where it does not."""
        return self._collect(document) if self._admitted(document) else None

    def state(self, address: str) -> str:
        """What the versions of a recipe are known by, as the edition shows them."""
        shown = self.shown_versions.get(address)
        return (
            digest(shown.address, shown.highest, *map(_state, shown.rows), *shown.notices) if shown is not None else ""
        )

    def past(
        self, kind: str, saved: Mapping[str, list[tuple[datetime, Document | None]]]
    ) -> dict[str, list[tuple[datetime, Document | None]]]:
        """Saved texts of a kind as the edition shows them: of what it holds, and of what the book holds no more."""
        return {
            address: [(moment, self.as_shown(text) if text is not None else None) for moment, text in texts]
            for address, texts in saved.items()
            if address in self.shown.on(kind) or address not in self.book.documents.on(kind)
        }

    def _admitted(self, document: Document) -> bool:
        build = self.book.builds.get(document.file)
        around = [self.book.documents.on("build").get(build)] if build else []
        return document.model is not None and admits(
            self.edition, visibility_of(document), *(visibility_of(each) if each else "private" for each in around)
        )

    def _admitted_versions(self, versions: Versions) -> Versions:
        newest = self._saved.visibility(self._newest_text(versions))
        rows = tuple(
            self._without_narrower_texts(row)
            for row in versions.rows
            if admits(self.edition, self._saved.visibility(row.document), newest)
        )
        return dataclasses.replace(versions, rows=rows)

    def _newest_text(self, versions: Versions) -> Document:
        """What the recipe says today; of a deleted one what it said last, whether or not that got a number."""
        today = self.book.documents.on("recipe").get(versions.address)
        return today or next(iter(self._texts(versions.address)), versions.rows[-1].document)

    def _without_narrower_texts(self, row: Version) -> Version:
        def open_or_none(text: Document | None) -> Document | None:
            return text if text and admits(self.edition, self._saved.visibility(text)) else None

        amendments = tuple(each for each in row.amendments if open_or_none(each[1]))
        clash, saved, draft = map(open_or_none, (row.clash, row.saved, row.saved_draft))
        return dataclasses.replace(row, amendments=amendments, clash=clash, saved=saved, saved_draft=draft)

    def _texts(self, address: str) -> Iterator[Document]:
        """All saved texts of the file of an address, the newest on the main line first."""
        file = f"{RECIPES}/{address}.yaml"
        saved = self.history.log.of(file)
        for _commit, blob in sorted(saved, key=lambda each: not each[0].first_parent):
            if blob is not None:
                yield self.history.parsed(blob, self.history.renamed.get(address, address), file)

    def _names(self, documents: Shelves, versions: Mapping[str, Versions]) -> set[PlacedName]:
        here = documents.every()
        names = {name for text in here for name in names_brought(text, self.book.builds.get(text.file, ""))}
        return names | self._saved.names(text for each in versions.values() for text in _every_text(each))

    def _collected(self) -> Shelves:
        return Shelves(
            {
                kind: {address: shown for address, each in shelf.items() if (shown := self._collect(each))}
                for kind, shelf in self.held.by_kind().items()
            }
        )

    def _collected_versions(self) -> dict[str, Versions]:
        collected: dict[str, Versions] = {}
        for address, versions in self.held_versions.items():
            rows = tuple(shown for row in versions.rows if (shown := self._shown(row)))
            gone = address not in self.book.documents.on("recipe")
            if rows and (gone or address in self.held.on("recipe")):
                collected[address] = Versions(address, rows, rows[-1].number)
        return collected

    def _shown(self, row: Version) -> Version | None:
        document = self._collect(row.document)
        if document is None:
            return None
        amendments = tuple((moment, shown) for moment, each in row.amendments if (shown := self._collect(each)))
        clash, saved, draft = (
            self._collect(each) if each else None for each in (row.clash, row.saved, row.saved_draft)
        )
        return dataclasses.replace(
            row, document=document, amendments=amendments, clash=clash, saved=saved, saved_draft=draft
        )

    def _collect(self, document: Document) -> Document | None:
        return collect(document, lambda path, value: self._hides(document, path, value))

    def _hides(self, document: Document, path: KeyPath, value: str) -> bool:
        if document.kind == "book" and path[0] == "emergency":
            # Where the shop is and whom it calls is nobody else's business.
            return self.edition == "public"
        if isinstance(value, RecipeAddress):
            return not self.ever_held_at(value.address)
        if isinstance(value, PictureFile):
            assert document.model is not None
            return self.hides_picture(pictures_of(document.model)[path[:-1]])
        reference = reference_in(path, value)
        if reference is not None:
            step = reference.step
            return not self._holds(reference) or (step is not None and self._hidden("step", reference.address, step))
        used = name_used(document, path, value, self.book.builds.get(document.file, ""))
        return used is not None and self._hidden(*used)

    def hides_picture(self, picture: Picture) -> bool:
        """Whether a drawing or photo stays out, though what shows it may be read; an older text is no wider than today's."""
        return not admits(self.edition, picture.seen_by, self._seen_by.get(picture.file, "public"))

    def _holds(self, reference: Reference) -> bool:
        typed, version = reference.address, reference.version
        if reference.KIND != "recipe":
            return typed in self.held.on(reference.KIND)
        address = self.history.renamed.get(typed, typed)
        if address != typed and not self.ever_held_at(typed):
            return False
        held = self.held_versions.get(address)
        if version is not None and self.history.versions(address).get(version):
            return held is not None and held.get(version) is not None
        return held is not None or address in self.held.on("recipe")

    def ever_held_at(self, earlier: str) -> bool:
        """Whether a recipe may be called by an earlier address: not where all it said there was hidden."""
        if earlier in self.book.documents.on("recipe"):
            return earlier in self.held.on("recipe")
        texts = list(self._texts(earlier))
        return not texts or any(admits(self.edition, self._saved.visibility(text)) for text in texts)

    def _hidden(self, what: str, where: str, name: str) -> bool:
        """Whether only documents the edition does not hold bring in a name."""
        if what in ("step", "mix"):
            where = self.history.renamed.get(where, where)
        return (what, where, name) in self.known and (what, where, name) not in self.names

    def _shrink(self) -> bool:
        """Holds only what was shown; returns whether that is less than before."""
        names = self._names(self.shown, self.shown_versions)
        before = [
            sum(1 for _ in self.held.every()),
            sum(len(each.rows) for each in self.held_versions.values()),
            self.names,
        ]
        self.held = Shelves(
            {
                kind: {address: shelf[address] for address in self.shown.on(kind)}
                for kind, shelf in self.held.by_kind().items()
            }
        )
        self.held_versions = {
            address: dataclasses.replace(
                versions, rows=tuple(row for row in versions.rows if self.shown_versions[address].get(row.number))
            )
            for address, versions in self.held_versions.items()
            if address in self.shown_versions
        }
        self.names = names
        after = [
            sum(1 for _ in self.held.every()),
            sum(len(each.rows) for each in self.held_versions.values()),
            self.names,
        ]
        return before != after


def _every_text(versions: Versions) -> Iterator[Document]:
    """Every text of every version, the earlier and the other ones of a number too."""
    for row in versions.rows:
        yield row.document
        yield from (earlier for _moment, earlier in row.amendments)
        yield from (each for each in (row.clash, row.saved, row.saved_draft) if each)


def _state(row: Version) -> str:
    texts = [row.document, *(text for _moment, text in row.amendments), row.clash, row.saved, row.saved_draft]
    said = (row.number, row.status, row.commit, row.moment, row.working_tree, *(when for when, _text in row.amendments))
    return digest(*said, *(text.state if text is not None else "" for text in texts))
