"""Reads a repository with git's plumbing: which commit changed which file, and the bytes of every such file.

Six git processes whatever the size of the book, and at most two more where files are here that are not saved, or saved
ones are not here; four less where the history is known from an earlier answer. Nothing of the user's settings matters, nothing
is written but such answers, and authors' names and mail are never asked for.
"""

from __future__ import annotations

import os
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any, Final

from mothermold.book.files import RECIPES
from mothermold.ground.errors import CannotRunError
from mothermold.ground.notices import Notice
from mothermold.ground.store import Store, digest
from mothermold.history.journal import OURS, broken_off
from mothermold.history.left_out import find_left_out, not_laid_out
from mothermold.history.log import NO_BLOBS, Blobs, Commit, Log
from mothermold.history.program import NoGitError, execute

_NOTHING: Final = "0" * 40


_SHALLOW: Final = (
    Notice(
        "shallow-history",
        "warning",
        "Only the newest part of the history was copied here.",
        "Copy the whole of it with `git fetch --unshallow`; until then older versions are missing.",
    ),
)


def read_log(book: Path, files: Collection[str] = ()) -> Log:
    """Reads the history of a book's folder; a missing git, repository or commit is a notice, not an error.

    Args:
        book: The folder.
        files: The files in it that look like documents, relative to it.
    """
    try:
        return _read(book, files)
    except _MissingError as missing:
        return Log((), NO_BLOBS, (missing.notice,))


class _MissingError(Exception):
    def __init__(self, code: str, message: str, advice: str) -> None:
        self.notice = Notice(code, "advice", message, advice)
        super().__init__(message)


def _read(book: Path, files: Collection[str]) -> Log:
    git = _Git(book)
    top, prefix, shallow, folder, ours = git.place()
    git.folder, git.own = top, folder
    stopped = broken_off(ours, prefix)
    head, store = git.head(), Store(folder / "mothermold")
    if head is None:
        nothing = Notice(
            "no-commits",
            "advice",
            "Nothing has been saved in this book yet.",
            "Type `mothermold save` once; until then only the files as they are can be read.",
        )
        left_out = find_left_out(git.ask, book, prefix, files, saved=(), elsewhere=())
        return Log((), NO_BLOBS, (nothing,), (*stopped, *left_out), store=store)
    pathspec, name = f"{prefix}{RECIPES}", digest(head, prefix, git.cut())
    kept = store.get("log", digest(prefix, git.cut()))
    known = _continued(git, pathspec, prefix, head, kept) if kept is not None else None
    commits = known if known is not None else _commits(git, pathspec, prefix)
    # Photos are kept in the history and never read from it.
    changed = (change for each in commits for change in each.changed.items())
    names = dict.fromkeys(blob for file, blob in changed if blob and not file.endswith(".jpg"))
    # The first time all are read, so that a damaged history is told as such.
    blobs = Blobs(names, git.blobs_later, git.blobs(names) if known is None else {})
    if kept is None or kept[0] != head:
        store.put("log", digest(prefix, git.cut()), [head, [_as_kept(each) for each in commits]], most=3)
    log = Log(commits, blobs, _SHALLOW if shallow else (), name=name, store=store)
    saved = {file for file, (_commit, blob) in log.newest.items() if blob is not None}
    gone = {f"{prefix}{file}" for file in saved - set(files) if file.endswith(".yaml")}
    elsewhere = frozenset(file[len(prefix) :] for file in not_laid_out(git.ask, pathspec, gone))
    left_out = find_left_out(git.ask, book, prefix, files, saved=saved, elsewhere=elsewhere)
    return replace(log, for_owner=(*stopped, *left_out), elsewhere=elsewhere)


def _commits(git: _Git, pathspec: str, prefix: str) -> tuple[Commit, ...]:
    listing = ("rev-list", "--full-history", "--topo-order")
    graph = _graph(git.run(*listing, "--parents", "--format=%ct", "HEAD", "--", pathspec))
    # Asked for by itself: where our line never touched the book, git leaves it out of a merge's parents above.
    line = _line(git.run(*listing, "--first-parent", "--format=on %H %P", "HEAD", "--", pathspec))
    changed = _changes(git, pathspec, prefix, _diff_requests(graph, line))
    return tuple(
        Commit(sha, parents, moment, changed.get(sha, {}), sha in line) for sha, (parents, moment) in graph.items()
    )


def _continued(git: _Git, pathspec: str, prefix: str, head: str, kept: Sequence[Any]) -> tuple[Commit, ...] | None:
    """The commits there were, and those saved since one upon the other; None where the line is another one now."""
    known, commits = kept[0], tuple(map(_commit, kept[1]))
    if known == head:
        return commits
    status, out, _complaint = git.ask("rev-list", "--topo-order", "--parents", head, f"^{known}")
    since = [line.split() for line in out.decode("ascii", "replace").splitlines()]
    following = [parent for _sha, *parents in since for parent in (parents if len(parents) == 1 else [""])]
    if status or not since or following != [*(sha for sha, *_parents in since[1:]), known]:
        return None
    graph = _graph(git.run("rev-list", "--topo-order", "--parents", "--format=%ct", head, f"^{known}", "--", pathspec))
    line = {sha: parent for (sha, *_), parent in zip(since, following, strict=True) if sha in graph}
    changed = _changes(git, pathspec, prefix, _diff_requests(graph, line))
    ancestors = [*list(graph)[1:], *([commits[0].sha] if commits else [])]
    return (
        *(
            Commit(sha, tuple(ancestors[at : at + 1]), moment, changed.get(sha, {}), first_parent=True)
            for at, (sha, (_parents, moment)) in enumerate(graph.items())
        ),
        *commits,
    )


def _as_kept(commit: Commit) -> list[Any]:
    return [commit.sha, list(commit.parents), commit.moment.timestamp(), dict(commit.changed), commit.first_parent]


def _commit(kept: Sequence[Any]) -> Commit:
    sha, parents, moment, changed, first_parent = kept
    return Commit(sha, tuple(parents), datetime.fromtimestamp(moment, UTC), changed, first_parent)


class _Git:
    """Runs git through GitPython, without a shell and without the user's settings where they are broken."""

    def __init__(self, folder: Path) -> None:
        self.folder = self.own = folder
        self._settings: dict[str, str] = {}

    def place(self) -> tuple[Path, str, bool, Path, Path]:
        """The repository's top folder, the book's place in it with a slash, whether history is cut, git's own folder, and ours in it."""
        asked = (
            *("--show-toplevel", "--show-prefix", "--is-shallow-repository"),
            *("--git-common-dir", "--git-path", OURS),
        )
        question = ("rev-parse", *asked)
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
        top, prefix, shallow, own, ours = out.decode("utf-8", "surrogateescape").split("\n")[:5]
        return Path(top), prefix, shallow == "true", self.folder / own, self.folder / ours

    def cut(self) -> bytes:
        """Where git was told that the history begins or joins elsewhere than its commits say."""
        told = (self.own / name for name in ("shallow", "info/grafts"))
        return b"".join(path.read_bytes() for path in told if path.is_file())

    def blobs(self, names: Iterable[str]) -> dict[str, bytes]:
        """The bytes of blobs."""
        return _blobs(self.run("cat-file", "--batch", "--buffer", given="".join(f"{name}\n" for name in names)))

    def blobs_later(self, names: Iterable[str]) -> dict[str, bytes]:
        """The same for a history that could be read once.

        Raises:
            CannotRunError: It was damaged since, or git is gone.
        """
        try:
            return self.blobs(names)
        except _MissingError as missing:
            raise CannotRunError(f"{missing} {missing.notice.help}") from None

    def head(self) -> str | None:
        """The newest commit, or None before the first."""
        status, out, _ = self.ask("rev-parse", "--verify", "--quiet", "HEAD^{commit}")
        return None if status else out.decode().strip()

    def run(self, *words: str, given: str = "") -> bytes:
        """The output of a git command; an empty one where git itself fails half way."""
        status, out, _complaint = self.ask(*words, given=given)
        if status:
            raise _MissingError(
                "no-repository",
                "The repository is damaged and could not be read.",
                "Type `mothermold mend`: it says what is damaged and what can be done, and asks before it does anything.",
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


def _changes(git: _Git, pathspec: str, prefix: str, requests: str) -> dict[str, dict[str, str | None]]:
    """What each commit changed in the book."""
    told = ("--root", "-r", "-c", "--raw", "-z", "--no-renames", "--no-abbrev")
    out = git.run("diff-tree", "--stdin", *told, "--", pathspec, given=requests)
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
