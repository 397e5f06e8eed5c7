"""What a recipe said under each number: the text, its commit, its amendments and clashes.

The rules stand in the project's contract on versions; this module applies them to one recipe's states.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import Literal

from mothermold.book.document import Document
from mothermold.compare.differences import RecipeText, differences, same_process
from mothermold.ground.notices import Notice
from mothermold.history.log import Commit
from mothermold.model.recipe import Recipe

VersionStatus = Literal["draft", "locked", "retired", "withdrawn", "deleted"]


@dataclass(frozen=True, slots=True)
class State:
    """What a recipe's file said after one commit; ``document`` is None where it was deleted."""

    commit: Commit
    document: Document | None
    version: int | None
    status: str | None

    @property
    def done(self) -> bool:
        """Whether it carries a number that counts."""
        return self.version is not None and self.status in ("locked", "retired")


@dataclass(frozen=True, slots=True)
class Version:
    """One number of a recipe.

    Attributes:
        number: The number.
        status: draft, locked, retired, withdrawn or deleted.
        document: The text shown for it, the newest.
        commit: The oldest commit that carries it locked; None for drafts and unsaved numbers.
        moment: That commit's time.
        amendments: Earlier other texts saved under this number, newest first, each with when it was saved.
        working_tree: Whether the text stands in no commit.
        clash: The other text of this number on a joined line, where there is one.
        saved: The text as it was saved, where ``document`` is a later one that stands in no commit.
        saved_draft: Of a draft, the text last saved under its number; a draft itself means the file as it is.
    """

    number: int
    status: VersionStatus
    document: Document
    commit: str | None = None
    moment: datetime | None = None
    amendments: tuple[tuple[datetime, Document], ...] = ()
    working_tree: bool = False
    clash: Document | None = None
    saved: Document | None = None
    saved_draft: Document | None = None

    def as_saved(self) -> Version:
        """The same number with its saved text, where the book's folder holds a later one."""
        return self if self.saved is None else replace(self, document=self.saved, saved=None, working_tree=False)

    @property
    def recipe(self) -> Recipe | None:
        """What it says; None where it no longer fits today's model."""
        return self.document.model if isinstance(self.document.model, Recipe) else None

    @property
    def why(self) -> str | None:
        """Why it differs from the one before."""
        recipe = self.recipe
        if recipe is not None:
            return recipe.why
        said = self.document.raw.get("why")
        return said if isinstance(said, str) else None

    @property
    def fixes(self) -> tuple[str, ...]:
        """The failure notes it answers."""
        recipe = self.recipe
        if recipe is not None:
            return tuple(recipe.fixes)
        said = self.document.raw.get("fixes")
        return tuple(str(name) for name in said) if isinstance(said, list) else (said,) if isinstance(said, str) else ()


@dataclass(frozen=True, slots=True)
class Versions:
    """All numbers of one recipe, ascending.

    Attributes:
        address: The recipe.
        rows: The numbers.
        highest: The highest number it ever carried, 0 where none.
        notices: What is wrong with them.
    """

    address: str
    rows: tuple[Version, ...]
    highest: int = 0
    notices: tuple[Notice, ...] = field(default=())

    @property
    def current(self) -> Version | None:
        """The highest locked number."""
        return next((row for row in reversed(self.rows) if row.status == "locked"), None)

    def get(self, number: int) -> Version | None:
        """One number, where it is known."""
        return next((row for row in self.rows if row.number == number), None)


FindVersions = Callable[[str], Versions | None]
"""Finds the versions of a recipe by its address."""


def said_version(document: Document) -> tuple[int | None, str | None]:
    """The number and status a text carries, also where the rest of it cannot be read."""
    version, status = document.raw.get("version"), document.raw.get("status")
    number = int(version) if isinstance(version, str) and re.fullmatch(r"[1-9]\d{0,8}", version) else None
    return number, status if isinstance(status, str) else None


def as_text(document: Document) -> RecipeText | None:
    """The recipe's text for comparing; None where it cannot be read."""
    return RecipeText(document.model, document.said) if isinstance(document.model, Recipe) else None


def same_text(one: Document, other: Document) -> bool:
    """Whether two texts say the same in process and notes; comments, order and spacing never count."""
    if one.has_bytes_of(other):
        return True
    a, b = as_text(one), as_text(other)
    if a is None or b is None:
        return one.text == other.text
    return a.recipe.why == b.recipe.why and a.recipe.fixes == b.recipe.fixes and not differences(a, b)


def _same_version(one: Document, other: Document) -> bool:
    if one.has_bytes_of(other):
        return True
    a, b = as_text(one), as_text(other)
    return one.text == other.text if a is None or b is None else same_process(a, b)


def list_versions(
    address: str,
    line: Sequence[State],
    side: Sequence[State],
    working: Document | None,
    parents: Mapping[str, tuple[str, ...]],
) -> Versions:
    """Lists a recipe's numbers by the rules of versions.

    Args:
        address: The recipe.
        line: Its states along first parents, newest first.
        side: Its states elsewhere, descendants first.
        working: Its text in the working tree; None where the file is gone.
        parents: The commits' nearest ancestors, for telling side lines apart.
    """
    numbers = {state.version for state in (*line, *side) if state.done and state.version is not None}
    now, now_status = said_version(working) if working is not None else (None, None)
    rows = {number: _row(number, line, side, working is None, parents) for number in numbers}
    notices: list[Notice] = []
    if working is not None and now is not None:
        if now_status == "draft" and now in numbers:
            notices.append(_draft_on_locked(working, now, max(numbers)))
        elif now_status == "draft":
            unsaved = not _saved(working, now, (*line, *side))
            rows[now] = Version(now, "draft", working, working_tree=unsaved, saved_draft=_last_saved(now, line))
        elif now_status in ("locked", "retired"):
            status: VersionStatus = "retired" if now_status == "retired" else "locked"
            rows[now] = _with_working(rows.get(now), working, now, status, (*line, *side))
            saved = rows[now].saved
            if saved is not None and working.model is not None and not _same_version(saved, working):
                notices.append(_locked_changed(working, now, max(numbers)))
    carried = [state.version for state in (*line, *side) if state.version is not None] + ([now] if now else [])
    top = max((state.version or 0 for state in line if state.done), default=0)
    ordered = tuple(rows[number] for number in sorted(rows))
    notices += [_clash(row, working, top, max(carried)) for row in ordered if row.clash is not None]
    return Versions(address, ordered, max(carried, default=0), tuple(notices))


def _row(
    number: int, line: Sequence[State], side: Sequence[State], gone: bool, parents: Mapping[str, tuple[str, ...]]
) -> Version:
    ours = [state for state in line if state.done and state.version == number]
    theirs = [state for state in side if state.done and state.version == number]
    carrying = ours or theirs
    newest, oldest = carrying[0], carrying[-1]
    assert newest.document is not None
    status: VersionStatus = "retired" if newest.status == "retired" else "locked"
    if gone:
        status = "deleted"
    elif ours and _went_back(number, line):
        status = "withdrawn"
    return Version(
        number,
        status,
        newest.document,
        oldest.commit.sha,
        oldest.commit.moment,
        amendments=_amendments(ours),
        clash=_clashing(ours or theirs[:1], theirs, parents),
    )


def _went_back(number: int, line: Sequence[State]) -> bool:
    for state in line:
        if state.version == number:
            return False
        if state.version is not None and state.version < number:
            return True
    return False


def _amendments(ours: Sequence[State]) -> tuple[tuple[datetime, Document], ...]:
    found: list[tuple[datetime, Document]] = []
    seen = [ours[0].document] if ours else []
    for state in ours[1:]:
        if state.document is not None and not any(same_text(state.document, other) for other in seen if other):
            seen.append(state.document)
            found.append((state.commit.moment, state.document))
    return tuple(found)


def _clashing(
    ours: Sequence[State], theirs: Sequence[State], parents: Mapping[str, tuple[str, ...]]
) -> Document | None:
    for state in _last_on_their_lines(theirs, parents):
        # A text our line once had and amended since is no clash, though a joined line still ends with it.
        known = [other.document for other in ours if other.document is not None]
        if state.document is not None and not any(_same_version(state.document, other) for other in known):
            return state.document
    return None


def _last_on_their_lines(theirs: Sequence[State], parents: Mapping[str, tuple[str, ...]]) -> list[State]:
    last: list[State] = []
    behind: set[str] = set()
    for state in theirs:
        if state.commit.sha in behind:
            continue
        last.append(state)
        waiting = [state.commit.sha]
        while waiting:
            for parent in parents.get(waiting.pop(), ()):
                if parent not in behind:
                    behind.add(parent)
                    waiting.append(parent)
    return last


def _saved(working: Document, number: int, states: Sequence[State]) -> bool:
    return any(
        state.version == number and state.document is not None and same_text(state.document, working)
        for state in states
    )


def _last_saved(number: int, line: Sequence[State]) -> Document | None:
    return next((state.document for state in line if state.version == number and state.document is not None), None)


def _with_working(
    row: Version | None, working: Document, number: int, status: VersionStatus, states: Sequence[State]
) -> Version:
    unsaved = not _saved(working, number, [state for state in states if state.done])
    if row is None:
        return Version(number, status, working, working_tree=True)
    changed = replace(row, status=status)
    return replace(changed, document=working, working_tree=True, saved=row.document) if unsaved else changed


def _locked_changed(working: Document, number: int, highest: int) -> Notice:
    return working.notice(
        "locked-changed",
        f"Version {number} is locked, and what it says was changed since it was saved.",
        f"`mothermold save` gives it `version: {highest + 1}` and asks why; `mothermold undo --unsaved` takes it back.",
        ("version",),
        severity="warning",
    )


def _draft_on_locked(working: Document, number: int, highest: int) -> Notice:
    return working.notice(
        "draft-on-locked",
        f"Version {number} was already locked, so it cannot be a draft again.",
        f"Type `version: {highest + 1}` for the draft, or `status: locked` again.",
        ("status",),
    )


def _clash(row: Version, working: Document | None, top: int, highest: int) -> Notice:
    settled = top > row.number
    file = (working or row.document).file
    advice = (
        "Both texts stay readable under this number."
        if settled
        else f"Lock the one that should stand as version {highest + 1}; both texts of {row.number} stay readable."
    )
    return Notice(
        "version-clash",
        "advice" if settled else "error",
        f"Version {row.number} was locked with two different texts on two lines of history.",
        advice,
        file=file,
    )
