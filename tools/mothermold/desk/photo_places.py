"""Where photos go: which document is meant by what was typed, in which of its lists they stand, and what they likely show."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import Final, NoReturn

from mothermold.answers.records import run_title
from mothermold.book.document import Document
from mothermold.book.files import RECIPES, build_of
from mothermold.desk.asking import Offer
from mothermold.ground.errors import RefusedError, refused
from mothermold.ground.words import offer
from mothermold.model.build import Build
from mothermold.model.kinds import KINDS
from mothermold.model.recipe import Recipe
from mothermold.model.run import Run
from mothermold.model.walk import KeyPath
from mothermold.view.view import View

_KINDS: Final[tuple[str, ...]] = ("run", "failure", "mold", "build")
SHOW_PHOTOS: Final[tuple[str, ...]] = (*_KINDS, "recipe")
"""The kinds of documents a photo can stand with."""
_TYPE: Final = "Type a run, failure note, mold or build by its name, a recipe with its folder, `cast/cheek-piece#open`, or `BUILD/PIECE`."
_DONE: Final = {
    "cast": "as cast", "finish": "as finished", "sculpt": "as sculpted", "mold": "as made", "core": "as made", "lifecast": "as cast",
    "application": "as glued", "removal": "after removal", "wear": "during the day",
}  # fmt: skip
"""How what a run made is called at its stage, in what is said of its photo."""


@dataclass(frozen=True)
class PhotoPlace:
    """A list of photos in a document.

    Attributes:
        document: The document as it lies there.
        path: Where the list stands in it, or will.
        stem: How the files of its photos are called, before their number.
        shows: What they likely show: the piece, the mold, the step.
        state: In which state, where that is known; ``as cast``.
        day: When it was done, where that is known.
    """

    document: Document
    path: KeyPath
    stem: str
    shows: str
    state: str = ""
    day: date | None = None

    def alt(self, seen_from: str = "", taken: str = "") -> str:
        """What can be said to who cannot see it before anybody looked: ``Face piece, front, as cast 2026-04-18``."""
        day = taken[:10] or (self.day.isoformat() if self.day else "")
        return ", ".join(filter(None, (self.shows, seen_from, f"{self.state} {day}".strip())))


def find_place(view: View, typed: str) -> PhotoPlace:
    """The place that is meant.

    Args:
        view: The book in the private edition.
        typed: A run, failure note, mold or build by its name, where several are called so with its folder before it; a recipe
            with its folder, ``cast/cheek-piece`` or ``cast/cheek-piece#open``; a build with one of its things or pieces,
            ``saltpan-keeper/face`` or ``saltpan-keeper/F-07``.

    Raises:
        RefusedError: ``photo-nowhere``: nothing is called so, several are, or it cannot be read.
    """
    name = typed.strip().removeprefix(f"{RECIPES}/").removesuffix(".yaml").removesuffix("/build")
    path, _, step = name.partition("#")
    parts, plain = path.split("/"), {KINDS[kind].plural: kind for kind in _KINDS}
    if path.count("/") and (recipe := _recipe(view, path.partition("@")[0])) is not None:
        return _in_recipe(recipe, step)
    address, kinds = parts[-1], _KINDS
    if len(parts) > 1 and parts[-2] in plain:
        kinds = (plain[parts[-2]],)
    elif len(parts) > 1 and parts[-2] in view.on("build") and parts[:-2] in ([], ["builds"]):
        return _in_build(view, parts[-2], address)
    elif len(parts) > 1:
        raise _nowhere(typed, offer(path, view.on("recipe"), _TYPE))
    found = [view.on(kind)[address] for kind in kinds if address in view.on(kind)]
    if len(found) > 1:
        ways = " or ".join(f"`{KINDS[each.kind].plural}/{address}`" for each in found)
        raise refused("photo-nowhere", f"More than one thing is called `{address}`.", f"Type {ways}.")
    if not found:
        names = [each for kind in kinds for each in view.on(kind)]
        raise _nowhere(typed, offer(address, names, _TYPE) if names else _TYPE)
    return _in_document(view, _readable(found[0]))


def parts_of(model: object) -> tuple[Offer, ...]:
    """The parts of a document that photos of their own can stand with: the steps of a recipe, the things of a build."""
    if isinstance(model, Recipe):
        return tuple(Offer(str(each.id), str(each.title)) for each in model.steps)
    if isinstance(model, Build):
        return tuple(Offer(str(each.id), _spoken(str(each.id))) for each in model.things)
    return ()


def place_in(view: View, document: Document, part: str = "") -> PhotoPlace:
    """The place in a document, which may be one that is not written yet.

    Args:
        view: The book in the private edition.
        document: The document.
        part: A step of a recipe, a thing of a build; empty for the whole.

    Raises:
        RefusedError: ``photo-nowhere``: it has no such part, or cannot be read.
    """
    model = _readable(document).model
    if isinstance(model, Recipe):
        return _in_recipe(document, part)
    if isinstance(model, Build) and part:
        return _at_thing(document, model, part) or _no_thing(document.address, part, model)
    return _in_document(view, document)


def _nowhere(typed: str, advice: str) -> RefusedError:
    return refused("photo-nowhere", f"Nothing in the book that could show a photo is called `{typed}`.", advice)


def _readable(document: Document) -> Document:
    if document.model is None:
        advice = f"Mend {document.file} first; `mothermold check` says how."
        raise refused("photo-nowhere", f"`{document.address}` cannot be read, so nothing is written into it.", advice)
    return document


def _recipe(view: View, address: str) -> Document | None:
    listed = view.versions(address)
    return view.on("recipe").get(listed.address if listed is not None else address)


def _in_recipe(document: Document, step: str) -> PhotoPlace:
    model = _readable(document).model
    assert isinstance(model, Recipe)
    stem = document.address.replace("/", "-")
    if not step:
        return PhotoPlace(document, ("pictures",), stem, str(model.title))
    for place, each in enumerate(model.steps):
        if each.id == step:
            return PhotoPlace(document, ("steps", place, "pictures"), f"{stem}-{step}", str(each.title))
    steps = [str(each.id) for each in model.steps]
    message = f"`{document.address}` has no step `{step}` as it is written today."
    raise refused("photo-nowhere", message, offer(step, steps))


def _in_build(view: View, build: str, piece: str) -> PhotoPlace:
    """A thing of a build; a piece by its label goes with the run that made it, for there it is written down."""
    document = _readable(view.on("build")[build])
    model = document.model
    assert isinstance(model, Build)
    if (found := _at_thing(document, model, piece)) is not None:
        return found
    for run in _runs_of(view, build):
        assert isinstance(run.model, Run)
        if any(kept.piece.casefold() == piece.casefold() for kept in run.model.kept):
            return _in_document(view, run)
    return _no_thing(build, piece, model)


def _at_thing(document: Document, build: Build, thing: str) -> PhotoPlace | None:
    for place, each in enumerate(build.things):
        if each.id == thing:
            return PhotoPlace(document, ("things", place, "photos"), f"{document.address}-{thing}", _spoken(thing))
    return None


def _no_thing(build: str, piece: str, model: Build) -> NoReturn:
    message = f"`{build}` has no thing and no piece called `{piece}`."
    raise refused("photo-nowhere", message, offer(piece, [str(thing.id) for thing in model.things]))


def _runs_of(view: View, build: str) -> Iterator[Document]:
    yield from (each for each in view.of(Run).values() if build_of(each.file) == build)


def _in_document(view: View, document: Document) -> PhotoPlace:
    model = document.model
    if not isinstance(model, Run):
        return PhotoPlace(document, ("photos",), document.address, str(getattr(model, "title", document.address)))
    labels = [str(kept.piece) for kept in model.kept]
    shows = " ".join([_spoken(str(model.thing)), *labels[:1]]) if model.thing else run_title(view, model)
    state = _DONE.get(model.recipe.address.partition("/")[0], "") if model.recipe else ""
    done = (model.finished or model.started).date()
    return PhotoPlace(document, ("photos",), document.address, shows, state, done)


def _spoken(name: str) -> str:
    return name.replace("-", " ").capitalize()
