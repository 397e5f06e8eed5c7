"""Whether what one document names in another is there. Recipes and their versions are looked up with history."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from functools import partial
from typing import Any, Final

from mothermold.book.document import Document
from mothermold.book.files import RECIPES
from mothermold.book.shelves import Shelves
from mothermold.book.unknown import unknown_names
from mothermold.ground.looking import Looked
from mothermold.ground.made import MadeBefore
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


class Names:
    """What the documents of a book bring in for others to name.

    Args:
        documents: The documents.
        builds: The build a document lies in, by file.
        made: What of it was made before.
    """

    def __init__(self, documents: Shelves, builds: Mapping[str, str], made: MadeBefore) -> None:
        self._documents, self._builds, self._made = documents, builds, made
        self._given = Looked("given", lambda: dict.fromkeys(self._each("recipe", _given), ""))
        self._noted = Looked("noted", lambda: dict(self._each("failure", _noted)))
        self._things = Looked(
            "thing",
            lambda: {thing.id: "" for build in documents.models(Build).values() for thing in build.things},
        )
        for shelf in (self._given, self._noted, self._things):
            made.opens(shelf)

    def _each(self, kind: str, said: Callable[[Document], Any]) -> Iterator[Any]:
        """What every document of a kind says of something."""
        for address, document in self._documents.on(kind).items():
            yield from self._made.of(f"{kind}/{address}: {said.__name__}", partial(said, document))

    def faults(self, document: Document) -> Iterator[Notice]:
        """Names in a document that nothing in the book answers to, and surfaces nothing gives."""
        yield from _references(document, self._documents)
        if isinstance(document.model, Recipe):
            yield from _surfaces(document, document.model, self._given, self._things)
        if isinstance(document.model, Run):
            yield from _run(document, document.model, self._documents, self._builds)
            yield from _has_a_note(document, document.model, self._noted)


def _given(document: Document) -> list[str]:
    """The surfaces a recipe gives."""
    if isinstance(document.model, Recipe):
        return [surface.id for surface in document.model.gives.surfaces] if document.model.gives else []
    # A recipe with a fault still gives its surfaces, whatever they are; its own notice is enough.
    return sorted(set(_WORD.findall(document.text)))


def _noted(document: Document) -> list[list[str]]:
    """Under which words a failure is noted."""
    failure = document.model
    if not isinstance(failure, Failure):
        return []
    return [[_alike(words), document.address] for words in (*failure.symptoms, failure.title)]


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


def _surfaces(
    document: Document, recipe: Recipe, given: Mapping[str, str], things: Mapping[str, str]
) -> Iterator[Notice]:
    own = {surface.id for surface in recipe.surfaces} | BODY_SURFACES

    def unknown(name: str, advice: str, path: tuple[str | int, ...], known: Iterable[str] = ()) -> Notice:
        message = f"No surface is called `{name}`: neither here nor in what another recipe gives."
        help_ = offer(name, sorted({*known, *given}), advice)
        return document.notice("unknown-surface", message, help_, path, severity="warning")

    for step_index, step in enumerate(recipe.steps):
        for use_index, use in enumerate(step.uses):
            for index, name in enumerate(use.on):
                if name not in own and name not in given:
                    path = ("steps", step_index, "uses", use_index, "on", index)
                    yield unknown(name, "Declare it under `surfaces:`.", path, own)
    for index, surface in enumerate(recipe.surfaces):
        if surface.surface is not None and surface.surface not in given:
            advice = "Name a surface that a recipe lists under `gives:`."
            yield unknown(surface.surface, advice, ("surfaces", index, "surface"))
        # A recipe may be written before its build; a name unlike all things of the builds may be one to come.
        if surface.from_ is not None and surface.from_ not in things and nearest(surface.from_, things):
            yield document.notice(
                "unknown-thing",
                f"No build has a thing called `{surface.from_}`.",
                offer(surface.from_, sorted(things)),
                ("surfaces", index, "from"),
                severity="warning",
            )


def _run(document: Document, run: Run, documents: Shelves, builds: Mapping[str, str]) -> Iterator[Notice]:
    name = builds.get(document.file)
    build = documents.models(Build).get(name) if name else None
    if build is not None:
        yield from unknown_names(document, run, build.names, f"the build `{name}`")


def _alike(words: str) -> str:
    return " ".join(words.casefold().split()).rstrip(".")


def _has_a_note(document: Document, run: Run, noted: Mapping[str, str]) -> Iterator[Notice]:
    """A trouble told in the very words of a note is counted only where the run names the note."""
    for index, entry in enumerate(run.went_wrong):
        name = noted.get(_alike(entry.what)) if entry.what and entry.failure is None else None
        if name:
            yield document.notice(
                "has-a-note",
                f"There is a failure note in these words, `{name}`, and this run is not counted in it.",
                f"Type `failure: {name}` in the entry.",
                ("went_wrong", index, "what"),
                severity="advice",
            )
