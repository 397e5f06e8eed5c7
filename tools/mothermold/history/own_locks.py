"""What a save of ours that was stopped left locked, and known for ours beyond doubt; nobody else's lock is touched."""

from __future__ import annotations

import contextlib
import re
import time
from pathlib import Path
from typing import Final

from mothermold.ground.writing import works_still
from mothermold.history.plumbing import NOBODY, Plumbing

_COMMIT: Final = re.compile(r"[0-9a-f]{40,64}\n?")
_MOMENT: Final = 0.5
"""Seconds; git holds the lock of a line for a few thousandths of one."""
_TOGETHER: Final = 5.0
"""Seconds between two locks of one and the same step, at most."""


def clear_list_lock(lock: Path, own: Path) -> bool:
    """Takes away the lock of git's list of files where it is the very file of a save of ours that does not run any more.

    Args:
        lock: The lock.
        own: The folder of ours in git's folder.
    """
    for beside in own.glob("index-*"):
        number = beside.name.rpartition("-")[2]
        with contextlib.suppress(OSError):
            if number.isdigit() and lock.samefile(beside) and not works_still(beside, int(number)):
                lock.unlink()
                beside.unlink()
                return True
    return False


def clear_beside(own: Path) -> None:
    """Takes away the lists that stopped saves of ours were making beside git's own.

    Args:
        own: The folder of ours in git's folder.
    """
    for beside in own.glob("index-*"):
        number = beside.name.removesuffix(".lock").rpartition("-")[2]
        if number.isdigit() and not works_still(beside, int(number)):
            with contextlib.suppress(OSError):
                beside.unlink()


def clear_line_locks(git: Plumbing, line: Path, head: Path, tip: str | None) -> bool:
    """Takes away the lock of the book's line where it names a save of ours that would follow the newest one, and never did.

    Args:
        git: Runs git.
        line: The lock of the line.
        head: The lock of the place that says which line it is.
        tip: The newest commit.
    """
    before = _seen(line)
    if before is None or not _COMMIT.fullmatch(before[2]):
        return False
    status, told, _ = git.ask("cat-file", "commit", before[2].strip())
    words = told.decode("utf-8", "replace").partition("\n\n")[0].split("\n")
    parents = [word.removeprefix("parent ") for word in words if word.startswith("parent ")]
    ours = f"committer {NOBODY['GIT_COMMITTER_NAME']} <{NOBODY['GIT_COMMITTER_EMAIL']}> "
    if status or parents != ([tip] if tip else []) or not any(word.startswith(ours) for word in words):
        return False
    time.sleep(_MOMENT)
    if _seen(line) != before:
        return False
    beside = _seen(head)
    if beside is not None and not beside[2] and abs(beside[1] - before[1]) < _TOGETHER:
        head.unlink(missing_ok=True)
    line.unlink(missing_ok=True)
    return True


def _seen(path: Path) -> tuple[int, float, str] | None:
    with contextlib.suppress(OSError, UnicodeDecodeError):
        looked = path.stat()
        return looked.st_ino, looked.st_mtime, path.read_text(encoding="ascii")
    return None
