"""What is damaged in git's own folder: the file that names the line, settings, locks, the list of files, saves cut off by a power cut."""

from __future__ import annotations

import re
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Final

from mothermold.ground.errors import CannotRunError
from mothermold.ground.writing import place_bytes
from mothermold.history.mishap import LayAside, Mishap
from mothermold.history.yard import Yard

_AT_WORK: Final = 10.0
"""Seconds; a lock as young as this may be of a program that is at work now."""
_ODD: Final = re.compile(r".*[\s()~^:?*\[\\].*")
_NAME: Final = re.compile(r"[0-9a-f]{40}(?:[0-9a-f]{24})?\n?")
_PLAIN: Final = b"[core]\n\trepositoryformatversion = 0\n\tbare = false\n"
_AFRESH: Final = "Copy the folder away as it is, and lay the book out afresh from where it is kept whole."


def find_closed(yard: Yard) -> Iterator[Mishap]:
    """What keeps git from opening the history at all."""
    status, _, complaint = yard.git.ask("rev-parse", "--git-dir")
    if not status:
        return
    if "dubious ownership" in complaint:
        yield Mishap(
            "owner", ".git", "The book's history belongs to another user of this computer, so git does not open it.",
            f"Tell git to trust it: `git config --global --add safe.directory {yard.book}`.",
        )  # fmt: skip
        return
    config = yard.common / "config"
    if "config" in complaint and str(config.name) in complaint and config.is_file():
        if ".git/config" in complaint:
            yield Mishap(
                "settings", ".git/config", "Git's settings of this book cannot be read.",
                "They are laid aside, and plain ones written; where a copy of the book elsewhere was named in them, name it anew.",
                lambda aside: _set_plain(aside, config),
            )  # fmt: skip
        else:
            yield Mishap(
                "settings", "", "Your own settings of git cannot be read.", f"Mend the line git names: {complaint}"
            )
        return
    if not (yard.common / "objects").is_dir():
        yield Mishap("history", ".git", "The folder of the saves themselves is gone from the book's history.", _AFRESH)
        return
    if not (yard.common / "refs").is_dir():
        yield Mishap(
            "history", ".git/refs", "A folder git needs is gone from the book's history.", "It is made again, empty.",
            lambda _aside: (yard.common / "refs" / "heads").mkdir(parents=True),
        )  # fmt: skip
        return
    yield from _find_head(yard)


def _find_head(yard: Yard) -> Iterator[Mishap]:
    lines = yard.lines()
    usual = [each for each in lines if each in ("refs/heads/main", "refs/heads/master")] or lines
    says = "The file in which git notes which line of saves the book is on cannot be read."
    if yard.line() or _NAME.fullmatch(yard.head()):
        yield Mishap("history", ".git", "The book's history cannot be opened, and nothing here says why.", _AFRESH)
    elif len(usual) > 1 or not usual:
        yield Mishap(
            "head",
            ".git/HEAD",
            says,
            f"Type `git symbolic-ref HEAD` and the line, one of: {', '.join(usual) or 'none'}.",
        )
    else:
        yield Mishap(
            "head", ".git/HEAD", says, f"It is written again: the line `{usual[0].removeprefix('refs/heads/')}`.",
            lambda aside: _set_head(aside, yard, usual[0]),
        )  # fmt: skip


def _set_plain(aside: LayAside, config: Path) -> None:
    aside.move(config, "git/config")
    place_bytes(config, _PLAIN)


def _set_head(aside: LayAside, yard: Yard, line: str) -> None:
    if (yard.own / "HEAD").exists():
        aside.copy(yard.own / "HEAD", "git/HEAD")
    place_bytes(yard.own / "HEAD", f"ref: {line}\n".encode())


def find_locks(yard: Yard) -> Iterator[Mishap]:
    """What a program locked that is not at work any more."""
    tops = dict.fromkeys((yard.own, yard.common))
    locks = {
        path
        for top in tops
        for path in (*top.glob("*.lock"), *(top / "refs").rglob("*.lock"), *(top / "objects").glob("*.lock"))
    }
    for lock in sorted(locks):
        age = time.time() - lock.stat().st_mtime
        called = yard.called(lock)
        if age < _AT_WORK:
            yield Mishap(
                "lock", called, f"Another program locked `{called}` {age:.0f} seconds ago and may be at work now.",
                "Wait a moment, then type `mothermold mend` again.",
            )  # fmt: skip
        else:
            yield Mishap(
                "lock", called, f"`{called}` is locked since {_long(age)}, so nothing can be saved.",
                "The lock is laid aside; say yes only if no other program works on the book now.",
                lambda aside, lock=lock, called=called: aside.move(lock, called.lstrip(".")),  # type: ignore[misc]
            )  # fmt: skip


def _long(seconds: float) -> str:
    for most, unit in ((120, 1), (7200, 60), (172800, 3600)):
        if seconds < most:
            return f"{seconds / unit:.0f} {({1: 'seconds', 60: 'minutes', 3600: 'hours'})[unit]}"
    return f"{seconds / 86400:.0f} days"


def find_odd_lines(yard: Yard) -> Iterator[Mishap]:
    """Copies a program that keeps folders alike made among git's lines, which git stumbles over."""
    for path in sorted((yard.common / "refs").rglob("*")):
        if path.is_file() and _ODD.fullmatch(path.name):
            called = yard.called(path)
            yield Mishap(
                "copy", called, f"`{called}` is a copy some program made of one of git's own files.", "It is laid aside.",
                lambda aside, path=path, called=called: aside.move(path, called.lstrip(".")),  # type: ignore[misc]
            )  # fmt: skip


def find_empty_saves(yard: Yard) -> Iterator[Mishap]:
    """Pieces of saves that a power cut left empty, and a newest save that cannot be read for it."""
    empty = [path for path in (yard.common / "objects").glob("??/*") if path.is_file() and not path.stat().st_size]
    if empty:
        pieces = (
            "One piece of the book's history is"
            if len(empty) == 1
            else f"{len(empty)} pieces of the book's history are"
        )
        yield Mishap(
            "empty", yard.called(empty[0]), f"{pieces} empty, as a power cut leaves them.",
            "They are laid aside, and what the files of the book hold is written again.",
            lambda aside: _written_again(aside, yard, empty),
        )  # fmt: skip
        return
    line = yard.line()
    place = yard.common / line
    if not line or (not place.exists() and not yard.works("rev-parse", "--verify", "--quiet", line)):
        return
    if yard.is_whole("HEAD"):
        return
    # The diary knows where the line stood; behind what it knows, the saves themselves do.
    newest = yard.newest_whole(yard.diary(line))
    if (
        newest
        and yard.git.ask("rev-parse", "--verify", "--quiet", line)[1].decode("ascii", "replace").strip() == newest
    ):
        return  # it was git that stumbled, and not the history
    says = "The newest save of the book cannot be read any more."
    if not newest:
        yield Mishap("tip", yard.called(place), says, f"No save before it is whole either. {_AFRESH}")
        return
    _, told, _ = yard.git.ask("log", "-1", "--format=%cs, %s", "--end-of-options", newest)
    named = told.decode("utf-8", "replace").strip()
    yield Mishap(
        "tip", yard.called(place), says,
        f"The history goes back to the newest save that is whole ({named}). No file of the book is touched; what changed since "
        "stands in them, and `mothermold save` keeps it anew.",
        lambda aside: _set_line(aside, yard, line, newest),
    )  # fmt: skip


def _written_again(aside: LayAside, yard: Yard, empty: list[Path]) -> None:
    for path in empty:
        aside.move(path, f"git/objects/{path.parent.name}/{path.name}")
    with tempfile.TemporaryDirectory() as scratch:
        index = Path(scratch) / "index"
        if yard.git.ask("add", "--all", "--", ".", index=index)[0] == 0:
            yard.git.ask("write-tree", index=index)
    yard.git.ask("write-tree")


def _set_line(aside: LayAside, yard: Yard, line: str, save: str) -> None:
    place = yard.common / line
    if place.exists():
        aside.copy(place, f"git/{line}")
    place_bytes(place, f"{save}\n".encode())
    # What the diary knows of saves that are gone would be complained of for ever.
    for diary in (yard.own / "logs" / "HEAD", yard.common / "logs" / line):
        if diary.is_file():
            rows = diary.read_bytes().splitlines(keepends=True)
            whole = [row for row in rows if all(_is_there(yard, name) for name in row.split(b" ", 2)[:2])]
            if whole != rows:
                aside.copy(diary, f"git/logs/{'HEAD' if diary.name == 'HEAD' else line}")
                place_bytes(diary, b"".join(whole))


def _is_there(yard: Yard, name: bytes) -> bool:
    return not name.strip(b"0") or yard.works("cat-file", "-e", f"{name.decode('ascii', 'replace')}^{{commit}}")


def find_damaged_list(yard: Yard) -> Iterator[Mishap]:
    """Git's list of the book's files, where it cannot be read, or is gone."""
    listed = yard.own / "index"
    is_gone = not listed.exists() and yard.works("rev-parse", "--verify", "--quiet", "HEAD^{commit}")
    if not is_gone and yard.works("ls-files"):
        return
    says = f"Git's list of the book's files {'is gone' if is_gone else 'cannot be read'}."
    if yard.git.ask("config", "--type=bool", "--default=false", "core.sparseCheckout")[1].strip() == b"true":
        yield Mishap(
            "list", ".git/index", f"{says} Only a part of the book is laid out here, and the list said which.",
            "Type `git sparse-checkout disable` in the book's folder; it lays out all of it, and makes the list again.",
        )  # fmt: skip
        return
    yield Mishap(
        "list", ".git/index", says, "It is made again from the newest save; no file of the book is touched.",
        lambda aside: _listed_again(aside, yard, listed),
    )  # fmt: skip


def _listed_again(aside: LayAside, yard: Yard, listed: Path) -> None:
    if listed.exists():
        aside.move(listed, "git/index")
    if not yard.works("rev-parse", "--verify", "--quiet", "HEAD^{commit}"):
        return
    yard.done("read-tree", "HEAD")
    if not yard.works("ls-files"):
        raise CannotRunError("Git's list of files could not be made again.")
