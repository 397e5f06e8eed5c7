"""What a command line asks for: its book, its edition, and a view of the two, each looked for when it is needed."""

from __future__ import annotations

import sys
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from mothermold.answers.question import option
from mothermold.book.root import find_book
from mothermold.ground.errors import CannotRunError, refused
from mothermold.ground.notices import Notice

if TYPE_CHECKING:
    from mothermold.history.journal import BegunKind
    from mothermold.view.editions import Edition
    from mothermold.view.view import View


def edition_of(text: str) -> Edition:
    """The edition asked for.

    Raises:
        RefusedError: ``unknown-edition``.
    """
    from mothermold.view.editions import EDITIONS  # noqa: PLC0415 - what reads a book is loaded where one is asked

    if text not in EDITIONS:
        raise refused("unknown-edition", f"`{text}` is not an edition.", f"Type one of {', '.join(EDITIONS)}.")
    return text


FOR: Final = option("EDITION", "private, class or public", "--for", read=edition_of)
"""Every question of a view has it."""


class Call:
    """One command line that was typed.

    Attributes:
        finished: The deed that was stopped half way before, and is finished now.
    """

    def __init__(self, typed: Mapping[str, Any]) -> None:
        self._typed = typed
        self._view: View | None = None
        self.finished: BegunKind | None = None

    def hand(self, name: str) -> Any:
        """What a question is handed, by the name it has there."""
        handed: dict[str, Callable[[], Any]] = {"view": self.view, "root": self.root, "call": lambda: self}
        return handed[name]()

    def root(self) -> Path | None:
        """The folder of the book asked for, or of the one stood in; None where there is none."""
        return find_book(self._start)

    def book(self) -> Path:
        """The same where there must be one.

        Raises:
            CannotRunError: There is none.
        """
        if not self._start.is_dir():
            raise CannotRunError(f"There is no folder {self._start}.")
        root = self.root()
        if root is None:
            raise CannotRunError(
                f"No book here: neither {self._start.resolve()} nor a folder above it holds recipes/book.yaml.\n"
                "Type `mothermold init DIR` to make one, or `mothermold demo` to look at the sample book."
            )
        return root

    def desk(self) -> Path:
        """The same for who changes the book: what an earlier deed left half done is put in order first, and said."""
        from mothermold.cli.asking import Terminal  # noqa: PLC0415 - as below
        from mothermold.desk.broken_off import finish_broken_off  # noqa: PLC0415 - only deeds need it
        from mothermold.desk.heard import Heard  # noqa: PLC0415

        root = self.book()
        self.finished = finish_broken_off(root, Heard() if self.is_for_programs else Terminal())
        return root

    def view(self, edition: Edition | None = None) -> View:
        """The book in an edition, the one asked for; kept, so that what holds for the whole answer can be said."""
        from mothermold.view.view import open_view  # noqa: PLC0415 - as above

        self._view = open_view(self.book(), edition or edition_of(self._typed["edition"] or "private"))
        return self._view

    def unsettled(self) -> tuple[Notice, ...]:
        """Why the settings of the book that was asked cannot be read: every answer may be another with them."""
        return self._view.unsettled if self._view is not None else ()

    @property
    def is_for_programs(self) -> bool:
        """Whether the answer is read by a program, whom nothing is asked."""
        return bool(self._typed.get("format") == "json")

    @property
    def _start(self) -> Path:
        return Path(self._typed["book"] or ".")


def say(text: str) -> None:
    """Prints at once, so that whoever waits knows what for."""
    sys.stdout.write(text + "\n")
    sys.stdout.flush()
