"""Every write of the desk with a fault at its n-th operation: a full disk, a failing disk, a kill, a git that fails or dies.

In ``tests``: ``python -m campaigns.faults --minutes 5`` (all of it takes about half an hour), ``--deed save`` for one deed.
What must hold: each file is the old one or the new one, whole; the history stands where it stood or where the deed leads; what
is told is true; a `git commit` typed by hand takes nothing back; and the next command leaves all as if nothing had happened.
"""

from __future__ import annotations

import argparse
import errno
import json
import os
import random
import re
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from campaigns.deeds import DEEDS, begun, book, copied
from history.repositories import Repository
from mothermold.desk.broken_off import finish_broken_off
from mothermold.desk.heard import Heard
from mothermold.ground import writing
from mothermold.ground.errors import MothermoldError
from mothermold.history import program

KINDS: Final = ("full", "disk", "kill", "git fails", "git dies")
"""A disk full from the n-th operation on; one that fails once; a kill before it; a git that does nothing; one that did it and says no."""
_WRITES: Final = frozenset({"os.rename", "os.link", "os.remove", "os.mkdir", "os.rmdir", "os.chmod"})
_FREES: Final = frozenset({"os.remove", "os.rmdir"})
_GIT_WRITES: Final = frozenset(
    {
        "add",
        "commit-tree",
        "update-ref",
        "reset",
        "read-tree",
        "write-tree",
        "hash-object",
        "update-index",
        "init",
        "config",
    }
)


class Faults:
    """Counts the operations of this process, and lets the n-th one fail."""

    def __init__(self, root: Path, kind: str, at: int) -> None:
        self.kind, self.at = kind, at
        self.count = 0
        self.unsafe: list[str] = []
        self._root = str(root)
        self._git = kind.startswith("git")
        self._synced: set[int] = set()
        self._moved: set[int] = set()

    def begin(self) -> None:
        """From here on: for this process there is no way back, it is one of its own for each case."""
        sync, make, swap, run = os.fsync, os.fdopen, writing.exchange, subprocess.run

        def fsync(descriptor: int) -> None:
            self._step()
            sync(descriptor)
            self._synced.add(os.fstat(descriptor).st_ino)

        def fdopen(descriptor: int, *how: Any) -> Any:
            return _Halting(make(descriptor, *how), self)

        def exchange(one: Path, other: Path) -> bool:
            self._step()
            self._looked_at(one)
            return swap(one, other)

        def git(words: list[str], **how: Any) -> subprocess.CompletedProcess[bytes]:
            return self._asked_git(run, words, how)

        writing.os.fsync, writing.os.fdopen, writing.exchange = fsync, fdopen, exchange  # type: ignore[assignment]
        program.subprocess.run = git  # type: ignore[assignment]
        sys.addaudithook(self._heard)

    def end(self) -> None:
        """Looks whether all that was renamed would outlive a power cut."""
        self.at, self.kind = 0, ""
        if self._moved - self._synced:
            self.unsafe.append("a folder was not on the disk at the end")

    def _heard(self, event: str, told: tuple[Any, ...]) -> None:
        if event == "open":
            mode = told[2] if isinstance(told[2], int) else 0
            if mode & (os.O_WRONLY | os.O_RDWR | os.O_CREAT) and self._is_ours(told[0]):
                self._step()
        elif event in _WRITES and self._is_ours(told[0]):
            # On a full disk things can still be taken away.
            if not (self.kind == "full" and event in _FREES):
                self._step()
            if event in ("os.rename", "os.link"):
                self._looked_at(Path(os.fsdecode(told[0])))

    def _is_ours(self, path: object) -> bool:
        return isinstance(path, str | bytes | os.PathLike) and os.fsdecode(path).startswith(self._root)

    def _looked_at(self, source: Path) -> None:
        if source.name.endswith(".new") and source.stat().st_size:
            if source.stat().st_ino not in self._synced:
                self.unsafe.append(f"{source.name} was named before it was on the disk")
            self._moved.add(source.parent.stat().st_ino)

    def _asked_git(self, run: Callable[..., Any], words: list[str], how: dict[str, Any]) -> Any:
        step = next((word for word in words if word in _GIT_WRITES), "")
        failed = subprocess.CompletedProcess(words, 128, b"", b"fatal: No space left on device")
        if self.kind == "full" and self.at and self.count >= self.at and step:
            return failed
        if not self._git:
            self._step()
            return run(words, **how)
        self.count += 1
        if self.count != self.at:
            return run(words, **how)
        if self.kind == "git dies":
            run(words, **how)
            return subprocess.CompletedProcess(words, -9, b"", b"")
        return failed

    def _step(self) -> None:
        if self._git:
            return
        self.count += 1
        if not self.at or self.count < self.at or (self.count > self.at and self.kind != "full"):
            return
        if self.kind == "kill":
            os.kill(os.getpid(), signal.SIGKILL)
        raise OSError(errno.ENOSPC if self.kind == "full" else errno.EIO, "fault")


class _Halting:
    """A file of which half is written where a fault comes."""

    def __init__(self, file: Any, faults: Faults) -> None:
        self._file, self._faults = file, faults

    def __enter__(self) -> _Halting:
        return self

    def __exit__(self, *problem: object) -> None:
        self._file.close()

    def write(self, data: bytes) -> int:
        half = len(data) // 2
        self._file.write(data[:half])
        self._file.flush()
        self._faults._step()
        return half + int(self._file.write(data[half:]))

    def __getattr__(self, name: str) -> Any:
        return getattr(self._file, name)


@dataclass(frozen=True, slots=True)
class Told:
    """How a deed ended: well, refused with words, killed (nothing told), or with a stack of calls."""

    how: str
    words: str = ""
    count: int = 0
    unsafe: tuple[str, ...] = ()


def apart(root: Path, deed: Callable[[], object], kind: str = "", at: int = 0) -> Told:
    """Does something in a process of its own."""
    reads, writes = os.pipe()
    if (child := os.fork()) == 0:
        told: dict[str, Any] = {"how": "well"}
        faults = Faults(root, kind, at)
        try:
            faults.begin()
            deed()
        except (MothermoldError, OSError) as problem:
            told = {"how": "refused", "words": str(problem)}
        except BaseException as problem:  # a stack of calls is what the artist would see
            told = {"how": "broke", "words": repr(problem)}
        count = faults.count
        faults.end()
        unsafe = faults.unsafe if told["how"] == "well" else []
        os.write(writes, json.dumps({**told, "count": count, "unsafe": unsafe}).encode())
        os._exit(0)
    os.close(writes)
    with os.fdopen(reads, "rb") as stream:
        said = stream.read()
    os.waitpid(child, 0)
    if not said:
        return Told("killed")
    read = json.loads(said)
    return Told(read["how"], read.get("words", ""), read["count"], tuple(read["unsafe"]))


@dataclass(frozen=True, slots=True)
class State:
    """A book's files, and the tree of its newest save."""

    files: dict[str, bytes]
    tree: str
    saves: int


def state(root: Path) -> State:
    """As it is now."""
    found = {
        path.relative_to(root).as_posix(): path
        for path in root.rglob("*")
        if path.is_file() and ".git" not in path.relative_to(root).parts
    }
    kept = {name: path.read_bytes() for name, path in found.items()}
    repository = Repository(root)
    try:
        tree = repository.git("rev-parse", "HEAD^{tree}").strip()
    except RuntimeError:
        return State(kept, "", 0)
    return State(kept, tree, int(repository.git("rev-list", "--count", "HEAD")))


class Bench:
    """One deed on its book: as it is before, and as it is after it was done without a fault."""

    def __init__(self, name: str, folder: Path) -> None:
        self.name, self.folder = name, folder
        self.whole = folder / "whole"
        DEEDS[name].prepare(book(self.whole))
        self.before = state(self.whole)
        done = copied(self.whole, folder / "done")
        self.plain = apart(done, lambda: begun(name, done))
        self.after = state(done)
        counted = copied(self.whole, folder / "counted")
        self.steps = {"git": apart(counted, lambda: begun(name, counted), "git fails", 0).count, "": self.plain.count}

    def unsafe(self) -> list[str]:
        """What is wrong without any fault: it must be done, and outlive a power cut at every moment."""
        return [*self.plain.unsafe, *([self.plain.words] if self.plain.how != "well" else [])]

    def ways(self, kind: str) -> range:
        """Where a fault of a kind can come."""
        return range(1, self.steps["git" if kind.startswith("git") else ""] + 1)

    def case(self, kind: str, at: int) -> tuple[str, list[str]]:
        """How it ended with a fault, and all that is wrong with that."""
        root = copied(self.whole, self.folder / "case")
        try:
            told = apart(root, lambda: begun(self.name, root), kind, at)
            return told.how, [*self._wrong(root, told, kind), *self._by_hand(root), *self._afterwards(root)]
        finally:
            shutil.rmtree(root)

    def _wrong(self, root: Path, told: Told, kind: str) -> Iterator[str]:
        now = state(root)
        if told.how == "broke":
            yield f"a stack of calls: {told.words}"
        for file in now.files.keys() | self.before.files.keys() | self.after.files.keys():
            data = now.files.get(file)
            # A passing name that could not be taken away goes with the next deed.
            left = data is not None and kind in ("kill", "disk") and file.endswith(".new")
            left = left or (file.startswith("set-aside/") and data in (None, *self.after.files.values()))
            if not left and data not in (self.before.files.get(file), self.after.files.get(file)):
                yield f"{file} is neither old nor new: {data!r:.60}"
        if now.tree not in (self.before.tree, self.after.tree):
            yield "the history stands where it never should"
        files = {file: data for file, data in now.files.items() if not file.endswith(".new")}
        stands = (files, now.tree, now.saves) == (self.after.files, self.after.tree, self.after.saves)
        if told.how == "well" and not stands:
            yield "it is told as done, and is not"
        if told.how == "refused" and DEEDS[self.name].saves and now.saves != self.before.saves:
            yield f"a save that stands is told as not made: {told.words}"
        if (
            told.how == "refused"
            and re.search(r"\.\w+ could not be written", told.words)
            and stands
            and now.files != self.before.files
        ):
            yield f"a file that stands is told as not written: {told.words}"

    def _by_hand(self, root: Path) -> Iterator[str]:
        """What a commit typed by hand makes of it, in a copy."""
        if not DEEDS[self.name].saves:
            return
        hand = copied(root, self.folder / "hand")
        repository, before = Repository(hand), state(hand)
        try:
            repository.git("commit", "--quiet", "-m", "By hand")
        except RuntimeError:
            pass
        else:
            if state(hand).tree not in (self.after.tree, before.tree):
                yield "a commit by hand makes something that never was"
            if before.tree == self.after.tree and state(hand).tree != before.tree:
                yield "a commit by hand takes the save back"
        shutil.rmtree(hand)

    def _afterwards(self, root: Path) -> Iterator[str]:
        """What the next command finds, and leaves."""

        def again() -> None:
            finish_broken_off(root, Heard())
            if not self._is_done(root):
                begun(self.name, root)

        then = apart(root, again)
        if then.how != "well":
            yield f"the next command ends badly: {then.how}: {then.words}"
        if not self._is_done(root):
            now, after = _but_aside(state(root).files), _but_aside(self.after.files)
            wrong = sorted(file for file in now.keys() | after.keys() if now.get(file) != after.get(file))
            yield f"the next command leaves something else: {wrong or 'another history'}"
        if locks := [path.name for path in (root / ".git").rglob("*.lock")]:
            yield f"locks are left: {locks}"

    def _is_done(self, root: Path) -> bool:
        now = state(root)
        return (_but_aside(now.files), now.tree) == (_but_aside(self.after.files), self.after.tree)


def _but_aside(files: Mapping[str, bytes]) -> dict[str, bytes]:
    """What was laid aside twice lies there twice."""
    return {file: data for file, data in files.items() if not file.startswith("set-aside/")}


def campaign(names: Sequence[str], minutes: float, seed: int, say: Callable[[str], object]) -> int:
    """Runs cases until the time is up, or every case was had; prints totals; returns how many were wrong."""
    ends = time.monotonic() + minutes * 60
    ended: Counter[tuple[str, str]] = Counter()
    wrong = 0
    with tempfile.TemporaryDirectory(
        prefix="mothermold-faults-", dir="/dev/shm" if Path("/dev/shm").is_dir() else None
    ) as scratch:
        benches = {name: Bench(name, _made(Path(scratch) / name.replace(" ", "-"))) for name in names}
        left = {(name, kind): list(benches[name].ways(kind)) for name in names for kind in KINDS}
        for each in left.values():
            random.Random(seed).shuffle(each)
        for name, bench in benches.items():
            for each in bench.unsafe():
                wrong += 1
                say(f"{name}, without a fault: {each}")
        while any(left.values()) and time.monotonic() < ends:
            for (name, kind), ways in left.items():
                if not ways or time.monotonic() > ends:
                    continue
                at = ways.pop()
                how, told = benches[name].case(kind, at)
                ended[name, how] += 1
                wrong += bool(told)
                for each in told:
                    say(f"{name}, {kind} at {at}: {each}")
        for name in names:
            hows = ", ".join(f"{ended[name, how]} {how}" for how in ("well", "refused", "killed", "broke"))
            rest = sum(len(ways) for (other, _kind), ways in left.items() if other == name)
            say(f"{name}: {hows}; {rest} not tried")
    say(f"{ended.total()} cases, {wrong} wrong (seed {seed})")
    return wrong


def _made(folder: Path) -> Path:
    folder.mkdir()
    return folder


def main() -> int:
    """Reads the command line."""
    words = argparse.ArgumentParser(description=__doc__)
    words.add_argument("--minutes", type=float, default=5)
    words.add_argument("--seed", type=int, default=1)
    words.add_argument("--deed", choices=tuple(DEEDS), action="append")
    asked = words.parse_args()
    os.environ.update(HOME="/nonexistent", XDG_CONFIG_HOME="/nonexistent")
    return int(
        bool(
            campaign(asked.deed or tuple(DEEDS), asked.minutes, asked.seed, lambda text: sys.stdout.write(f"{text}\n"))
        )
    )


if __name__ == "__main__":
    sys.exit(main())
