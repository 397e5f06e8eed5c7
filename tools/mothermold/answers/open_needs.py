"""What a course or a recipe needs to be seen in an edition: what to open, what goes with it, what stays closed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, Final

from mothermold.answers.recipes import find_version, find_versions
from mothermold.answers.result import Result
from mothermold.book.document import Document
from mothermold.ground.errors import refused
from mothermold.ground.notices import Notice
from mothermold.model.course import Course
from mothermold.model.names import RecipeRef
from mothermold.view.editions import EDITIONS, Edition
from mothermold.view.needs import READERS, Closed, Needs, Opening, becomes_seen
from mothermold.view.view import View

EMPTY: Final[dict[str, Any]] = {
    "to": None,
    "opens": [],
    "closed": [],
    "leaves": [],
    "photos": [],
    "besides": [],
    "opened": None,
}

# The answer itself says these in full.
_SAID_HERE: Final = frozenset({"invisible-material", "pins-not-open"})


def find_needs(view: View, asked: str, to: str | None) -> Needs:
    """What an edition lacks for the course or recipe asked for.

    Args:
        view: The book in the private edition.
        asked: A course by its name, or a recipe as ``cast/cheek-piece`` or ``cast/cheek-piece@3``.
        to: The edition: class or public.

    Raises:
        RefusedError: ``unknown-edition``; ``unknown-recipe`` and its kin; a course's own notices where it cannot be read.
    """
    opening = Opening(view.documents, view.versions, _edition(to))
    name = asked.strip().removeprefix("recipes/").removeprefix("courses/").removesuffix(".yaml")
    course = view.on("course").get(name)
    if course is not None:
        if name not in view.of(Course):
            raise refused("not-opened", f"`{name}` cannot be read, so what it needs is not known.", f"Mend {course.file} first; `mothermold check` says how.")  # fmt: skip
        found = view.of(Course)[name]
        return opening.with_photos(opening.course(found), found.model.pins)
    if "@" not in asked:
        reference = RecipeRef(find_versions(view, asked).address)
    else:
        versions, row = find_version(view, asked)
        reference = RecipeRef(f"{versions.address}@{row.number}")
    return opening.with_photos(opening.recipe(reference), [reference])


def _edition(to: str | None) -> Edition:
    if to not in EDITIONS or to == "private":
        said = "Nothing says to whom." if to is None else f"Nothing is opened to `{to}`."
        raise refused("unknown-edition", said, "Type `--to class` or `--to public`.")
    return to


def tell_needs(view: View, needs: Needs, to: Edition, *, opened: bool = False) -> Result:
    """What was found in the promised shape, with a notice for each thing that stays closed."""
    files = {each.file for each in needs.opens}
    notices = [each for each in view.touching(files) if each.file is not None and each.code not in _SAID_HERE]
    data = {
        "to": to,
        "opens": [_row(each) for each in needs.opens],
        "closed": [{"what": each.what, "why": each.why} for each in needs.closed],
        "leaves": [_row(each) for each in needs.leaves],
        "photos": list(needs.photos),
        "besides": list(_besides(view, needs, to)),
        "opened": opened,
    }
    return Result(data, [*([] if opened else notices), *map(_stays, needs.closed), *_unsaved(needs, to)])


def _row(document: Document) -> dict[str, str]:
    return {"kind": document.kind, "id": document.address, "file": document.file}


def _stays(closed: Closed) -> Notice:
    return Notice("stays-closed", "warning", f"`{closed.what}` stays closed: {closed.why}.", closed.advice)


def _unsaved(needs: Needs, to: Edition) -> Iterator[Notice]:
    for each in needs.unsaved:
        message = f"`{each}` is open to {READERS[to]} in its file, and has not been saved that way yet."
        yield Notice(
            "open-not-saved", "warning", message, f"Type `mothermold save`: save it, and {READERS[to]} sees it."
        )


def _besides(view: View, needs: Needs, to: Edition) -> Iterator[str]:
    """What is seen with the documents that are opened, and what of them is not."""
    kinds = {each.kind for each in needs.opens}
    for document in needs.opens:
        listed = view.versions(document.address) if document.kind == "recipe" else None
        numbers = [str(row.number) for row in becomes_seen(listed, document, to)] if listed else []
        if numbers:
            those = (
                f"version {numbers[0]}"
                if len(numbers) == 1
                else f"versions {', '.join(numbers[:-1])} and {numbers[-1]}"
            )
            yield f"Of {document.address}, {those} can be read, with the reason (`why`) of each."
    if "material" in kinds:
        yield "All of a material is read but its lots and prices; those stay with you."
    if "course" in kinds:
        yield "All of a course is read but the answers to its questions; those stay with you."


def lines_of(data: Mapping[str, Any]) -> list[str]:
    """What is found, as it is said before somebody is asked."""
    readers = READERS[data["to"]]
    if not data["opens"]:
        return [f"Nothing is left to open to {readers}.", *_photo_lines(data)]
    deed = f"Opened to {readers}" if data["opened"] else f"To be opened to {readers}"
    lines = [f"{deed}:", *(f"  {row['kind']:<9} {row['id']:<32} {row['file']}" for row in data["opens"])]
    lines += ["", *data["besides"]] if data["besides"] else []
    if data["leaves"]:
        names = ", ".join(row["id"] for row in data["leaves"])
        lines += [
            "",
            f"These failure notes are named there and stay closed; the sheets are shown without them: {names}.",
            f"Type `visibility: {data['to']}` in those that may be read.",
        ]
    return [*lines, *_photo_lines(data)]


def _photo_lines(data: Mapping[str, Any]) -> Iterator[str]:
    if data["photos"]:
        readers = READERS[data["to"]]
        yield ""
        yield f"These photos stay with you; the sheets are shown without them: {', '.join(data['photos'])}."
        yield (
            f"Type `face: no` at one where nobody's face is to be seen; where one is and its owner agreed that {readers} "
            f"may see it, `visibility: {data['to']}`."
        )
