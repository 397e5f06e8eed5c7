"""The one way a file is written: whole or not at all, and never over a text nobody has read.

What an editor saves between our reading and our writing stays: where the system can exchange two names, ours comes in by an
exchange, and what lay there at that very moment is looked at afterwards; elsewhere it is looked at right before the rename.
"""

from __future__ import annotations

import contextlib
import os
import re
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Final

from mothermold.ground.errors import CannotRunError, RefusedError, refused
from mothermold.ground.exchanging import exchange
from mothermold.ground.notices import Notice

_OURS: Final = re.compile(r"\..*\.([0-9]+)-[a-z0-9_]+\.new", re.DOTALL)
_LONGEST: Final = 60
_OLD: Final = 3600
"""Seconds after which what is half written is nobody's any more, where nobody can say whether its program still runs."""
_OTHERS: Final = frozenset({".git", "site"})


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
    _written(path, text.encode("utf-8"), None if replaces is None else replaces.encode("utf-8"))


def replace_bytes(path: Path, data: bytes, *, replaces: bytes | None) -> None:
    """The same for a file that need not be a text; ``replaces`` are the bytes it was read with."""
    _written(path, data, replaces)


def remove(path: Path, *, holds: bytes) -> None:
    """Deletes a file that still says what it was read with; one that is gone stays gone.

    Raises:
        RefusedError: It says something else by now.
        CannotRunError: The disk refused.
    """
    try:
        # Under another name nobody writes into it while it is looked at.
        handle, name = tempfile.mkstemp(prefix=_prefix(path), suffix=".new", dir=path.parent)
        os.close(handle)
        aside = Path(name)
        try:
            path.replace(aside)
        except FileNotFoundError:
            aside.unlink()
            return
        if aside.read_bytes() == holds:
            aside.unlink()
            return
        _take_free_name(aside, path)
    except OSError as problem:
        raise CannotRunError(f"{path} could not be removed: {problem.strerror or problem}.") from problem
    raise _stale(path)


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


def _written(path: Path, data: bytes, replaces: bytes | None) -> None:
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        if replaces is None:
            if path.exists():
                raise RefusedError(_already_there(path))
            _write(path, data, _take_free_name)
        else:
            _refuse_stale(path, replaces)
            _write(path, data, lambda temporary, place: _take_turn(temporary, place, data, replaces))
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
    handle, name = tempfile.mkstemp(prefix=_prefix(path), suffix=".new", dir=path.parent)
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


def _prefix(path: Path) -> str:
    """How what is half written is called: who writes it stands in its name, so that what nobody finishes is known."""
    return f".{path.name[:_LONGEST]}.{os.getpid()}-"


def broken_off(folder: Path) -> Iterator[Path]:
    """What writes that were stopped half way left in a folder and below; no program that runs still needs it.

    Args:
        folder: A book's folder; git's own and what was built are not looked into.
    """
    for here, names, files in os.walk(folder):
        names[:] = [name for name in names if name not in _OTHERS]
        for name in files:
            if (match := _OURS.fullmatch(name)) and not works_still(Path(here, name), int(match[1])):
                yield Path(here, name)


def works_still(path: Path, process: int) -> bool:
    """Whether the program that made a file still runs.

    Args:
        path: The file.
        process: The number that program had.
    """
    if os.name != "posix":
        # Asking would stop it there.
        with contextlib.suppress(OSError):
            return time.time() - path.stat().st_mtime < _OLD
        return True
    try:
        os.kill(process, 0)
    except (ProcessLookupError, OverflowError):
        return False
    except PermissionError:
        pass
    return True


def _refuse_stale(path: Path, replaces: bytes) -> None:
    if not path.exists() or path.read_bytes() != replaces:
        raise _stale(path)


def _stale(path: Path) -> RefusedError:
    return refused(
        "changed-meanwhile",
        f"{path.name} was changed by someone else since it was read.",
        "Look at the file again, then repeat what you did; nothing was written.",
    )


def _take_turn(temporary: Path, path: Path, data: bytes, replaces: bytes) -> None:
    """Puts the new file in the place of the one that was read, and of no other."""
    _refuse_stale(path, replaces)
    try:
        if not exchange(temporary, path):
            temporary.replace(path)
            return
    except FileNotFoundError:
        raise _stale(path) from None
    # What lay there when ours came in lies beside it now: only if it is what was read may it go.
    if temporary.read_bytes() != replaces:
        exchange(temporary, path)
        if temporary.read_bytes() != data:
            # Somebody saved once more while it was put back; the newest stays.
            exchange(temporary, path)
        raise _stale(path)
    _clear(temporary)


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
        _clear(temporary)


def _clear(temporary: Path) -> None:
    """Takes the passing name away; ours stands by now, and where that fails the next deed does it."""
    with contextlib.suppress(OSError):
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
