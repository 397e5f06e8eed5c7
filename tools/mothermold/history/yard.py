"""Git's own folder of a book as it lies there, whole or not: what the finders of troubles look at."""

from __future__ import annotations

from collections.abc import Iterable
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from mothermold.ground.errors import CannotRunError
from mothermold.history.plumbing import NOBODY, Plumbing, last_line

_LINES = "refs/heads/"


@dataclass(frozen=True, slots=True)
class Yard:
    """A book with git's folder.

    Attributes:
        book: The book's folder.
        git: Runs git in it.
        own: Git's folder of this working folder.
        common: Git's folder with all lines and saves; the same but in a linked working folder.
    """

    book: Path
    git: Plumbing
    own: Path
    common: Path

    def called(self, path: Path) -> str:
        """What a file of git's is called when it is spoken of."""
        top = self.own if path.is_relative_to(self.own) else self.common
        return f".git/{path.relative_to(top).as_posix()}"

    def head(self) -> str:
        """What the file says that names the line the book is on; empty where it says nothing that can be read."""
        with suppress(OSError, UnicodeDecodeError):
            return (self.own / "HEAD").read_text(encoding="ascii").strip("\0 \n")
        return ""

    def line(self) -> str:
        """The line of saves the book is on, like ``refs/heads/main``; empty where it is on none."""
        told = self.head()
        return told.removeprefix("ref: ").strip() if told.startswith("ref: refs/") else ""

    def lines(self) -> list[str]:
        """All lines there are, whether or not git can read them."""
        heads = self.common / _LINES
        found = {f"{_LINES}{path.relative_to(heads).as_posix()}" for path in heads.rglob("*") if path.is_file()}
        with suppress(OSError, UnicodeDecodeError):
            packed = (self.common / "packed-refs").read_text(encoding="utf-8").splitlines()
            found |= {row.split(" ", 1)[1] for row in packed if f" {_LINES}" in row}
        return sorted(each for each in found if not each.endswith(".lock"))

    def works(self, *words: str) -> bool:
        """Whether git can do something."""
        return self.git.ask(*words)[0] == 0

    def done(self, *words: str) -> None:
        """Lets git do something.

        Raises:
            CannotRunError: It could not.
        """
        status, _, complaint = self.git.ask(*words, settings=NOBODY)
        if status:
            raise CannotRunError(f"Git could not do it: {last_line(complaint)}")

    def is_whole(self, save: str) -> bool:
        """Whether a save can be read with all that lies behind it."""
        return self.works("rev-list", "--objects", "--quiet", "--end-of-options", save)

    def newest_whole(self, before: Iterable[str]) -> str:
        """The newest of some saves, named from the newest on, that is whole; empty where none is."""
        return next((save for save in dict.fromkeys(before) if save.strip("0") and self.is_whole(save)), "")

    def diary(self, line: str) -> list[str]:
        """The saves a line stood at, from the newest on, as git noted them."""
        with suppress(OSError):
            rows = (self.common / "logs" / line).read_bytes().splitlines()
            return [row.split(b" ")[1].decode("ascii", "replace") for row in reversed(rows) if row.count(b" ") > 1]
        return []


def yard_of(book: Path) -> Yard | None:
    """Git's folder of a book, found without git, which may not be able to open it; None where there is none.

    Args:
        book: The book's folder.
    """
    for folder in (book, *book.parents):
        marked = folder / ".git"
        if marked.is_dir():
            return Yard(book, Plumbing(book), marked, marked)
        if marked.is_file():
            with suppress(OSError, UnicodeDecodeError):
                own = folder / marked.read_text(encoding="utf-8").removeprefix("gitdir:").strip()
                common = own / "commondir"
                shared = own / common.read_text(encoding="utf-8").strip() if common.is_file() else own
                return Yard(book, Plumbing(book), own, shared.resolve())
            return None
    return None
