"""Whether every recipe, version, step and piece that is named exists: what only history can tell."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from typing import Any, Final

from mothermold.book.document import Document
from mothermold.book.library import Book
from mothermold.ground.notices import Notice
from mothermold.ground.words import offer
from mothermold.history.timeline import History
from mothermold.history.versions import Version, Versions
from mothermold.model.failure import Failure
from mothermold.model.kinds import KINDS
from mothermold.model.names import RecipeAddress, RecipeRef
from mothermold.model.recipe import Recipe
from mothermold.model.run import Run
from mothermold.model.traits import places
from mothermold.model.walk import KeyPath, references, walk

_FIXES: Final = "fixes"


class Pins:
    """Recipes, versions, steps, mixes and pieces named but not there, and fixes only one side knows.

    Args:
        book: The book.
        history: Knows its versions.
    """

    def __init__(self, book: Book, history: History) -> None:
        self.book, self.history = book, history

    def faults(self, document: Document) -> Iterator[Notice]:
        """What is wrong with what one document names."""
        for path, value in references(document.model) if document.model is not None else ():
            if isinstance(value, RecipeRef) and not isinstance(value, RecipeAddress):
                yield from _reference(document, path, value, self.history)
        if isinstance(document.model, Run):
            yield from _run(document, document.model, self.history)
        if isinstance(document.model, Failure):
            yield from _fixes_of_note(document, document.model, self.history)
        if document.kind == "recipe":
            yield from self._fixes_of_recipe(document)

    def _fixes_of_recipe(self, recipe: Document) -> Iterator[Notice]:
        address, notes = recipe.address, self.book.documents.of(Failure)
        for row in self.history.versions(address).rows:
            if row.status == "draft" or not row.document.may_say(_FIXES):
                continue
            for index, name in enumerate(row.fixes):
                note = notes.get(name)
                if note is None or self._says(note.model, address, row.number):
                    continue
                advice = f"Type `in: {address}@{row.number}` at the fix in `{note.file}`."
                here = recipe.model is not None and row.number == getattr(recipe.model, "version", None)
                told: Document
                told, path = (
                    (recipe, (_FIXES, index)) if here else (note, (_FIXES,) if _FIXES in note.raw else ("title",))
                )
                yield told.notice(
                    "fix-one-sided",
                    f"Version {row.number} of `{address}` says that it fixes `{name}`, but the note does not say so.",
                    advice,
                    path,
                    severity="warning",
                )

    def _says(self, note: Failure, address: str, number: int) -> bool:
        """Whether a note says that a version of a recipe answers it."""
        named = (fix.in_ for fix in note.fixes if fix.in_ is not None and fix.in_.version == number)
        return any(self.history.versions(ref.address).address == address for ref in named)

    def together(self) -> Iterator[Notice]:
        """What several documents say of one thing: versions of which no text is here, and pieces of one label."""
        yield from self._earlier_texts()
        yield from self._pieces()

    def _earlier_texts(self) -> Iterator[Notice]:
        cited: dict[str, set[int]] = {}
        for document in self.book.documents.every():
            for address, number in spoken_of(document, self.book, self.history)["lost"]:
                cited.setdefault(address, set()).add(number)
        for address, numbers in sorted(cited.items()):
            recipe = self.book.documents.on("recipe").get(address)
            if recipe is None:
                continue
            listed = ", ".join(str(number) for number in sorted(numbers))
            plural = "s" if len(numbers) > 1 else ""
            yield recipe.notice(
                "earlier-text-missing",
                f"Version{plural} {listed} of this recipe {'are' if plural else 'is'} named elsewhere, "
                "but no saved text is here.",
                "Copy the book with its whole history to read and compare earlier versions.",
                ("version",),
                severity="advice",
            )

    def _pieces(self) -> Iterator[Notice]:
        seen: dict[tuple[str, str], str] = {}
        for address, document in self.book.documents.on("run").items():
            build = self.book.builds.get(document.file, "")
            kept = self.book.made.of(f"run/{address}: kept", partial(_kept, document))
            for index, piece in enumerate(kept):
                first = seen.setdefault((build, piece), address)
                if first != address or piece in kept[:index]:
                    yield document.notice(
                        "duplicate-id",
                        f"A piece `{piece}` exists already, from `{first}`.",
                        f"Give this one another label than `{piece}`.",
                        ("kept", index, "piece"),
                    )


def spoken_of(document: Document, book: Book, history: History) -> dict[str, list[Any]]:
    """What a document speaks of that is not there.

    Returns:
        Under `gone` documents by kind, address and where they are named, under `lost` recipes by address and number of
        which no text was ever saved here.
    """

    def find() -> dict[str, list[Any]]:
        told: dict[str, list[Any]] = {"gone": [], "lost": []}
        for path, value in references(document.model) if document.model is not None else ():
            if isinstance(value, RecipeAddress):
                continue
            address = history.address(value.address) if value.KIND == "recipe" else value.address
            if address not in book.documents.on(value.KIND):
                told["gone"].append([value.KIND, address, list(path)])
            if isinstance(value, RecipeRef) and value.version is not None:
                versions = history.versions(value.address)
                if versions.rows and versions.get(value.version) is None and _lost(versions, value):
                    told["lost"].append([versions.address, value.version])
        return told

    found: dict[str, list[Any]] = book.made.of(f"{document.kind}/{document.address}: speaks", find)
    return found


def _kept(document: Document) -> list[str]:
    """The pieces a run left behind."""
    return [str(each.piece) for each in document.model.kept] if isinstance(document.model, Run) else []


def _reference(document: Document, path: KeyPath, reference: RecipeRef, history: History) -> Iterator[Notice]:
    versions = history.versions(reference.address)
    file_there = versions.address in history.book.documents.on("recipe")
    if not versions.rows and not file_there:
        near = history.near(reference.address)
        tail = reference[len(reference.address) :]
        advice = f"Did you mean `{near}{tail}`?" if near else f"Write it as `recipes/{reference.address}.yaml`."
        yield document.notice("unknown-reference", f"No recipe is called `{reference.address}`.", advice, path)
        return
    if not versions.rows:
        return  # the recipe itself cannot be read, and says so
    if reference.version is not None:
        row = versions.get(reference.version)
        if row is None:
            if not _lost(versions, reference):
                yield _no_such_version(document, path, reference, versions)
            return
        if row.status == "draft" and not _may_cite_drafts(document):
            yield document.notice(
                "draft-pinned",
                f"Version {row.number} of `{versions.address}` is a draft and may still change.",
                "Lock it first, or name a locked version.",
                path,
            )
        yield from _step(document, path, reference, row.recipe, [row])
        return
    keys = tuple(step for step in path if isinstance(step, str))
    if keys in places(KINDS[document.kind].model, "pinned"):
        latest = versions.current or versions.rows[-1]
        yield document.notice(
            "no-version",
            f"`{reference}` does not say which version.",
            f"Type the version too: `{reference.address}@{latest.number}`.",
            path,
        )
    elif reference.step is not None:
        newest = history.book.documents.models(Recipe).get(versions.address)
        yield from _step(document, path, reference, newest, list(versions.rows))


def _may_cite_drafts(document: Document) -> bool:
    model = document.model
    return (isinstance(model, Recipe) and model.status == "draft") or (isinstance(model, Run) and model.kind == "test")


def _lost(versions: Versions, reference: RecipeRef) -> bool:
    """Whether a number is an earlier text that was never saved here: said once for the recipe, not for every run that did it."""
    assert reference.version is not None
    return reference.version < versions.highest and versions.address == reference.address


def _no_such_version(document: Document, path: KeyPath, reference: RecipeRef, versions: Versions) -> Notice:
    newest = versions.current or versions.rows[-1]
    step = f"#{reference.step}" if reference.step else ""
    return document.notice(
        "version-missing",
        f"`{reference.address}` has no version {reference.version}.",
        f"Type `{reference.address}@{newest.number}{step}`, the newest there is.",
        path,
    )


def _step(
    document: Document, path: KeyPath, reference: RecipeRef, recipe: Recipe | None, rows: list[Version]
) -> Iterator[Notice]:
    if reference.step is None or recipe is None:
        return
    steps = [step.id for step in recipe.steps]
    if reference.step in steps:
        return
    before = [row.number for row in rows if row.recipe and reference.step in [step.id for step in row.recipe.steps]]
    if before and reference.version is None:
        yield document.notice(
            "step-gone",
            f"The step `{reference.step}` is gone from `{reference.address}` since version {max(before)}.",
            f"Type `{reference.address}@{max(before)}#{reference.step}`, or name a step it has today.",
            path,
            severity="warning",
        )
        return
    yield document.notice(
        "unknown-step", f"`{reference.address}` has no step `{reference.step}`.", offer(reference.step, steps), path
    )


def _run(document: Document, run: Run, history: History) -> Iterator[Notice]:
    row = None
    if run.recipe is not None and run.recipe.version is not None:
        row = history.versions(run.recipe.address).get(run.recipe.version)
    if row is None or row.recipe is None:
        return
    for path, name in walk(run):
        known = row.recipe.names.get(type(name), [name])
        if name not in known:
            message = f"`{run.recipe}` has no {name.WORD} `{name}`."
            yield document.notice(f"unknown-{name.WORD}", message, offer(name, known), path)


def _fixes_of_note(document: Document, note: Failure, history: History) -> Iterator[Notice]:
    for index, fix in enumerate(note.fixes):
        if fix.in_ is None or fix.in_.version is None:
            continue
        row = history.versions(fix.in_.address).get(fix.in_.version)
        if row is not None and row.recipe is not None and document.address not in row.fixes:
            yield document.notice(
                "fix-one-sided",
                f"`{fix.in_}` does not say that it fixes this.",
                f"Type `fixes: [{document.address}]` in that recipe, or take `in` out here.",
                (_FIXES, index, "in"),
                severity="warning",
            )
