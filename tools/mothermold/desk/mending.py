"""Finds what went wrong with git, folders and files, says it in words, and mends it after a yes; a copy of what goes is kept."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Final

from mothermold.desk.aside import Aside
from mothermold.desk.asking import Asking
from mothermold.desk.broken_off import finish_broken_off
from mothermold.desk.damaged_files import find_copies, find_joined_texts, find_line_ends, find_read_only
from mothermold.ground.errors import CannotRunError, MothermoldError
from mothermold.history.broken import (
    find_closed,
    find_damaged_list,
    find_empty_saves,
    find_locks,
    find_odd_lines,
)
from mothermold.history.half_done import find_half_done, find_nested, find_older_state
from mothermold.history.mishap import Mishap
from mothermold.history.yard import Yard, yard_of

_ROUNDS: Final = 40
"""What is mended may uncover more; no book has that much."""


def _in_git(find: Callable[[Yard], Iterator[Mishap]]) -> Callable[[Path], list[Mishap]]:
    def found(root: Path) -> list[Mishap]:
        yard = yard_of(root)
        return list(find(yard)) if yard is not None else []

    return found


_FINDERS: Final[tuple[Callable[[Path], Sequence[Mishap]], ...]] = (
    # What is found first keeps the next from being looked at.
    lambda root: list(find_read_only(root)),
    _in_git(find_closed),
    _in_git(find_locks),
    _in_git(find_odd_lines),
    _in_git(find_empty_saves),
    _in_git(find_damaged_list),
    _in_git(find_half_done),
    _in_git(find_older_state),
    _in_git(find_nested),
    lambda root: list(find_joined_texts(root)),
    lambda root: list(find_copies(root)),
    lambda root: list(find_line_ends(root)),
)


@dataclass(frozen=True, slots=True)
class Mended:
    """A mishap, and what became of it.

    Attributes:
        mishap: The mishap.
        done: Whether it is mended.
        why_not: Where it was tried and could not be, why.
    """

    mishap: Mishap
    done: bool = False
    why_not: str = ""


def find_mishaps(root: Path) -> list[Mishap]:
    """What is wrong now; nothing is touched.

    Args:
        root: The book's folder.
    """
    found: list[Mishap] = []
    try:
        for find in _FINDERS:
            found += find(root)
            if any(each.what in _BLINDS for each in found):
                break
    except CannotRunError as problem:
        found.append(Mishap("git", "", str(problem), "What stands in the files is safe; install git, then look again."))
    return found


def mend_book(
    root: Path, asking: Asking, *, agrees: Callable[[Mishap], bool], clock: Callable[[], datetime] | None = None
) -> list[Mended]:
    """Finds and mends, one mishap after the other, and says each.

    Args:
        root: The book's folder.
        asking: Whom to tell.
        agrees: Whether a mishap is to be mended, after it was said.
        clock: What time it is, by which what is laid aside is called; the computer's unless given.

    Raises:
        CannotRunError: git is not on this computer.
    """
    aside = Aside(root, clock() if clock is not None else datetime.now(UTC).astimezone())
    found: list[Mended] = []
    seen: set[Mishap] = set()
    for _ in range(_ROUNDS):
        mishap = next((each for each in _troubles(root) if _known(each) not in seen), None)
        if mishap is None:
            break
        seen.add(_known(mishap))
        asking.say(f"{mishap.says}\n  {mishap.will}")
        found.append(_mended(mishap, aside, agrees))
        if found[-1].why_not:
            asking.say(f"  It could not be done: {found[-1].why_not}")
        if not found[-1].done and mishap.what in _BLINDS:
            asking.say("While that is so, nothing more can be looked at.")
            break
    if all(each.done for each in found):
        finish_broken_off(root, asking)
    if aside.used:
        asking.say(f"What was laid aside lies in {aside.where}, which no save takes in.")
    return found


_SHUT: Final = frozenset(
    {"read-only", "history", "head", "settings", "owner", "lock", "tip", "list", "half-done", "older"}
)
"""With these nothing can be written into the history yet."""


_BLINDS: Final = frozenset({"history", "head", "settings", "owner", "tip", "empty"})
"""With these git can tell nothing that could be believed."""


def _known(mishap: Mishap) -> Mishap:
    """The mishap by what it is about, for what it says may change while one looks."""
    return Mishap(mishap.what, mishap.where, "", "")


def _troubles(root: Path) -> Iterator[Mishap]:
    for find in _FINDERS:
        yield from find(root)


def _mended(mishap: Mishap, aside: Aside, agrees: Callable[[Mishap], bool]) -> Mended:
    if mishap.mend is None or not agrees(mishap):
        return Mended(mishap)
    try:
        mishap.mend(aside)
    except MothermoldError as problem:
        return Mended(mishap, why_not=str(problem))
    except OSError as problem:
        return Mended(mishap, why_not=f"{problem.strerror or problem}.")
    return Mended(mishap, done=True)
