"""The folder in the book where a copy of whatever is taken away is kept; no save takes it in."""

from __future__ import annotations

import shutil
from datetime import datetime
from pathlib import Path
from typing import Final

from mothermold.ground.errors import CannotRunError
from mothermold.ground.writing import place_bytes, write_text

ASIDE: Final = "set-aside"
"""What lies in it is left out of every save by a list of its own."""


class Aside:
    """What one deed lays aside, in a folder named by the moment.

    Attributes:
        where: That folder, relative to the book; made only when something is laid into it.
        used: Whether anything was.
    """

    def __init__(self, root: Path, moment: datetime) -> None:
        self._root = root
        name = f"{moment:%Y-%m-%d-%H%M%S}"
        names = (name, *(f"{name}-{number}" for number in range(2, 1000)))
        self._folder = next(root / ASIDE / each for each in names if not (root / ASIDE / each).exists())
        self.where = self._folder.relative_to(root).as_posix()
        self.used = False

    def keep(self, called: str, data: bytes) -> None:
        """Keeps bytes under a name.

        Raises:
            CannotRunError: The disk refused.
        """
        self._begin()
        place_bytes(self._folder / called, data)

    def copy(self, path: Path, called: str) -> None:
        """Keeps a copy of a file or a folder under a name.

        Raises:
            CannotRunError: It cannot be read, or the disk refused.
        """
        try:
            if path.is_dir() and not path.is_symlink():
                self._begin()
                shutil.copytree(path, self._folder / called, symlinks=True, dirs_exist_ok=True)
            else:
                self.keep(called, path.read_bytes())
        except OSError as problem:
            raise CannotRunError(f"{path} could not be laid aside: {problem.strerror or problem}.") from problem

    def move(self, path: Path, called: str) -> None:
        """The same, and takes it away where it was, when the copy is whole."""
        self.copy(path, called)
        try:
            if path.is_dir() and not path.is_symlink():
                shutil.rmtree(path)
            else:
                path.unlink()
        except OSError as problem:
            raise CannotRunError(f"{path} could not be taken away: {problem.strerror or problem}.") from problem

    def _begin(self) -> None:
        if not (self._root / ASIDE / ".gitignore").exists():
            write_text(self._root / ASIDE / ".gitignore", "*\n")
        self.used = True
