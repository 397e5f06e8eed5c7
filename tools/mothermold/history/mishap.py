"""Something that went wrong with git, folders or files, as it is said, and what mends it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Protocol


class LayAside(Protocol):
    """Where a copy of whatever is taken away is kept."""

    def copy(self, path: Path, called: str) -> None:
        """Keeps a copy of a file or a folder under a name."""

    def move(self, path: Path, called: str) -> None:
        """The same, and takes it away where it was."""


@dataclass(frozen=True, slots=True)
class Mishap:
    """Something that went wrong.

    Attributes:
        what: Which kind, in a word or two, like ``lock``.
        where: The file or folder it is about, relative to the book; of git's own below ``.git``.
        says: What is wrong, in a sentence.
        will: What is done about it after a yes; where nothing can be, what to do by hand.
        mend: Does it, and may raise a ``MothermoldError``; None where only somebody who knows more can.
    """

    what: str
    where: str
    says: str
    will: str
    mend: Callable[[LayAside], None] | None = None
