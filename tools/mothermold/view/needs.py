"""What an edition must be allowed to show for a course or a recipe, and what no permission opens any more.

Looks from the private edition, which knows all names, at what ``contents`` will do with them; a test over generated
books holds the two to one answer.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Final, TypeVar

from mothermold.book.document import Document
from mothermold.book.files import RECIPES
from mothermold.book.shelves import Shelves
from mothermold.ground.notices import Notice
from mothermold.history.versions import FindVersions, Version, Versions, said_version
from mothermold.model.course import Course
from mothermold.model.names import FailureRef, MaterialRef, RecipeRef, Reference
from mothermold.model.pictures import pictures_of
from mothermold.model.recipe import Recipe
from mothermold.model.walk import references
from mothermold.view.editions import Edition, admits, narrowest_pictures, visibility_of

_Named = TypeVar("_Named", bound=Reference)

READERS: Final[Mapping[str, str]] = {"private": "you", "class": "the class", "public": "the public"}
"""Who reads an edition, as it is said."""


_UNREAD: Final = "its text cannot be read"
_NO_VERSION: Final = "the book has no such version"
_NO_MATERIAL: Final = "the book has no such material"
_ERRORS: Final = frozenset({_UNREAD, _NO_VERSION, _NO_MATERIAL})
"""Reasons that have a notice of their own."""


@dataclass(frozen=True, slots=True)
class Closed:
    """Something no permission opens.

    Attributes:
        what: What it is, as typed.
        why: Why, without a full stop.
        advice: What to do instead.
    """

    what: str
    why: str
    advice: str


@dataclass(frozen=True, slots=True)
class Needs:
    """What an edition lacks for something it is to show.

    Attributes:
        opens: The documents whose visibility must be widened, each once, in the order they are needed.
        closed: What stays out all the same.
        unsaved: Versions that are open in the file and were not saved so yet.
        leaves: Failure notes that are named and not open; what names them is shown without them.
        photos: Photos that stay with the owner though what shows them is open: nobody said that no face is in them.
    """

    opens: tuple[Document, ...] = ()
    closed: tuple[Closed, ...] = ()
    unsaved: tuple[str, ...] = ()
    leaves: tuple[Document, ...] = ()
    photos: tuple[str, ...] = ()

    @property
    def met(self) -> bool:
        """Whether the edition shows it as it is."""
        return not (self.opens or self.closed or self.unsaved)


def together(needs: Iterable[Needs]) -> Needs:
    """The needs of several things as one, nothing twice."""
    every = list(needs)
    return Needs(
        _once(document for each in every for document in each.opens),
        tuple(dict.fromkeys(closed for each in every for closed in each.closed)),
        tuple(dict.fromkeys(row for each in every for row in each.unsaved)),
        _once(document for each in every for document in each.leaves),
        tuple(dict.fromkeys(photo for each in every for photo in each.photos)),
    )


def _once(documents: Iterable[Document]) -> tuple[Document, ...]:
    return tuple({document.file: document for document in documents}.values())


class Opening:
    """Asks what one edition lacks."""

    def __init__(self, documents: Shelves, versions: FindVersions, edition: Edition) -> None:
        self.documents, self.versions, self.edition = documents, versions, edition

    def course(self, document: Document[Course]) -> Needs:
        """What it lacks for a course and every recipe the course names."""
        named = dict.fromkeys(_named(document, RecipeRef))
        return together([Needs(opens=self._shut(document)), *map(self.recipe, named)])

    def pins(self, document: Document[Course]) -> list[tuple[RecipeRef, Needs]]:
        """What it lacks for each recipe a course pins."""
        return [(each, self.recipe(each)) for each in document.model.pins]

    def recipe(self, reference: RecipeRef) -> Needs:
        """What it lacks for a version of a recipe; for the one in use where no number is named."""
        listed = self.versions(reference.address)
        head = self.documents.on("recipe").get(listed.address if listed else reference.address)
        row, closed = self._row(reference, listed)
        if head is None:
            return self._gone(reference, listed, row, closed)
        if head.model is None:
            return Needs(closed=(_unreadable(head),))
        shut = self._shut(head)
        unsaved: tuple[str, ...] = ()
        if row is not None and row.recipe is None:
            closed = (*closed, _unreadable(row.document, f"{head.address}@{row.number}"))
        elif row is not None and not self.admits(row.document):
            if _follows(row, head):
                unsaved = () if shut else (f"{head.address}@{row.number}",)
            else:
                closed = (*closed, _saved_narrower(head.address, row, listed))
        if listed is not None and not self._known_as(reference.address, listed):
            earlier = f"under the name `{reference.address}` it was never open"
            closed = (*closed, Closed(str(reference), earlier, f"Call it `{head.address}`, as it is called now."))
        texts = [head, *([row.document] if row is not None else [])]
        materials = [self._material(name) for text in texts for name in dict.fromkeys(_named(text, MaterialRef))]
        notes = (self.documents.on("failure").get(name.address) for text in texts for name in _named(text, FailureRef))
        leaves = _once(each for each in notes if each is not None and not self.admits(each))
        return together([Needs(shut, closed, unsaved, leaves), *materials])

    def with_photos(self, needs: Needs, references: Iterable[RecipeRef]) -> Needs:
        """The same, with the photos of these recipes that stay with the owner whatever is opened."""
        narrowest = narrowest_pictures(self.documents.every())
        texts: list[Document] = []
        for reference in references:
            listed = self.versions(reference.address)
            head = self.documents.on("recipe").get(listed.address if listed else reference.address)
            row, _closed = self._row(reference, listed)
            texts += [text for text in (head, row.document if row else None) if text is not None]
        pictures = [each for text in texts if text.model is not None for each in pictures_of(text.model).values()]
        kept = (
            str(each.file)
            for each in pictures
            if not admits(self.edition, each.seen_by, narrowest.get(each.file, "public"))
        )
        return together([needs, Needs(photos=tuple(dict.fromkeys(kept)))])

    def _known_as(self, address: str, listed: Versions) -> bool:
        """Whether a recipe may be called so: not by an earlier name under which all it said was hidden."""
        if address == listed.address:
            return True
        file = f"{RECIPES}/{address}.yaml"
        texts = [
            text for row in listed.rows for text in (row.document, *(earlier for _moment, earlier in row.amendments))
        ]
        there = [text for text in texts if text.file == file]
        return not there or any(map(self.admits, there))

    def _row(self, reference: RecipeRef, listed: Versions | None) -> tuple[Version | None, tuple[Closed, ...]]:
        if listed is None or not (listed.rows or listed.address in self.documents.on("recipe")):
            unknown = f"no recipe is called `{reference.address}`"
            return None, (Closed(str(reference), unknown, "Type the name of a recipe the book holds."),)
        if reference.version is None:
            drafts = [row for row in listed.rows if row.status == "draft"]
            return listed.current or next(iter(drafts), None), ()
        row = listed.get(reference.version)
        if row is None:
            return None, (Closed(str(reference), _NO_VERSION, _another(listed)),)
        return row, ()

    def _gone(
        self, reference: RecipeRef, listed: Versions | None, row: Version | None, closed: tuple[Closed, ...]
    ) -> Needs:
        """A deleted recipe stays as it was saved: no file says anything else of it any more."""
        if listed is None or row is None or (self.admits(row.document) and self.admits(listed.rows[-1].document)):
            return Needs(closed=closed)
        why = f"the recipe was deleted, and it was saved as {visibility_of(listed.rows[-1].document)}"
        return Needs(closed=(*closed, Closed(str(reference), why, "Pin a recipe the book still holds.")))

    def _material(self, name: str) -> Needs:
        document = self.documents.on("material").get(name)
        if document is None:
            return Needs(
                closed=(Closed(name, _NO_MATERIAL, f"Add it with `mothermold new material`, named `{name}`."),)
            )
        return Needs(closed=(_unreadable(document),)) if document.model is None else Needs(self._shut(document))

    def _shut(self, document: Document) -> tuple[Document, ...]:
        return () if self.admits(document) else (document,)

    def admits(self, document: Document) -> bool:
        """Whether a document's own text lets the edition show it."""
        return document.model is not None and admits(self.edition, visibility_of(document))


def _named(document: Document, kind: type[_Named]) -> Iterator[_Named]:
    if document.model is not None:
        yield from (value for _path, value in references(document.model) if isinstance(value, kind))


def _follows(row: Version, head: Document) -> bool:
    """Whether a number will say what the file says, once that is saved: then the file opens it."""
    number, status = said_version(head)
    return number == row.number and (status != "draft" or row.status == "draft")


def _unreadable(document: Document, what: str = "") -> Closed:
    mend = f"Mend {document.file} first; `mothermold check` says how." if not what else "Pin another version."
    return Closed(what or document.address, _UNREAD, mend)


def _saved_narrower(address: str, row: Version, listed: Versions | None) -> Closed:
    why = f"version {row.number} was saved as {visibility_of(row.document)}, and what is saved stays so"
    newer = listed.rows[-1].number if listed and listed.rows[-1].number > row.number else row.number + 1
    return Closed(f"{address}@{row.number}", why, f"Show version {newer} instead, open and saved.")


def _another(listed: Versions) -> str:
    return f"It has {', '.join(str(row.number) for row in listed.rows)}." if listed.rows else "It has none yet."


def reason(needs: Needs) -> str:
    """Why something is not shown, in a few words."""
    shut = [f"`{each.address}` is {visibility_of(each)}" for each in needs.opens]
    more = [f"and {len(shut) - 3} more"] if len(shut) > 3 else []
    told = [each.why for each in needs.closed] + shut[:3] + more
    return ", ".join(told) or "it is open in the file and not saved that way yet"


def find_open_faults(
    document: Document, documents: Shelves, versions: FindVersions, faulty: Collection[str | None]
) -> Iterator[Notice]:
    """What a recipe or a course open to a class or the public lacks to be shown there, with every name: for the owner."""
    model = document.model
    if not isinstance(model, Recipe | Course) or model.visibility == "private" or document.file in faulty:
        return
    opening = Opening(documents, versions, model.visibility)
    if isinstance(model, Recipe):
        yield from _materials_not_open(document, opening)
    else:
        yield from _pins_not_open(documents.of(Course)[document.address], opening)


def _materials_not_open(document: Document, opening: Opening) -> Iterator[Notice]:
    wanted = [opening.documents.on("material").get(name) for name in dict.fromkeys(_named(document, MaterialRef))]
    shut = Needs(tuple(each for each in wanted if each and each.model is not None and not opening.admits(each)))
    if shut.opens:
        readers = READERS[opening.edition]
        yield document.notice(
            "invisible-material",
            f"`{document.address}` is open to {readers} and uses what is not: {reason(shut)}. So it is not shown.",
            f"Type `mothermold open {document.address} --to {opening.edition}`, or make the recipe private.",
            ("visibility",),
            severity="warning",
        )


def _pins_not_open(document: Document[Course], opening: Opening) -> Iterator[Notice]:
    pins = opening.pins(document)
    lacking = [(each, needs) for each, needs in pins if not needs.met]
    # What cannot be read or is not there is an error of its own; that it is not shown either follows from it.
    if any(needs.opens or needs.unsaved or not _all_errors(needs) for _each, needs in lacking):
        told = "; ".join(f"`{each}`, because {reason(needs)}" for each, needs in lacking)
        openable = any(needs.opens for _each, needs in lacking)
        instead = next((closed.advice for _each, needs in lacking for closed in needs.closed), "")
        yield document.notice(
            "pins-not-open",
            f"{not_open(len(lacking), len(pins), opening.edition)}: {told}.",
            f"Type `mothermold open {document.address} --to {opening.edition}`; it lists all of it and asks once."
            if openable
            else instead or "Type `mothermold save`.",
            ("pins",),
            severity="warning",
        )


def _all_errors(needs: Needs) -> bool:
    return all(closed.why in _ERRORS or closed.why.startswith("no recipe is called") for closed in needs.closed)


def not_open(missing: int, of: int, edition: Edition) -> str:
    """How many recipes of a course an edition does not show, without a name."""
    return f"{missing} of {of} sheet{'s' * (of != 1)} {'is' if missing == 1 else 'are'} not open to {READERS[edition]}"


def becomes_seen(listed: Versions, head: Document, edition: Edition) -> Iterator[Version]:
    """The versions of a recipe an edition shows once the recipe's file is open to it."""
    for row in listed.rows:
        if row.recipe is not None and (_follows(row, head) or admits(edition, visibility_of(row.document))):
            yield row
