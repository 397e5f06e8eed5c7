"""The one way a file is written: whole or not at all, and never over a text nobody has read."""

from __future__ import annotations

import contextlib
import os
import tempfile
from collections.abc import Callable
from pathlib import Path

from mothermold.ground.errors import CannotRunError, RefusedError, refused
from mothermold.ground.notices import Notice


def write_text(path: Path, text: str, *, replaces: str | None = None) -> None:
    """Writes a text file so that a crash leaves the old file or the new one, never half of either.

    Args:
        path: The file; missing folders are made.
        text: The new text, written as UTF-8 with the line ends it has.
        replaces: The text the file was read with; None means the file must not exist yet.

    Raises:
        RefusedError: The file exists although it should not, or no longer holds the text that was read.
        CannotRunError: The disk refused.
    """
    _written(path, text.encode("utf-8"), replaces)


def write_new(path: Path, data: bytes) -> None:
    """Writes a file that is no text, such as a photo, under a name nothing has; see ``write_text``.

    Args:
        path: The file; missing folders are made.
        data: What it holds.

    Raises:
        RefusedError: Something is called so already.
        CannotRunError: The disk refused.
    """
    _written(path, data, None)


def _written(path: Path, data: bytes, replaces: str | None) -> None:
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        _refuse_stale(path, replaces)
        _write(path, data, Path.replace if replaces is not None else _take_free_name)
    except FileExistsError:
        raise RefusedError(_already_there(path)) from None
    except OSError as problem:
        raise CannotRunError(f"{path} could not be written: {problem.strerror or problem}.") from problem


def place_bytes(path: Path, data: bytes, *, waits: bool = True) -> None:
    """Puts a file that is ours alone, such as a built page, in its place, over whatever stood there.

    Args:
        path: Its place.
        data: What it holds.
        waits: Whether it is on the disk afterwards; of many files one waits once for all with ``settle``.

    Raises:
        CannotRunError: The disk refused.
    """
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        _write(path, data, Path.replace, waits=waits or not hasattr(os, "sync"))
    except OSError as problem:
        raise CannotRunError(f"{path} could not be written: {problem.strerror or problem}.") from problem


def settle() -> None:
    """Waits until all that was placed without waiting is on the disk."""
    if hasattr(os, "sync"):
        os.sync()


def _write(path: Path, data: bytes, move: Callable[[Path, Path], object], *, waits: bool = True) -> None:
    handle, name = tempfile.mkstemp(prefix=f".{path.name}.", suffix=".new", dir=path.parent)
    temporary = Path(name)
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(data)
            if waits:
                stream.flush()
                os.fsync(stream.fileno())
        temporary.chmod(path.stat().st_mode & 0o777 if path.exists() else 0o644)
        move(temporary, path)
    except BaseException:
        with contextlib.suppress(OSError):
            temporary.unlink()
        raise
    if waits:
        _sync_folder(path.parent)


def _refuse_stale(path: Path, replaces: str | None) -> None:
    if replaces is None:
        if path.exists():
            raise RefusedError(_already_there(path))
        return
    if not path.exists() or path.read_bytes() != replaces.encode("utf-8"):
        raise refused(
            "changed-meanwhile",
            f"{path.name} was changed by someone else since it was read.",
            "Look at the file again, then repeat what you did; nothing was written.",
        )


def _take_free_name(temporary: Path, path: Path) -> None:
    try:
        # A link fails when the name was taken meanwhile, where a rename would write over it.
        os.link(temporary, path)
    except FileExistsError:
        raise
    except OSError:
        # Some sticks and network drives know no links; there the earlier look has to do.
        temporary.rename(path)
    else:
        temporary.unlink()


def _already_there(path: Path) -> Notice:
    return Notice(
        "already-there",
        "error",
        f"{path.name} is already there.",
        "Choose another name or move the file away; nothing was written.",
    )


def _sync_folder(folder: Path) -> None:
    # Without this a power cut can forget the rename itself; some systems cannot sync a folder.
    with contextlib.suppress(OSError):
        descriptor = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)
