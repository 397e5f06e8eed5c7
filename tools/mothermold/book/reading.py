"""What a text says: its characters, its tree, then the model, with a notice for all that stands in the way of one of them."""

from __future__ import annotations

import copy
import dataclasses
from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any, Final
from weakref import finalize

from pydantic import ValidationError

from mothermold.book.characters import decode, find_character_faults
from mothermold.book.empties import close_ranks, find_empty, without_empty
from mothermold.book.faults import empty_value, missing_key, refusals
from mothermold.book.quick import read_quickly
from mothermold.book.tree import Raw, Tree, read_tree
from mothermold.ground.notices import Notice, Severity
from mothermold.model.kinds import KINDS
from mothermold.model.parts import Part, Shared
from mothermold.model.walk import KeyPath

MOST_TOLD: Final = 100
"""How many things are said of one file; nobody reads more before mending the first."""

_MARK: Final = Notice(
    "byte-order-mark",
    "advice",
    "The file begins with an invisible mark some editors write.",
    "Save it as UTF-8 without a byte order mark.",
    line=1,
    column=1,
)


@dataclass(slots=True)
class Opened:
    """A text as it was opened.

    The text itself is not kept: a book holds each of its bytes once.

    Attributes:
        tree: The raw tree, and where everything stands for whoever asks.
        notices: What is wrong so far, without a file name.
        legible: Whether its characters let it be read as a document at all.
    """

    tree: Tree = field(default_factory=Tree)
    notices: list[Notice] = field(default_factory=list)
    legible: bool = False


@dataclass(frozen=True, slots=True)
class Understood:
    """What a text says; the attributes are those of a document."""

    said: dict[str, Raw]
    model: Part | None
    notices: tuple[Notice, ...]
    rest: Part | None = None


def open_text(data: bytes) -> Opened:
    """Reads the characters and the tree of a file's bytes."""
    text = decode(data)
    if isinstance(text, Notice):
        return Opened(notices=[text])
    notices = [_MARK] if data[:3] == b"\xef\xbb\xbf" else []
    if faults := list(find_character_faults(text)):
        return Opened(notices=[*notices, *_first_of_each_code(faults)])
    raw = read_quickly(text)
    tree = read_tree(text) if raw is None else Tree(raw, lambda: read_tree(text_of(data)).places, usual=True)
    return Opened(tree, [*notices, *tree.notices], legible=True)


# The raw text of each entry that versions share, for as long as one of them has it.
_WRITTEN: Final[dict[int, Raw]] = {}


def _hold_once(model: Part, said: dict[str, Raw]) -> None:
    """Lets texts hold as one what several of them say in the same words, as their models do."""
    for key, entries in said.items():
        parts = getattr(model, key, None)
        if isinstance(entries, list) and parts and isinstance(parts[0], Shared):
            for index, (part, entry) in enumerate(zip(parts, entries, strict=True)):
                if id(part) not in _WRITTEN:
                    _WRITTEN[id(part)] = entry
                    finalize(part, _WRITTEN.pop, id(part))
                entries[index] = _WRITTEN[id(part)]


def text_of(data: bytes) -> str:
    """The text of a file's bytes, line ends unified; empty where they are none."""
    text = decode(data)
    return text if isinstance(text, str) else ""


def understand(kind: str, address: str, file: str, data: bytes, opened: Opened) -> Understood:
    """What an opened text says as a document of a kind.

    Args:
        kind: The kind, decided by where the file lies.
        address: What others call it.
        file: Its path relative to the book.
        data: The file's bytes.
        opened: The text; its tree is told of what is complained about.
    """
    tree, notices = opened.tree, list(opened.notices)
    said: dict[str, Raw] = {}
    model: Part | None = None
    if opened.legible and (tree.raw is not None or not tree.notices):
        said, model = _validate(kind, tree, notices, {"id": address, "stage": address.split("/", maxsplit=1)[0]})
    if model is not None:
        _hold_once(model, said)
    rest = _rest(tree) if kind == "material" and model is None and opened.legible and not tree.notices else None
    return Understood(said, model, _placed_all(notices, file, text_of(data)) if notices else (), rest)


# By these a material is judged beside others: with a slip in one of them nothing is.
_JUDGED_BY = frozenset({"title", "families", "lots"})


def _rest(tree: Tree) -> Part | None:
    """A material without the keys that cannot be read."""
    model = KINDS["material"].model
    raw = without_empty(tree.raw) if isinstance(tree.raw, dict) else {}
    try:
        return model.model_validate(raw)
    except ValidationError as error:
        refused = {str(refusal["loc"][0]) for refusal in error.errors(include_url=False) if refusal["loc"]}
    if refused & _JUDGED_BY:
        return None
    try:
        return model.model_validate({key: value for key, value in raw.items() if key not in refused})
    except ValidationError:
        return None


_Understood = tuple[dict[str, Raw], Part | None]


def _placed_all(notices: Iterable[Notice], file: str, text: str) -> tuple[Notice, ...]:
    told = sorted(notices, key=lambda notice: (notice.line or 0, notice.column or 0))
    if (more := told[MOST_TOLD:]) and (at := more[0]):
        severity: Severity = "error" if any(notice.severity == "error" for notice in more) else "warning"
        told = told[:MOST_TOLD]
        message = f"From here on {len(more):,} more things are wrong in this file."
        advice = "Check whether it is the right file; if it is, mend what is said above first."
        told.append(Notice("and-more", severity, message, advice, line=at.line, column=at.column))
    return tuple(placed(notice, file, text) for notice in told)


def _first_of_each_code(faults: list[Notice]) -> list[Notice]:
    # A file indented with tabs has one fault, not a hundred.
    return list({fault.code: fault for fault in reversed(faults)}.values())[::-1]


def _validate(kind: str, tree: Tree, notices: list[Notice], hints: dict[str, str]) -> _Understood:
    model = KINDS[kind].model
    if not isinstance(tree.raw, dict):
        given = "is empty" if tree.raw is None else "has no keys"
        notices.append(
            Notice(
                "broken-layout",
                "error",
                f"The file {given}.",
                "Type keys with a colon and a space, such as `title: ...`.",
                line=1,
                column=1,
            )
        )
        return {}, None
    draft = kind == "recipe" and tree.raw.get("status") == "draft"
    raw = tree.raw if tree.usual else _without_empty(tree, model, notices, severity="advice" if draft else "error")
    try:
        return raw, _trusted(model.model_validate(raw), notices)
    except ValidationError as error:
        if not draft:
            notices += refusals(error, tree, model, hints)
            return raw, None
        return _validate_draft(model, raw, tree, error, notices=notices, hints=hints)


def _without_empty(tree: Tree, model: type[Part], notices: list[Notice], *, severity: Severity) -> dict[str, Raw]:
    """What a tree says where it is not empty, and a notice for each place where it is."""
    empty = find_empty(tree.raw)
    for path in empty:
        if not any(path[:length] in tree.doubted for length in range(len(path) + 1)):
            notices.append(empty_value(path, tree, model, severity=severity))
        tree.doubted.add(path)
    close_ranks(tree, empty)
    said: dict[str, Raw] = without_empty(tree.raw)
    return said


def _trusted(model: Part, notices: list[Notice]) -> Part | None:
    return None if any(notice.severity == "error" for notice in notices) else model


# What a draft lacks is filled in with this, so that the rest of it can be used.
_NOT_YET = {"title": "(no title yet)", "do": "(not written yet)", "what": "(not written yet)"}
_FIRST_THREE = frozenset({"stage", "version", "status"})


def _validate_draft(
    model: type[Part],
    raw: dict[str, Any],
    tree: Tree,
    error: ValidationError,
    *,
    notices: list[Notice],
    hints: dict[str, str],
) -> _Understood:
    filled = copy.deepcopy(raw)
    for _round in range(8):
        missing = [refusal["loc"] for refusal in error.errors(include_url=False) if refusal["type"] == "missing"]
        if len(missing) < error.error_count() or any(loc[0] in _FIRST_THREE for loc in missing if len(loc) == 1):
            notices += refusals(error, tree, model, hints)
            return raw, None
        for location in reversed(missing):
            owner = location[:-1]
            if _round == 0 and not any(owner[:length] in tree.doubted for length in range(len(owner) + 1)):
                notices.append(missing_key(location, tree, model, hints=hints, severity="advice"))
            _fill(filled, owner, str(location[-1]))
        try:
            return filled, _trusted(model.model_validate(filled), notices)
        except ValidationError as next_error:
            error = next_error
    return raw, None


def _fill(raw: Any, owner: KeyPath, key: str) -> None:
    group = raw
    for step in owner:
        group = group[step] if not isinstance(group, list) or int(step) < len(group) else {}
    if key == "id" and isinstance(owner[-1], int):
        group[key] = f"not-named-yet-{owner[-1] + 1}"
    elif key in _NOT_YET:
        group[key] = _NOT_YET[key]
    elif key in ("parts", "pieces"):
        group[key] = []
    else:
        holder = raw
        for step in owner[:-1]:
            holder = holder[step]
        if isinstance(holder, list) and int(owner[-1]) < len(holder):
            del holder[int(owner[-1])]
        elif isinstance(holder, dict):
            holder.pop(str(owner[-1]), None)


def placed(notice: Notice, file: str, text: str) -> Notice:
    """The notice with its file and the line it is about."""
    lines = _lines(text)
    excerpt = lines[notice.line - 1].rstrip() if notice.line and notice.line <= len(lines) else ""
    return dataclasses.replace(notice, file=file, excerpt=excerpt)


# One file may have thousands of faults, and is taken apart once for all of them.
@lru_cache(maxsize=8)
def _lines(text: str) -> list[str]:
    return text.split("\n")
