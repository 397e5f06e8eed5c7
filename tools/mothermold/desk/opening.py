"""Opens documents to a class or the public: sets `visibility` where it must be wider, and touches nothing else."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from pathlib import Path

from mothermold.answers.open_needs import find_needs, lines_of, tell_needs
from mothermold.answers.result import Result
from mothermold.book.document import Document
from mothermold.desk.asking import Asking, StoppedError
from mothermold.desk.editing import Changes, edited, write_changes
from mothermold.model.course import Course
from mothermold.model.names import RecipeRef
from mothermold.view.editions import Edition, admits, visibility_of
from mothermold.view.needs import READERS, Needs, Opening
from mothermold.view.view import View, open_view


def open_for(root: Path, asked: str, to: str | None, asking: Asking, *, yes: bool, asks: bool) -> Result:
    """Finds what an edition lacks for a course or a recipe, and opens it after one yes.

    Args:
        root: The book's folder.
        asked: The course or the recipe, with or without a version.
        to: The edition.
        asking: Whom to ask.
        yes: Whether it was agreed to beforehand.
        asks: Whether a question may be asked; where neither, what is lacking is told and nothing opened.

    Raises:
        RefusedError: There is no such course, recipe or edition, or a file cannot be changed in place.
        StoppedError: It was not agreed to.
        CannotRunError: A file cannot be written.
    """
    view = open_view(root, "private")
    needs = find_needs(view, asked, to)
    edition: Edition = "public" if to == "public" else "class"
    found = tell_needs(view, needs, edition)
    if not needs.opens or not (yes or asks):
        return found
    if not yes:
        for line in lines_of(found.data):
            asking.say(line)
        if not asking.agree(f"Open {_count(needs.opens)} to {READERS[edition]}?", default=False):
            raise StoppedError
    _open(root, {each.file: (each, edition) for each in needs.opens}.values())
    return tell_needs(view, needs, edition, opened=True)


def offer_opening(root: Path, view: View, files: Collection[str], asking: Asking, *, asks: bool) -> bool:
    """Offers to open what the courses and recipes that are being saved need; tells whether anything was opened.

    Args:
        root: The book's folder.
        view: The book in the private edition.
        files: What is being saved.
        asking: Whom to tell, and to ask.
        asks: Whether a question may be asked; else it is only said.
    """
    wanted: dict[str, tuple[Document, Edition]] = {}
    lines: list[str] = []
    for document in _open_already(view, files):
        edition = visibility_of(document)
        needs = _needs(view, document, edition)
        if not needs.opens:
            continue
        for each in needs.opens:
            before = wanted.get(each.file)
            if before is None or not admits(edition, before[1]):
                wanted[each.file] = (each, edition)
        names = ", ".join(each.address for each in needs.opens)
        lines.append(f"{document.address} is open to {READERS[edition]}, and what it needs is not: {names}.")
        if not asks:
            lines.append(f"Type `mothermold open {document.address} --to {edition}` to open it too.")
    for line in lines:
        asking.say(line)
    if not wanted or not asks:
        return False
    if not asking.agree(f"Open {_count([each for each, _edition in wanted.values()])} too?", default=False):
        return False
    _open(root, wanted.values())
    return True


def _open_already(view: View, files: Collection[str]) -> Iterable[Document]:
    for kind in ("course", "recipe"):
        for document in view.on(kind).values():
            if document.file in files and document.model is not None and visibility_of(document) != "private":
                yield document


def _needs(view: View, document: Document, edition: Edition) -> Needs:
    opening = Opening(view.documents, view.versions, edition)
    course = view.of(Course).get(document.address) if document.kind == "course" else None
    return opening.course(course) if course is not None else opening.recipe(RecipeRef(document.address))


def _open(root: Path, documents: Iterable[tuple[Document, Edition]]) -> None:
    every: list[tuple[Document, Changes]] = [(document, {("visibility",): edition}) for document, edition in documents]
    for document, changes in every:
        edited(document, changes)  # refuses before the first file is written
    for document, changes in every:
        write_changes(root, document, changes)


def _count(documents: Collection[Document]) -> str:
    return "this document" if len(documents) == 1 else f"these {len(documents)} documents"
