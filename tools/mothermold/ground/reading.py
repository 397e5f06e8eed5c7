"""Reads a file, or says that the tool could not."""

from __future__ import annotations

from pathlib import Path

from mothermold.ground.errors import CannotRunError


def read_bytes(path: Path) -> bytes:
    """The bytes of a file.

    Raises:
        CannotRunError: The file cannot be read.
    """
    try:
        return path.read_bytes()
    except OSError as problem:
        raise CannotRunError(f"{path} could not be read: {problem.strerror or problem}.") from problem
