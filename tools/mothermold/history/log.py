"""What git knows of a book: its commits, which file each changed, and the bytes of every such file."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import cached_property
from typing import Final

from mothermold.ground.notices import Notice
from mothermold.ground.store import NOWHERE, Store


@dataclass(frozen=True, slots=True)
class Commit:
    """A commit that touched the book.

    Attributes:
        sha: Its full name.
        parents: Its nearest ancestors among the commits that touched the book.
        moment: The committer's time.
        changed: For each changed file, relative to the book, its blob, or None where it was deleted: against
            the first parent on the line of first parents, elsewhere against all parents.
        first_parent: Whether it lies on the line of first parents from the newest commit.
    """

    sha: str
    parents: tuple[str, ...]
    moment: datetime
    changed: Mapping[str, str | None]
    first_parent: bool


_FEW: Final = 3


class Blobs(Mapping[str, bytes]):
    """The bytes of saved files by blob, fetched out of git when somebody asks for them.

    Args:
        names: All there are.
        fetch: Fetches the bytes of some of them; what it cannot find is empty.
        fetched: What is here already.
    """

    def __init__(
        self,
        names: Iterable[str],
        fetch: Callable[[Iterable[str]], Mapping[str, bytes]],
        fetched: Mapping[str, bytes] | None = None,
    ) -> None:
        self._names, self._fetch = frozenset(names), fetch
        self._fetched, self._asked = dict(fetched or {}), 0

    def want(self, names: Iterable[str]) -> None:
        """Fetches all of these at once; else each costs a process of its own. Who asks often is given all there are."""
        missing = [name for name in dict.fromkeys(names) if name in self._names and name not in self._fetched]
        if missing:
            self._asked += 1
            wanted = missing if self._asked <= _FEW else [name for name in self._names if name not in self._fetched]
            self._fetched |= dict.fromkeys(wanted, b"") | dict(self._fetch(wanted))

    def __getitem__(self, name: str) -> bytes:
        if name not in self._names:
            raise KeyError(name)
        self.want([name])
        return self._fetched[name]

    def __iter__(self) -> Iterator[str]:
        return iter(self._names)

    def __len__(self) -> int:
        return len(self._names)


@dataclass(frozen=True)
class Log:
    """All that git knows of a book, newest first, descendants before ancestors.

    Attributes:
        commits: The commits that touched the book.
        blobs: The bytes of every file in them, by blob.
        notices: What is missing, at most one sentence.
        for_owner: What only the owner is told: the documents no save takes in, a deed that was stopped half way.
        elsewhere: Saved documents git was told not to lay out here.
        name: What it is known by: the same name, the same commits and blobs; empty where nothing is saved.
        store: Where answers are kept that were made of it.
    """

    commits: tuple[Commit, ...]
    blobs: Blobs
    notices: tuple[Notice, ...]
    for_owner: tuple[Notice, ...] = ()
    elsewhere: frozenset[str] = frozenset()
    name: str = ""
    store: Store = NOWHERE

    @cached_property
    def _by_file(self) -> Mapping[str, Sequence[tuple[Commit, str | None]]]:
        found: dict[str, list[tuple[Commit, str | None]]] = {}
        for commit in self.commits:
            for file, blob in commit.changed.items():
                found.setdefault(file, []).append((commit, blob))
        return found

    @property
    def files(self) -> Collection[str]:
        """Every file that ever was saved."""
        return self._by_file.keys()

    def of(self, file: str) -> Sequence[tuple[Commit, str | None]]:
        """The commits that changed one file, newest first, each with the file's blob after it."""
        return self._by_file.get(file, ())

    @cached_property
    def parents(self) -> Mapping[str, tuple[str, ...]]:
        """The nearest ancestors of each commit."""
        return {commit.sha: commit.parents for commit in self.commits}

    @cached_property
    def order(self) -> Mapping[str, int]:
        """The place of each commit in the log."""
        return {commit.sha: place for place, commit in enumerate(self.commits)}

    @cached_property
    def newest(self) -> Mapping[str, tuple[Commit, str | None]]:
        """What the newest save holds of each file that ever was in one: the commit that left it so, its blob or None."""
        return {
            file: line[0]
            for file, saved in self._by_file.items()
            if (line := [each for each in saved if each[0].first_parent])
        }


NO_BLOBS: Final = Blobs((), lambda _names: {})
"""Of a book of which nothing is saved."""
