"""Finds the recipe and version someone asks for."""

from __future__ import annotations

import re
from typing import Final

from mothermold.book.document import Document
from mothermold.ground.errors import RefusedError, refused
from mothermold.ground.words import nearest
from mothermold.history.versions import Version, Versions
from mothermold.model.names import RecipeRef
from mothermold.model.recipe import Recipe
from mothermold.view.view import View

_NUMBER: Final = re.compile(r"[0-9]{1,9}")
_ASKED: Final = re.compile(r"(?P<address>[^@]+)(?:@(?P<version>\w+))?")
WORKING: Final = "working"


def find_versions(view: View, asked: str) -> Versions:
    """The versions of the recipe asked for, by its address or by its name alone where no other has it.

    Raises:
        RefusedError: ``unknown-recipe`` with the near one; where its file cannot be read, the file's own notices.
    """
    address = asked.strip().removeprefix("recipes/").removesuffix(".yaml")
    versions = view.versions(address)
    if versions is not None and versions.rows:
        return versions
    # The name alone is enough where only one stage has it.
    alike = [] if "/" in address else [each for each in view.recipes if each.rpartition("/")[2] == address]
    if len(alike) == 1:
        return find_versions(view, alike[0])
    document = view.on("recipe").get(address)
    if document is not None and document.notices:
        raise RefusedError(*document.notices)
    near = nearest(address, view.recipes)
    raise refused(
        "unknown-recipe", f"No recipe is called `{address}` here.", f"Did you mean `{near}`?" if near else _some(view)
    )


def _some(view: View) -> str:
    if not view.recipes:
        return "The book holds no recipe yet."
    return f"There are {', '.join(f'`{address}`' for address in view.recipes[:8])}."


def find_version(view: View, asked: str) -> tuple[Versions, Version]:
    """The recipe and the version asked for as ``address`` or ``address@3``; the current one unless said.

    Raises:
        RefusedError: ``unknown-recipe``, ``version-missing`` or ``no-current-version``.
    """
    match = _ASKED.fullmatch(asked)
    if match is None:
        raise refused("unknown-recipe", f"`{asked}` is not the name of a recipe.", "Type it as `cast/cheek-piece@3`.")
    versions = find_versions(view, match["address"])
    return versions, choose(versions, match["version"])


def choose(versions: Versions, asked: str | None) -> Version:
    """One version of a recipe: a number, ``working``, or the current one where nothing is asked."""
    if asked is None:
        current = versions.current or next((row for row in versions.rows if row.status == "draft"), None)
        if current is None:
            numbers = ", ".join(f"`{versions.address}@{row.number}`" for row in versions.rows)
            raise refused(
                "no-current-version", f"`{versions.address}` has no version in use.", f"Ask for one of {numbers}."
            )
        return current.as_saved()
    if asked == WORKING:
        return _working(versions)
    row = versions.get(int(asked)) if _NUMBER.fullmatch(asked) else None
    if row is None:
        numbers = ", ".join(str(row.number) for row in versions.rows)
        raise refused("version-missing", f"`{versions.address}` has no version `{asked}`.", f"It has {numbers}.")
    return row.as_saved()


def _working(versions: Versions) -> Version:
    unsaved = [row for row in versions.rows if row.working_tree]
    drafts = [row for row in versions.rows if row.status == "draft"]
    chosen = unsaved or drafts or [row for row in (versions.current,) if row is not None]
    if not chosen:
        raise refused(
            "version-missing",
            f"`{versions.address}` has no text in the book's folder.",
            "Ask for a number; its file was deleted.",
        )
    return chosen[-1]


def readable(versions: Versions, row: Version) -> Document:
    """The document of a version whose text still fits today's model.

    Raises:
        RefusedError: ``unreadable-version``.
    """
    if row.recipe is None:
        raise refused(
            "unreadable-version",
            f"The text of `{versions.address}@{row.number}` no longer fits what a recipe may say today.",
            "It is kept as text; compare or work with another version.",
        )
    return row.document


def recipe_at(view: View, ref: RecipeRef | None) -> Recipe | None:
    """The recipe a reference names, in its version; where that is lost to history the one in use. None where it cannot be read."""
    versions = view.versions(ref.address) if ref is not None else None
    if ref is None or versions is None:
        return None
    row = (versions.get(ref.version) if ref.version is not None else None) or versions.current
    return row.recipe if row is not None else None


def pinned_recipe(view: View, ref: RecipeRef) -> Recipe | None:
    """The text of a recipe at the version that is named, else of the one in use; None where it cannot be read."""
    versions = view.versions(ref.address)
    row = (versions.get(ref.version) if ref.version else versions.current) if versions is not None else None
    return row.recipe if row is not None else None
