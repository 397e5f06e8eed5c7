"""Whether every recipe, version, step and piece that is named exists: what only history can tell."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

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


def find_pin_faults(book: Book, history: History) -> Iterator[Notice]:
    """Recipes, versions, steps, mixes and pieces named but not there, and fixes only one side knows."""
    cited: dict[str, set[int]] = {}
    for document in book.documents.every():
        if document.model is None:
            continue
        for path, value in references(document.model):
            if isinstance(value, RecipeRef) and not isinstance(value, RecipeAddress):
                yield from _reference(document, path, value, history, cited)
    for run in book.documents.of(Run).values():
        yield from _run(run, history)
    yield from _earlier_texts(book, cited)
    yield from _one_sided_fixes(book, history)
    yield from _pieces(book)


def _reference(
    document: Document, path: KeyPath, reference: RecipeRef, history: History, cited: dict[str, set[int]]
) -> Iterator[Notice]:
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
            yield from _no_such_version(document, path, reference, versions, cited)
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


def _no_such_version(
    document: Document, path: KeyPath, reference: RecipeRef, versions: Versions, cited: dict[str, set[int]]
) -> Iterator[Notice]:
    assert reference.version is not None
    if reference.version < versions.highest and versions.address == reference.address:
        # An earlier text that was never saved here: said once for the recipe, not for every run that did it.
        cited.setdefault(versions.address, set()).add(reference.version)
        return
    newest = versions.current or versions.rows[-1]
    step = f"#{reference.step}" if reference.step else ""
    yield document.notice(
        "version-missing",
        f"`{reference.address}` has no version {reference.version}.",
        f"Type `{reference.address}@{newest.number}{step}`, the newest there is.",
        path,
    )


def _earlier_texts(book: Book, cited: dict[str, set[int]]) -> Iterator[Notice]:
    for address, numbers in sorted(cited.items()):
        document = book.documents.on("recipe").get(address)
        if document is None:
            continue
        listed = ", ".join(str(number) for number in sorted(numbers))
        plural = "s" if len(numbers) > 1 else ""
        yield document.notice(
            "earlier-text-missing",
            f"Version{plural} {listed} of this recipe {'are' if plural else 'is'} named elsewhere, "
            "but no saved text is here.",
            "Copy the book with its whole history to read and compare earlier versions.",
            ("version",),
            severity="advice",
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


def _run(document: Document[Run], history: History) -> Iterator[Notice]:
    run, row = document.model, None
    if run.recipe is not None and run.recipe.version is not None:
        row = history.versions(run.recipe.address).get(run.recipe.version)
    if row is None or row.recipe is None:
        return
    for path, name in walk(run):
        known = row.recipe.names.get(type(name), [name])
        if name not in known:
            message = f"`{run.recipe}` has no {name.WORD} `{name}`."
            yield document.notice(f"unknown-{name.WORD}", message, offer(name, known), path)


def _one_sided_fixes(book: Book, history: History) -> Iterator[Notice]:
    said_by_notes: dict[tuple[str, str, int], None] = {}
    notes = book.documents.of(Failure)
    for name, document in notes.items():
        for index, fix in enumerate(document.model.fixes):
            if fix.in_ is None or fix.in_.version is None:
                continue
            versions = history.versions(fix.in_.address)
            said_by_notes[(name, versions.address, fix.in_.version)] = None
            row = versions.get(fix.in_.version)
            if row is not None and row.recipe is not None and name not in row.fixes:
                yield document.notice(
                    "fix-one-sided",
                    f"`{fix.in_}` does not say that it fixes this.",
                    f"Type `fixes: [{name}]` in that recipe, or take `in` out here.",
                    (_FIXES, index, "in"),
                    severity="warning",
                )
    for address, recipe in book.documents.on("recipe").items():
        for row in history.versions(address).rows:
            if row.status == "draft":
                continue
            for index, name in enumerate(row.fixes):
                note = notes.get(name)
                if note is None or (name, address, row.number) in said_by_notes:
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


def _pieces(book: Book) -> Iterator[Notice]:
    seen: dict[tuple[str, str], str] = {}
    for document in book.documents.of(Run).values():
        build = book.builds.get(document.file, "")
        for index, kept in enumerate(document.model.kept):
            first = seen.setdefault((build, kept.piece), document.address)
            if first != document.address or kept.piece in [other.piece for other in document.model.kept[:index]]:
                yield document.notice(
                    "duplicate-id",
                    f"A piece `{kept.piece}` exists already, from `{first}`.",
                    f"Give this one another label than `{kept.piece}`.",
                    ("kept", index, "piece"),
                )
