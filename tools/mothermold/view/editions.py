"""Who may read what: the three editions, and what a document looks like in one of them.

A document is collected for an edition first, and only that is ever handed upward. Whatever it names that the
edition does not hold is taken out of it; its text, with the comments in it, stays behind.
"""

from __future__ import annotations

import copy
import dataclasses
import re
from collections.abc import Callable, Iterator
from typing import Any, Final, Literal, get_args

from pydantic import ValidationError

from mothermold.book.document import Document
from mothermold.book.faults import keys_of, type_at
from mothermold.model.build import Build
from mothermold.model.kinds import KINDS
from mothermold.model.names import LookName, MaterialRef, RecipeAddress, RecipeRef, Reference, ThingName
from mothermold.model.parts import Document as Visible
from mothermold.model.parts import Part
from mothermold.model.recipe import Recipe
from mothermold.model.run import Run
from mothermold.model.scalars import Visibility
from mothermold.model.walk import Path, walk

Edition = Literal["private", "class", "public"]
EDITIONS: Final[tuple[Edition, ...]] = get_args(Edition)

_WIDTH: Final[dict[str, int]] = {"private": 0, "class": 1, "public": 2}
_RUN_LINK: Final = re.compile(r"\[([^\]]*)\]\(\s*<?run:([^)\s>]*)>?[^)]*\)|<run:([^>\s]*)>")
_RUN_DEFINITION: Final = re.compile(r"(?m)^ {0,3}\[[^\]]*\]:\s*<?run:([^\s>]*)>?.*$\n?")

Holds = Callable[[str, str, int | None], bool]
"""Whether an edition holds a document: its kind, address, and version where one is pinned."""


def admits(edition: Edition, *visibilities: Visibility | str) -> bool:
    """Whether an edition shows something of the narrowest of these visibilities."""
    return min(_WIDTH[each] for each in visibilities) >= _WIDTH[edition]


def visibility_of(document: Document) -> Visibility:
    """A document's own visibility; private where it cannot be read."""
    return document.model.visibility if isinstance(document.model, Visible) else "private"


def collect(document: Document, holds: Holds) -> Document | None:
    """The document as an edition shows it, or None where too little of it is left to be true.

    A recipe that uses a material the edition does not hold is left out whole: a formula with a part missing
    would be a wrong formula. A run of a recipe that is left out goes with it.
    """
    model = document.model
    if model is None:
        return None
    said = copy.deepcopy(document.said)
    hidden = list(_hidden(model, holds))
    if isinstance(model, Recipe) and any(isinstance(value, MaterialRef) for _path, value in hidden):
        return None
    if isinstance(model, Run) and any(path == ("recipe",) for path, _value in hidden):
        return None
    kind = KINDS[document.kind].model
    for path, _value in reversed(hidden):
        _take_out(said, path, kind)
    _unlink_runs(said, holds)
    shown = _validated(said, kind)
    while isinstance(shown, Build) and (loose := list(_loose_ends(shown))):
        for path in reversed(loose):
            _take_out(said, path, kind)
        shown = _validated(said, kind)
    if shown is None:
        return None
    tree = dataclasses.replace(document.tree, raw=said, notices=[], doubted=set())
    return dataclasses.replace(document, text="", tree=tree, said=said, model=shown, notices=())


def _validated(said: dict[str, Any], kind: type[Part]) -> Part | None:
    try:
        return kind.model_validate(said)
    except ValidationError:
        return None


def _hidden(model: Part, holds: Holds) -> Iterator[tuple[Path, Reference]]:
    for path, value in walk(model):
        if isinstance(value, RecipeAddress):
            continue  # an earlier address of this very recipe
        if isinstance(value, Reference) and not holds(value.KIND, value.address, value.version):
            yield path, value
        elif path[-1] == "where" and path[0] == "accepts" and isinstance(value, str) and "/" in value:
            named = RecipeRef(value)
            if not holds("recipe", named.address, None):
                yield path, named


def _loose_ends(build: Build) -> Iterator[Path]:
    things = {thing.id for thing in build.things}
    looks = {look.id for look in build.looks}
    for path, value in walk(build):
        if (isinstance(value, ThingName) and value not in things) or (
            isinstance(value, LookName) and value not in looks
        ):
            yield path


def _take_out(said: Any, path: Path, kind: type[Part]) -> None:
    """Takes out a value, and the entry around it where the entry cannot do without."""
    holder = said
    trail: list[Any] = []
    for step in path[:-1]:
        trail.append(holder)
        if isinstance(holder, dict) and step not in holder:
            return  # taken out already, with something around it
        if isinstance(holder, list) and (not isinstance(step, int) or step >= len(holder)):
            return
        holder = holder[step]
    last = path[-1]
    if isinstance(holder, list):
        if isinstance(last, int) and last < len(holder):
            del holder[last]
    elif isinstance(holder, dict) and last in holder:
        if _needed(kind, path, holder):
            _take_out(said, path[:-1], kind)
        else:
            del holder[last]
    elif not isinstance(holder, dict):
        # A single name standing where a list may stand: the key goes with it.
        _take_out(said, path[:-1], kind)


# Groups that need one of several keys, none of which is required by itself.
_ONE_OF: Final[tuple[frozenset[str], ...]] = (frozenset({"failure", "what"}), frozenset({"material", "mix"}))


def _needed(kind: type[Part], path: Path, holder: dict[str, Any]) -> bool:
    key = str(path[-1])
    if len(path) == 1:
        return False
    owner = type_at(kind, path[:-1])
    group = next((option for option in _groups(owner)), None)
    if group is not None and (field := keys_of(group).get(key)) is not None and field.is_required():
        return True
    return any(key in choice and not (choice - {key}) & set(holder) and len(path) > 2 for choice in _ONE_OF)


def _groups(owner: Any) -> Iterator[type[Part]]:
    waiting = [owner]
    while waiting:
        option = waiting.pop(0)
        if isinstance(option, type) and issubclass(option, Part):
            yield option
        waiting += [inner for inner in get_args(option) if inner is not ...]


def _unlink_runs(said: Any, holds: Holds) -> None:
    """Prose that cites a run the edition does not hold keeps its words and loses the link."""
    entries = said.items() if isinstance(said, dict) else enumerate(said) if isinstance(said, list) else ()
    for key, value in list(entries):
        if isinstance(value, str):
            if "run:" in value:
                said[key] = _without_hidden_runs(value, holds)
        else:
            _unlink_runs(value, holds)


def _without_hidden_runs(text: str, holds: Holds) -> str:
    def link(match: re.Match[str]) -> str:
        run = match[2] if match[2] is not None else match[3]
        return match[0] if holds("run", run, None) else (match[1] or "")

    text = _RUN_DEFINITION.sub(lambda match: match[0] if holds("run", match[1], None) else "", text)
    return _RUN_LINK.sub(link, text)
