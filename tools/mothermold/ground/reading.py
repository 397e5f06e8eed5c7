"""Reads a file, or says that the tool could not."""

from __future__ import annotations

from pathlib import Path
from typing import Any

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


def read_table(path: Path) -> Any:
    """A data file of the tool's own, in YAML."""
    return table(path.read_text(encoding="utf-8"))


def table(text: str) -> Any:
    """The tool's own YAML as plain data; by the C parser where there is one, which is fifteen times quicker."""
    import yaml  # noqa: PLC0415 - most commands read no table

    loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
    return yaml.load(text, Loader=loader)  # noqa: S506 - either makes plain data only
