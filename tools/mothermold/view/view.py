"""Opens a book and shows it in one edition. Everything above sees documents, versions and notices only through this."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from datetime import date, datetime
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any

from mothermold.book.document import Document
from mothermold.book.library import Book, read_book
from mothermold.book.shelves import M, Shelves
from mothermold.ground.looking import Looked, not_looking, saw
from mothermold.ground.made import MadeBefore
from mothermold.ground.memory import all_stays
from mothermold.ground.notices import Notice
from mothermold.ground.store import digest
from mothermold.history.versions import Versions
from mothermold.model.pictures import PictureFile
from mothermold.model.settings import Settings
from mothermold.trade.vocabulary import Vocabulary
from mothermold.view.editions import Edition
from mothermold.view.judged import JudgedBook
from mothermold.view.newest import newest_shown
from mothermold.view.pictured import pictured
from mothermold.view.sums import Summed
from mothermold.view.told import ToldNotices, said_of

if TYPE_CHECKING:
    from mothermold.book.pictures import Drawing
    from mothermold.view.contents import Collector
    from mothermold.view.evidence import Evidence
    from mothermold.view.ruling import Ruling
    from mothermold.view.showing import ShownPhoto


class View(Summed):
    """One book in one edition; a view is equal to itself alone, so that what is made of it can be kept.

    What nobody asks for is not worked out. Whatever it hands out of the book it notes as looked at; see ``ground.looking``.

    Args:
        whole: The book.
        edition: private, class or public; private holds everything, also what cannot be read.
        before: What was made of the same edition as it was before.

    Attributes:
        edition: The edition.
        root: The book's folder.
        store: Where answers are kept that were made of the book.
    """

    def __init__(self, whole: JudgedBook, edition: Edition, before: MadeBefore | None = None) -> None:
        self._whole, self.edition, self.root = whole, edition, whole.book.root
        self.store = whole.history.log.store
        super().__init__(MadeBefore(before, whole.book.made if edition == "private" else None))

    def take_up(self, kept: Any) -> None:
        """Lets what was made of this edition before hold on, as far as all that was looked at for it is as it was.

        Args:
            kept: What `made` once kept.
        """
        whole, made, held = self._whole, self.made, self._held
        whole.take_up()
        if held is not None:
            self.documents.open_to(made)
            made.knows("drawing", lambda file: whole.book.made.state(f"drawing {file}"))
            made.knows("photo", lambda file: whole.book.made.state(f"photo {file}"))
            made.knows("saved", lambda address: held.state(whole.history.renamed.get(address, address)))
            made.knows("now-at", self.today)
        made.knows("recipes", lambda _: digest(*self.recipes))
        made.knows("newest", lambda _: str(self.newest))
        made.knows("settings", lambda _: digest(repr(self.settings), self.words))
        made.knows("book", lambda _: whole.state)
        for looked in (self._told.by_file, self.pins):
            made.opens(looked)
        self.open_sums()
        self.ruling  # noqa: B018 - it says how its own cells are known
        if not made.begun:
            made.begin(kept)

    @cached_property
    def _held(self) -> Collector | None:
        with not_looking():
            return None if self.edition == "private" else self._whole.collected(self.edition)

    @cached_property
    def documents(self) -> Shelves:
        """What the edition holds, on its shelves."""
        return self._held.shown if self._held is not None else self._whole.book.documents

    @property
    def settings(self) -> Settings:
        """The book's settings, as the edition shows them."""
        saw("settings ")
        return self._settings

    @cached_property
    def _settings(self) -> Settings:
        with not_looking():
            return next(iter(self.models(Settings).values()), self._whole.book.settings)

    @property
    def words(self) -> Vocabulary:
        """The words the book knows."""
        saw("settings ")
        return self._whole.book.words

    @property
    def newest(self) -> datetime | None:
        """The time of the newest commit that changed what the edition shows."""
        saw("newest ")
        return self._newest

    @cached_property
    def _newest(self) -> datetime | None:
        with not_looking():
            return newest_shown(self._held) if self._held is not None else self._whole.history.newest

    @property
    def day(self) -> date | None:
        """The day of that, by the book's clock: what no other day is said of is as of it."""
        newest = self.newest
        return newest.astimezone(self.settings.zone).date() if newest is not None else None

    @property
    def recipes(self) -> tuple[str, ...]:
        """The addresses of all recipes with a version the edition holds, deleted ones too."""
        saw("recipes ")
        return self._recipes

    @cached_property
    def _recipes(self) -> tuple[str, ...]:
        with not_looking():
            return tuple(self._held.shown_versions if self._held is not None else self._whole.history.addresses())

    @cached_property
    def pins(self) -> Looked[tuple[int, int]]:
        """Of each course, how many recipes it pins the edition leaves out, and how many it pins."""
        return Looked("pins", lambda: self._held.pins if self._held is not None else {})

    @cached_property
    def _told(self) -> ToldNotices:
        whole, held = self._whole, self._held
        return ToldNotices(lambda: self.kept("notices", "", lambda: said_of(whole, held)), whole.book)

    @property
    def notices(self) -> tuple[Notice, ...]:
        """What is said about what the edition holds, in order."""
        return self._told.every()

    def touching(self, files: Iterable[str]) -> tuple[Notice, ...]:
        """The notices about these files, those about no file at all, and why the settings cannot be read: they matter everywhere."""
        return self._told.about(files)

    def kept(self, room: str, asked: str, make: Callable[[], Any], *, most: int = 6) -> Any:
        """What was made of this very book in this edition before; else made, and kept until anything of the book changes.

        Args:
            room: What kind of thing it is.
            asked: What else it was made from.
            make: Makes it, of what JSON gives back as it was; anything else is made anew each time.
            most: How many of its kind are kept.
        """
        saw("book ")
        key = digest(self._whole.state, self.edition, asked)
        found = self.store.get(room, key)
        if found is None:
            with not_looking():
                found = make()
            self.store.put(room, key, found, most=most)
        return found

    @property
    def state(self) -> str:
        """What the whole book is known by, with its history."""
        saw("book ")
        return self._whole.state

    @property
    def unsettled(self) -> tuple[Notice, ...]:
        """Why the book's settings cannot be read, where they cannot: scales, currency and zone are then not its own."""
        return self._told.unsettled()

    def versions(self, address: str) -> Versions | None:
        """The versions of a recipe, also by an earlier address; None where the edition holds none."""
        saw(f"saved {address}")
        history = self._whole.history
        if self._held is not None:
            return self._held.shown_versions.get(history.renamed.get(address, address))
        listed = history.versions(address)
        return listed if listed.rows or listed.address in self.on("recipe") else None

    def today(self, address: str) -> str:
        """The address a recipe has today, from any it ever had; as given where the edition holds no such recipe."""
        today = self._whole.history.address(address)
        return today if self._held is None or today in self._held.shown_versions else address

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
        return self.documents.that_says(model)

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
        saw("book ")
        saved = self._whole.history.saved(kind)
        return self._held.past(kind, saved) if self._held is not None else saved

    @cached_property
    def ruling(self) -> Ruling:
        """What the rules of the trade say about what the edition holds."""
        if self._held is None:
            return self._whole.ruling
        from mothermold.view.ruling import Ruling  # noqa: PLC0415 - most questions do without

        return Ruling(self.documents, self.versions, self.made)

    @cached_property
    def evidence(self) -> Evidence:
        """What the runs the edition holds say of its failures."""
        from mothermold.view.evidence import Evidence  # noqa: PLC0415 - most questions do without

        return Evidence(self)

    def picture(self, file: str) -> Drawing | ShownPhoto | None:
        """A drawing or photo the edition names, as it may be shown; None where it cannot be."""
        from mothermold.view.showing import shown_picture  # noqa: PLC0415 - most questions do without

        if self._held is not None and file not in pictured(self):
            return None
        return self.once.of(("picture", file), lambda: shown_picture(self.root, PictureFile(file), self.store))


class Whole(JudgedBook):
    """A book and its history, read once; every edition is made of it."""

    def __init__(self, book: Book, before: Whole | None = None) -> None:
        super().__init__(book, before)
        self._editions: dict[Edition, View] = {}
        self._made_then = {name: view.made for name, view in before._editions.items()} if before is not None else {}

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
            self._editions[edition] = View(self, edition, self._made_then.get(edition))
        return self._editions[edition]


def all_notices(book: Book) -> list[Notice]:
    """What `check` says of a book that was read, in order."""
    return list(Whole(book).edition("private").notices)


def open_view(root: Path, edition: Edition) -> View:
    """A book in one edition; see `Whole`."""
    return Whole.open(root).edition(edition)
