"""What may be said in an edition: notices that give away nothing it does not hold.

A notice about names compares documents with each other. In an edition it is told only where the documents of
that edition alone give the same notice in the same words; a rule's in their words.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Collection, Container, Iterable, Iterator
from typing import Final

from mothermold.book.files import SETTINGS_FILE
from mothermold.book.library import Book
from mothermold.ground.made import MadeBefore
from mothermold.ground.notices import Notice
from mothermold.history.timeline import History
from mothermold.history.versions import Versions, said_version
from mothermold.model.pictures import pictures_of
from mothermold.model.settings import Settings
from mothermold.view.contents import Collector
from mothermold.view.editions import admits, kept_back, visibility_of
from mothermold.view.judging import Judging
from mothermold.view.needs import READERS, not_open
from mothermold.view.ruling import Ruling

# What only whoever keeps the files can mend, and no reader can see; what rests on runs a reader may not have; and mornings.
_OWNERS: Final = frozenset(
    {"photo-tells", "photo-without-words", "runs-say-otherwise", "morning-not-asked", "not-available"}
)


def speakable(notices: Iterable[Notice], collector: Collector) -> Iterator[Notice]:
    """The notices an edition may tell, and one for each thing it admits and cannot show, or not whole."""
    book, history = collector.book, collector.history
    held = dataclasses.replace(book, documents=collector.held, made=MadeBefore())
    versions = {address: Versions(address, ()) for address in collector.versions} | dict(collector.held_versions)
    known = Ruling(book.documents, history.versions).rules
    own = _between_documents(held, History(held, history.log, history.renamed, (), {}, versions), book.faulty)
    ruled = {_gist(notice): notice for notice in own if notice.code in known}
    silent = {each for each in _between_documents(book, history, book.faulty) - own if _gist(each) not in ruled}
    # What else is said about the same word would tell it, too.
    notices = tuple(notices)
    kept = _places_kept_back(collector, {notice.file for notice in notices})
    places = {*((notice.file, notice.line, notice.column) for notice in silent), *kept}
    files = {document.file for document in collector.shown.every()}
    hidden = _hidden_words(collector)
    for notice in (ruled.get(_gist(each), each) for each in notices if each.code not in _OWNERS):
        told = notice.file is None or (notice.file in files and (notice.file, notice.line, notice.column) not in places)
        if told and not hidden & _words_quoted(f"{notice.message} {notice.help}"):
            yield dataclasses.replace(notice, excerpt="")
    if not book.documents.of(Settings):
        # What stands in them is not quoted: whom the shop calls may be among it.
        yield Notice(
            "settings-unread",
            "error",
            "The book's settings cannot be read, so scales, currency and clocks are not its own here.",
            "Type `mothermold check` for the line, and mend it.",
            file=SETTINGS_FILE,
        )
    for recipe in collector.refused:
        # The material is not named: this notice may be read by whoever reads the edition.
        edition = collector.edition
        yield Notice(
            "invisible-material",
            "error",
            f"`{recipe.address}` uses a material that the {edition} edition does not hold.",
            f"Type `mothermold open {recipe.address} --to {edition}` to see which, or make the recipe private.",
            file=recipe.file,
        )
    yield from _not_saved_open(collector)
    for course, (missing, pinned) in sorted(collector.pins.items()):
        if missing:
            # How many, and nothing of which: a name or a stage would tell.
            yield Notice(
                "pins-not-open",
                "warning",
                f"{not_open(missing, pinned, collector.edition)}.",
                f"Type `mothermold open {course} --to {collector.edition}` to see which and why.",
                file=collector.shown.on("course")[course].file,
            )


def _not_saved_open(collector: Collector) -> Iterator[Notice]:
    """Recipes whose file is open to the edition, and whose version in it was last saved narrower."""
    edition = collector.edition
    for address, document in collector.shown.on("recipe").items():
        number, _status = said_version(document)
        row = collector.versions[address].get(number) if number is not None else None
        if row is not None and row.saved is None and not admits(edition, visibility_of(row.document)):
            yield Notice(
                "open-not-saved",
                "warning",
                f"`{address}` is open to {READERS[edition]} in its file, and version {number} has not been saved that way yet.",
                f"Type `mothermold save`: save it, and {READERS[edition]} sees it.",
                file=document.file,
            )


def _places_kept_back(collector: Collector, files: Container[str | None]) -> Iterator[tuple[str, int, int]]:
    """Where lots, prices, a teacher's answers and hidden photos stand in these files: nothing is said about these either."""
    for document in collector.held.every():
        if document.file not in files:
            continue
        pictures = pictures_of(document.model).items() if document.model is not None else ()
        hidden = (place for place, picture in pictures if collector.hides_picture(picture))
        if own := (*kept_back(document), *hidden):
            for path, span in document.tree.values.items():
                if any(path[: len(place)] == place for place in own):
                    yield document.file, span.line, span.column


def _gist(notice: Notice) -> tuple[object, ...]:
    """What a rule's notice says and where; its help may name a test the edition does not hold: then its own is told."""
    return notice.code, notice.message, notice.file, notice.line, notice.column


def _between_documents(book: Book, history: History, faulty: Collection[str | None]) -> set[Notice]:
    """What is said where documents meet; files with a slip are the same for every edition, whatever it holds of them."""
    judging = Judging(book, history, Ruling(book.documents, history.versions, book.made), faulty)
    return {*judging.names_nobody_knows(), *judging.between()}


def _hidden_words(collector: Collector) -> set[str]:
    """Names of documents, and names in them, that the edition does not show anywhere."""
    held = {document.address for document in collector.held.every()}
    every = {document.address for document in collector.book.documents.every()}
    shown = {name for _what, _where, name in collector.names} | held | set(collector.shown_versions)
    earlier = {address for address in collector.history.renamed if not collector.ever_held_at(address)}
    return (every | earlier | set(collector.versions) | {name for _what, _where, name in collector.known}) - shown


def _words_quoted(text: str) -> set[str]:
    """The names in a notice: they all stand between backticks, some with a version, a step or a key."""
    quoted = text.split("`")[1::2]
    return {word.split("@")[0].split("#")[0] for quote in quoted for word in quote.strip("[]").split()} | {
        word.partition("#")[2] for word in quoted
    }
