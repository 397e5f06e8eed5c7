"""Whether what one document names in another is there. Recipes and their versions are looked up with history."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping
from typing import Final

from mothermold.book.document import Document
from mothermold.book.files import RECIPES
from mothermold.book.shelves import Shelves
from mothermold.book.unknown import unknown_names
from mothermold.ground.notices import Notice
from mothermold.ground.words import nearest, offer
from mothermold.model.build import Build
from mothermold.model.failure import Failure
from mothermold.model.kinds import KINDS
from mothermold.model.recipe import BODY_SURFACES, Recipe
from mothermold.model.run import Run
from mothermold.model.walk import references

_WORD: Final = re.compile(r"[a-z0-9-]+")

# Who these are named to changes nothing of what touches what, or of what a step needs.
_APART: Final = tuple(f"No {kind.called} is called" for kind in KINDS.values() if not kind.bears)


def bears_on_process(notice: Notice) -> bool:
    """Whether a notice leaves in doubt what a document does, and not only what it speaks of or shows."""
    return notice.code != "picture-unusable" and not (
        notice.code == "unknown-reference" and notice.message.startswith(_APART)
    )


def find_link_faults(documents: Shelves, builds: Mapping[str, str]) -> Iterator[Notice]:
    """Names nothing in the book answers to, and surfaces nothing gives."""
    given, things = _given_surfaces(documents), _things(documents)
    noted = _noted(documents)
    for document in documents.every():
        yield from _references(document, documents)
    for recipe in documents.of(Recipe).values():
        yield from _surfaces(recipe, given, things)
    for run in documents.of(Run).values():
        yield from _run(run, documents, builds)
        yield from _has_a_note(run, noted)


def _references(document: Document, documents: Shelves) -> Iterator[Notice]:
    for path, value in references(document.model) if document.model is not None else ():
        # What only history knows of a recipe is looked up in `view.pins`.
        if value.KIND == "recipe":
            continue
        kind, known = KINDS[value.KIND], documents.on(value.KIND)
        if value.address not in known:
            yield document.notice(
                "unknown-reference",
                f"No {kind.called} is called `{value}`.",
                offer(
                    value,
                    known.keys(),
                    f"Write it as `{RECIPES}/{kind.file_of(value.address)}`, or name one that is there.",
                ),
                path,
            )


def _given_surfaces(documents: Shelves) -> set[str]:
    given: set[str] = set()
    for document in documents.on("recipe").values():
        if isinstance(document.model, Recipe):
            given |= {surface.id for surface in document.model.gives.surfaces} if document.model.gives else set()
        else:
            # A recipe with a fault still gives its surfaces, whatever they are; its own notice is enough.
            given |= set(_WORD.findall(document.text))
    return given


def _surfaces(document: Document[Recipe], given: set[str], things: set[str]) -> Iterator[Notice]:
    recipe = document.model
    own = {surface.id for surface in recipe.surfaces}
    known = own | given | BODY_SURFACES
    for step_index, step in enumerate(recipe.steps):
        for use_index, use in enumerate(step.uses):
            for index, name in enumerate(use.on):
                if name not in known:
                    path = ("steps", step_index, "uses", use_index, "on", index)
                    yield _unknown_surface(document, name, known, "Declare it under `surfaces:`.", path)
    for index, surface in enumerate(recipe.surfaces):
        if surface.surface is not None and surface.surface not in given:
            advice = "Name a surface that a recipe lists under `gives:`."
            yield _unknown_surface(document, surface.surface, given, advice, ("surfaces", index, "surface"))
        # A recipe may be written before its build; a name unlike all things of the builds may be one to come.
        if surface.from_ is not None and surface.from_ not in things and nearest(surface.from_, things):
            yield document.notice(
                "unknown-thing",
                f"No build has a thing called `{surface.from_}`.",
                offer(surface.from_, sorted(things)),
                ("surfaces", index, "from"),
                severity="warning",
            )


def _unknown_surface(
    document: Document, name: str, known: Collection[str], advice: str, path: tuple[str | int, ...]
) -> Notice:
    message = f"No surface is called `{name}`: neither here nor in what another recipe gives."
    return document.notice("unknown-surface", message, offer(name, sorted(known), advice), path, severity="warning")


def _things(documents: Shelves) -> set[str]:
    return {thing.id for build in documents.models(Build).values() for thing in build.things}


def _run(document: Document[Run], documents: Shelves, builds: Mapping[str, str]) -> Iterator[Notice]:
    run, name = document.model, builds.get(document.file)
    build = documents.models(Build).get(name) if name else None
    if build is None:
        return
    yield from unknown_names(document, run, build.names, f"the build `{name}`")


def _noted(documents: Shelves) -> dict[str, str]:
    """The failure notes by their titles and symptoms."""
    return {
        _alike(words): name
        for name, failure in documents.models(Failure).items()
        for words in (*failure.symptoms, failure.title)
    }


def _alike(words: str) -> str:
    return " ".join(words.casefold().split()).rstrip(".")


def _has_a_note(document: Document[Run], noted: Mapping[str, str]) -> Iterator[Notice]:
    """A trouble told in the very words of a note is counted only where the run names the note."""
    for index, entry in enumerate(document.model.went_wrong):
        name = noted.get(_alike(entry.what)) if entry.what and entry.failure is None else None
        if name:
            yield document.notice(
                "has-a-note",
                f"There is a failure note in these words, `{name}`, and this run is not counted in it.",
                f"Type `failure: {name}` in the entry.",
                ("went_wrong", index, "what"),
                severity="advice",
            )
