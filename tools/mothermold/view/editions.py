"""Who may read what: the three editions, and what a document looks like in one of them.

A document is collected for an edition first, and only that is ever handed upward. Whatever it names that the
edition does not hold is taken out of it, and so are lots, prices and a teacher's answers; its text, with the comments
in it, stays behind. The reason of a version (`why`) stands where that version stands.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from typing import Any, Final, Literal, get_args

from pydantic import ValidationError

from mothermold.book.document import Document
from mothermold.book.tree import Places, Tree, value_at
from mothermold.model.build import Build
from mothermold.model.expected import keys_of, model_in, type_at
from mothermold.model.kinds import KINDS
from mothermold.model.names import (
    LocalName,
    MaterialRef,
    MixName,
    RecipeRef,
    Reference,
    RunRef,
    StepName,
    SurfaceName,
)
from mothermold.model.parts import DocumentModel as Visible
from mothermold.model.parts import Part
from mothermold.model.pictures import PictureFile, pictures_of
from mothermold.model.recipe import Recipe
from mothermold.model.run import Run
from mothermold.model.scalars import Visibility
from mothermold.model.traits import places
from mothermold.model.walk import KeyPath, walk
from mothermold.view.citations import without_runs

Edition = Literal["private", "class", "public"]
EDITIONS: Final[tuple[Edition, ...]] = get_args(Edition)

_WIDTH: Final[dict[str, int]] = {"private": 0, "class": 1, "public": 2}

Hides = Callable[[KeyPath, str], bool]
"""Whether an edition hides what a document names in a place."""

PlacedName = tuple[str, str, str]
"""A name within documents: what it names, where it is known, and the name itself."""


def admits(edition: Edition, *visibilities: Visibility | str) -> bool:
    """Whether an edition shows something of the narrowest of these visibilities."""
    return min(_WIDTH[each] for each in visibilities) >= _WIDTH[edition]


def visibility_of(document: Document) -> Visibility:
    """A document's own visibility; private where it cannot be read."""
    return document.model.visibility if isinstance(document.model, Visible) else "private"


def narrowest_pictures(documents: Iterable[Document]) -> dict[str, Visibility]:
    """For each drawing or photo who may see it at most: where documents of today differ, the narrowest has its way."""
    found: dict[str, Visibility] = {}
    for document in documents:
        for picture in pictures_of(document.model).values() if document.model is not None else ():
            before = found.get(picture.file, "public")
            found[picture.file] = min(before, picture.seen_by, key=_WIDTH.__getitem__)
    return found


def kept_back(document: Document) -> Iterator[KeyPath]:
    """Where a document says what no class and no public reads, though it is open to them: lots, prices, answers."""
    for keys in places(KINDS[document.kind].model, "own"):
        yield from _places(document.said, keys)


def _places(said: Any, keys: tuple[str, ...], here: KeyPath = ()) -> Iterator[KeyPath]:
    if isinstance(said, list):
        for index, entry in enumerate(said):
            yield from _places(entry, keys, (*here, index))
    elif isinstance(said, dict) and keys[0] in said:
        there = (*here, keys[0])
        yield from [there] if len(keys) == 1 else _places(said[keys[0]], keys[1:], there)


def collect(document: Document, hides: Hides) -> Document | None:
    """The document as an edition shows it, or None where too little of it is left to be true.

    A recipe that uses a material the edition does not hold is left out whole: a formula with a part missing
    would be a wrong formula. A run of a recipe that is left out goes with it.
    """
    model = document.model
    if model is None:
        return None
    hidden = [(path, value) for path, value in walk(model) if isinstance(value, str) and hides(path, value)]
    if isinstance(model, Recipe) and any(isinstance(value, MaterialRef) for _path, value in hidden):
        return None
    if isinstance(model, Run) and any(path == ("recipe",) for path, _value in hidden):
        return None
    kind = KINDS[document.kind].model
    own = dict.fromkeys(kept_back(document), _GONE)
    cuts = own | dict(_cut(document.said, path, kind) for path, _value in hidden)
    cuts |= _emptied(document.said, (path for path, value in hidden if isinstance(value, PictureFile)))
    said = _rest(document.said, (), cuts, hides)
    shown = model if said == document.said else _validated(said, kind)
    if shown is None:
        return None
    tree = Tree(said, lambda: _places_left(document, cuts))
    return document.shown_as(shown, said, tree)


def _emptied(said: Any, hidden: Iterable[KeyPath]) -> dict[KeyPath, Any]:
    """The lists of pictures of which none is left: an empty one would tell that there were some."""
    left_out = Counter(path[:-2] for path in hidden)
    return {place: _GONE for place, count in left_out.items() if count == len(value_at(said, place))}


def _validated(said: dict[str, Any], kind: type[Part]) -> Part | None:
    try:
        return kind.model_validate(said)
    except ValidationError:
        return None


_GONE: Final = object()
_Cuts = dict[KeyPath, Any]
"""Places with what stands there instead."""


def _rest(value: Any, here: KeyPath, cuts: _Cuts, hides: Hides) -> Any:
    """What is left of a value, and of its prose without the runs cited there."""
    if here in cuts:
        return cuts[here]
    if isinstance(value, dict | list):
        left = {step: _rest(value[step], (*here, step), cuts, hides) for step in _staying(value, here, cuts)}
        return left if isinstance(value, dict) else list(left.values())
    if isinstance(value, str):
        return without_runs(value, lambda run: hides(here, RunRef(run)))
    return value


def _staying(value: dict[str, Any] | list[Any], here: KeyPath, cuts: _Cuts) -> list[Any]:
    """The keys or numbers of the entries that stay."""
    steps = value if isinstance(value, dict) else range(len(value))
    return [step for step in steps if cuts.get((*here, step)) is not _GONE]


def _places_left(document: Document, cuts: _Cuts) -> Places:
    """Where each thing that stays stands, under the path it has now."""
    moved = dict(_moved(document.said, (), (), cuts))
    return Places(
        *({moved[path]: span for path, span in places.items() if path in moved} for places in document.tree.places)
    )


def _moved(value: Any, here: KeyPath, there: KeyPath, cuts: _Cuts) -> Iterator[tuple[KeyPath, KeyPath]]:
    yield here, there
    if isinstance(value, dict | list) and here not in cuts:
        for new, old in enumerate(_staying(value, here, cuts)):
            yield from _moved(value[old], (*here, old), (*there, old if isinstance(value, dict) else new), cuts)


def _cut(said: Any, path: KeyPath, kind: type[Part]) -> tuple[KeyPath, Any]:
    """Where to cut so that a value goes, and what stands there instead.

    The entry around it goes with it where the entry cannot do without.
    """
    while True:
        holder = value_at(said, path[:-1])
        if isinstance(holder, list):
            return path, _GONE
        if not isinstance(holder, dict) or path[-1] not in holder:
            path = path[:-1]  # a single name standing where a list may stand: the key goes with it
        elif not _needed(kind, path, holder):
            return path, _GONE
        elif len(path) == 1:
            # A mold must say what made it, a course what it teaches; so much may be said without the names.
            return path, "unknown" if path == ("made",) else []
        else:
            path = path[:-1]


# Groups that need one of several keys, none of which is required by itself.
_ONE_OF: Final[tuple[frozenset[str], ...]] = (frozenset({"failure", "what"}), frozenset({"material", "mix"}))


def _needed(kind: type[Part], path: KeyPath, holder: dict[str, Any]) -> bool:
    key = str(path[-1])
    group = model_in(type_at(kind, path[:-1]))
    if group is not None and (field := keys_of(group).get(key)) is not None and field.is_required():
        return True
    return len(path) > 2 and any(key in choice and not (choice - {key}) & set(holder) for choice in _ONE_OF)


def names_brought(document: Document, build: str) -> Iterator[PlacedName]:
    """The names a document brings into the book that others may use: steps, mixes, surfaces, things, looks, pieces."""
    model, address = document.model, document.address
    if isinstance(model, Recipe):
        yield from ((kind.WORD, address, name) for kind, names in model.names.items() for name in names)
        given = model.gives.surfaces if model.gives else ()
        yield from (("surface", "", surface.id) for surface in (*model.surfaces, *given))
    elif isinstance(model, Build):
        named = [(kind.WORD, name) for kind, names in model.names.items() for name in names]
        yield from ((word, where, name) for word, name in named for where in ("", address))
    elif isinstance(model, Run):
        yield from (("piece", build, kept.piece) for kept in model.kept)


def name_used(document: Document, path: KeyPath, value: str, build: str) -> PlacedName | None:
    """The name a document uses in a place, as ``names_brought`` has it; None where it uses none."""
    model = document.model
    if isinstance(value, StepName | MixName):
        done = model.recipe.address if isinstance(model, Run) and model.recipe else document.address
        return value.WORD, done, value
    if isinstance(value, LocalName):
        return value.WORD, "" if isinstance(value, SurfaceName) else build, value
    if path[0] == "used" and path[-1] == "piece":
        return "piece", build, value
    return None


def reference_in(path: KeyPath, value: str) -> Reference | None:
    """What a value names: it is a reference, or an accepted finding says where it bites."""
    if isinstance(value, Reference):
        return value
    if path[0] == "accepts" and path[-1] == "where" and "/" in value:
        return RecipeRef(value)
    return None
