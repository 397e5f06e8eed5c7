"""What a command line asks for: its book, its edition, and a view of the two."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from mothermold.answers.result import refused
from mothermold.book.files import find_book
from mothermold.ground.errors import CannotRunError
from mothermold.view.editions import EDITIONS, Edition
from mothermold.view.view import View, open_view


def edition_of(asked: argparse.Namespace) -> Edition:
    """The edition asked for.

    Raises:
        RefusedError: ``unknown-edition``.
    """
    if asked.edition not in EDITIONS:
        raise refused("unknown-edition", f"`{asked.edition}` is not an edition.", f"Type one of {', '.join(EDITIONS)}.")
    return asked.edition  # type: ignore[no-any-return]


def book_of(asked: argparse.Namespace) -> Path:
    """The book asked for, or the one stood in.

    Raises:
        CannotRunError: There is none.
    """
    start = Path(asked.book or ".")
    if not start.is_dir():
        raise CannotRunError(f"There is no folder {start}.")
    root = find_book(start)
    if root is None:
        raise CannotRunError(
            f"No book here: neither {start.resolve()} nor a folder above it holds recipes/book.yaml.\n"
            "Type `mothermold init DIR` to make one, or `mothermold demo` to look at the sample book."
        )
    return root


def view_of(asked: argparse.Namespace) -> View:
    """The book in the edition asked for; kept with what was asked, so that what holds for the whole answer can be said."""
    asked.view = open_view(book_of(asked), edition_of(asked))
    return asked.view  # type: ignore[no-any-return]


def say(text: str) -> None:
    """Prints at once, so that whoever waits knows what for."""
    sys.stdout.write(text + "\n")
    sys.stdout.flush()
