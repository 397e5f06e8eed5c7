"""Reads a repository with git's plumbing: which commit changed which file, and the bytes of every such file.

Six git processes whatever the size of the book, and at most two more where files are here that are not saved, or saved
ones are not here. Nothing of the user's settings matters, nothing is written,
and authors' names and mail are never asked for.
"""

from __future__ import annotations

import os
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Final

from mothermold.book.files import RECIPES
from mothermold.ground.notices import Notice
from mothermold.history.left_out import find_left_out, not_laid_out
from mothermold.history.program import NoGitError, clean_environment, execute

_NOTHING: Final = "0" * 40


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


@dataclass(frozen=True, slots=True)
class Log:
    """All that git knows of a book, newest first, descendants before ancestors.

    Attributes:
        commits: The commits that touched the book.
        blobs: The bytes of every file in them, by blob.
        notices: What is missing, at most one sentence.
        left_out: The documents no save takes in.
        elsewhere: Saved documents git was told not to lay out here.
    """

    commits: tuple[Commit, ...]
    blobs: Mapping[str, bytes]
    notices: tuple[Notice, ...]
    left_out: tuple[Notice, ...] = ()
    elsewhere: frozenset[str] = frozenset()


def read_log(book: Path, files: Collection[str] = ()) -> Log:
    """Reads the history of a book's folder; a missing git, repository or commit is a notice, not an error.

    Args:
        book: The folder.
        files: The files in it that look like documents, relative to it.
    """
    with clean_environment():
        try:
            return _read(book, files)
        except _MissingError as missing:
            return Log((), {}, (missing.notice,))


class _MissingError(Exception):
    def __init__(self, code: str, message: str, advice: str) -> None:
        self.notice = Notice(code, "advice", message, advice)
        super().__init__(message)


def _read(book: Path, files: Collection[str]) -> Log:
    git = _Git(book)
    top, prefix, shallow = git.place()
    git.folder = top
    if git.head() is None:
        nothing = Notice(
            "no-commits",
            "advice",
            "Nothing has been saved in this book yet.",
            "Type `mothermold save` once; until then only the files as they are can be read.",
        )
        return Log((), {}, (nothing,), tuple(find_left_out(git.ask, book, prefix, files, saved=(), elsewhere=())))
    pathspec = f"{prefix}{RECIPES}"
    listing = ("rev-list", "--full-history", "--topo-order")
    graph = _graph(git.run(*listing, "--parents", "--format=%ct", "HEAD", "--", pathspec))
    # Asked for by itself: where our line never touched the book, git leaves it out of a merge's parents above.
    line = _line(git.run(*listing, "--first-parent", "--format=on %H %P", "HEAD", "--", pathspec))
    changes = git.run(
        "diff-tree",
        "--stdin",
        "--root",
        "-r",
        "-c",
        "--raw",
        "-z",
        "--no-renames",
        "--no-abbrev",
        "--",
        pathspec,
        given=_diff_requests(graph, line),
    )
    changed = _changes(changes, prefix)
    commits = tuple(
        Commit(sha, parents, moment, changed.get(sha, {}), sha in line) for sha, (parents, moment) in graph.items()
    )
    wanted = dict.fromkeys(blob for commit in commits for blob in commit.changed.values() if blob)
    blobs = _blobs(git.run("cat-file", "--batch", "--buffer", given="".join(f"{blob}\n" for blob in wanted)))
    notices = (
        ()
        if not shallow
        else (
            Notice(
                "shallow-history",
                "warning",
                "Only the newest part of the history was copied here.",
                "Copy the whole of it with `git fetch --unshallow`; until then older versions are missing.",
            ),
        )
    )
    saved = {file for file, (_commit, blob) in newest_states(commits).items() if blob is not None}
    gone = {f"{prefix}{file}" for file in saved - set(files) if file.endswith(".yaml")}
    elsewhere = frozenset(file[len(prefix) :] for file in not_laid_out(git.ask, pathspec, gone))
    left_out = find_left_out(git.ask, book, prefix, files, saved=saved, elsewhere=elsewhere)
    return Log(commits, blobs, notices, tuple(left_out), elsewhere)


class _Git:
    """Runs git through GitPython, without a shell and without the user's settings where they are broken."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._settings: dict[str, str] = {}

    def place(self) -> tuple[Path, str, bool]:
        """The repository's top folder, the book's place in it with a slash, and whether history is cut."""
        question = ("rev-parse", "--show-toplevel", "--show-prefix", "--is-shallow-repository")
        status, out, complaint = self.ask(*question)
        if status and "config" in complaint:
            self._settings = {"GIT_CONFIG_GLOBAL": os.devnull, "GIT_CONFIG_NOSYSTEM": "1"}
            status, out, complaint = self.ask(*question)
        if status and "dubious ownership" in complaint:
            raise _MissingError(
                "no-repository",
                "The repository belongs to another user of this computer, so git does not open it.",
                f"Tell git to trust it with `git config --global --add safe.directory {self.folder}`.",
            )
        if status:
            raise _MissingError(
                "no-repository",
                "The book lies in no repository, so it has no earlier versions.",
                "Type `mothermold save`: the first save makes a history for it.",
            )
        top, prefix, shallow = out.decode("utf-8", "surrogateescape").split("\n")[:3]
        return Path(top), prefix, shallow == "true"

    def head(self) -> str | None:
        """The newest commit, or None before the first."""
        status, out, _ = self.ask("rev-parse", "--verify", "--quiet", "HEAD^{commit}")
        return None if status else out.decode().strip()

    def run(self, *words: str, given: str = "") -> bytes:
        """The output of a git command; an empty one where git itself fails half way."""
        status, out, complaint = self.ask(*words, given=given)
        if status:
            raise _MissingError(
                "no-repository",
                "The repository is damaged and could not be read.",
                f"Look at it with `git fsck`, which complains of: {complaint.strip().splitlines()[-1]}."
                if complaint.strip()
                else "Look at it with `git fsck`.",
            )
        return out

    def ask(self, *words: str, given: str = "", settings: Mapping[str, str] | None = None) -> tuple[int, bytes, str]:
        """The exit code, output and complaint of a git command."""
        environment = {
            "GIT_NO_REPLACE_OBJECTS": "1",
            "GIT_OPTIONAL_LOCKS": "0",
            "GIT_LITERAL_PATHSPECS": "1",
            **self._settings,
            **(settings or {}),
        }
        try:
            return execute(self.folder, words, given.encode("utf-8", "surrogateescape"), environment)
        except NoGitError:
            raise _MissingError(
                "no-git",
                "The program git is not on this computer, so only the files as they are can be read.",
                "Install git to see and keep versions.",
            ) from None


_Graph = dict[str, tuple[tuple[str, ...], datetime]]


def _graph(out: bytes) -> _Graph:
    graph: _Graph = {}
    lines = iter(out.decode("ascii", "replace").splitlines())
    for line in lines:
        if line.startswith("commit "):
            sha, *parents = line.split()[1:]
            graph[sha] = (tuple(parents), datetime.fromtimestamp(int(next(lines)), UTC))
    return graph


def _line(out: bytes) -> dict[str, str]:
    """The commits on the line of first parents that changed the book, each with its first parent."""
    told = (line.split() for line in out.decode("ascii", "replace").splitlines() if line.startswith("on "))
    return {sha: parents[0] if parents else "" for _on, sha, *parents in told}


def _diff_requests(graph: _Graph, line: Mapping[str, str]) -> str:
    # On the line of first parents a merge counts as what it changed there; elsewhere as what it made itself.
    return "".join(f"{sha} {line.get(sha, '')}".rstrip() + "\n" for sha in graph)


def _changes(out: bytes, prefix: str) -> dict[str, dict[str, str | None]]:
    found: dict[str, dict[str, str | None]] = {}
    fields = iter(out.decode("utf-8", "surrogateescape").split("\0"))
    sha = ""
    for entry in fields:
        if not entry.startswith(":"):
            sha = entry.strip() or sha
            continue
        path = next(fields)
        pieces = entry.split(" ")
        # `:old new oldblob newblob status`, with more colons, modes and blobs for a merge.
        blob, mode = pieces[-2], pieces[entry.count(":", 0, 8)]
        regular = mode.startswith("100")
        if path.startswith(prefix):
            found.setdefault(sha, {})[path[len(prefix) :]] = blob if blob != _NOTHING[: len(blob)] and regular else None
    return found


def _blobs(out: bytes) -> dict[str, bytes]:
    found: dict[str, bytes] = {}
    position = 0
    while position < len(out):
        end = out.index(b"\n", position)
        words = out[position:end].split()
        position = end + 1
        if len(words) == 3:
            size = int(words[2])
            found[words[0].decode()] = out[position : position + size]
            position += size + 1
    return found


def blobs_of(commits: Iterable[Commit], file: str) -> list[tuple[Commit, str | None]]:
    """The commits that changed one file, newest first, each with the file's blob after it."""
    return [(commit, commit.changed[file]) for commit in commits if file in commit.changed]


def newest_states(commits: Iterable[Commit]) -> dict[str, tuple[Commit, str | None]]:
    """What the newest save holds of each file that ever was in one: the commit that left it so, and its blob or None."""
    found: dict[str, tuple[Commit, str | None]] = {}
    for commit in commits:
        if commit.first_parent:
            for file, blob in commit.changed.items():
                found.setdefault(file, (commit, blob))
    return found
