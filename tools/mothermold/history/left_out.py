"""Documents no save takes in: ignored by a list of git's, not laid out here, or in a history of their own."""

from __future__ import annotations

import os
from collections import defaultdict
from collections.abc import Callable, Collection, Iterable, Iterator
from pathlib import Path, PurePosixPath
from typing import Final

from mothermold.book.files import SETTINGS_FILE
from mothermold.book.strays import in_short
from mothermold.ground.notices import Notice

# Git's own list in its folder, which is the same file in every linked copy of the book.
_OWN_LIST: Final = "info/exclude"

AskGit = Callable[..., tuple[int, bytes, str]]
"""Runs git at the top of the repository: words, what it reads, further variables."""


def nested_histories(book: Path, files: Iterable[str]) -> dict[str, str]:
    """Of each file that lies in a history within the book's the folder that has it, both relative to the book."""
    known: dict[str, str] = {}
    found: dict[str, str] = {}
    for file in files:
        folder = str(PurePosixPath(file).parent)
        if folder not in known:
            above = [folder, *map(str, PurePosixPath(folder).parents)][:-1]
            known[folder] = next((each for each in reversed(above) if (book / each / ".git").exists()), "")
        if known[folder]:
            found[file] = known[folder]
    return found


def not_laid_out(ask: AskGit, scope: str, gone: Iterable[str]) -> frozenset[str]:
    """Which saved files that are not here git was told to leave out; it is asked only where some are gone.

    Args:
        ask: Runs git at the top of the repository.
        scope: The folder they lie in, seen from there.
        gone: The files, likewise.
    """
    missing = frozenset(gone)
    if not missing:
        return missing
    _status, out, _complaint = ask("ls-files", "-t", "-z", "--", scope)
    listed = out.decode("utf-8", "surrogateescape").split("\0")
    return missing & {each[2:] for each in listed if each.startswith("S ")}


def find_left_out(
    ask: AskGit, book: Path, prefix: str, files: Collection[str], *, saved: Collection[str], elsewhere: Collection[str]
) -> Iterator[Notice]:
    """What no save takes in, one notice for each cause; git is asked only where a file is here and not saved.

    Args:
        ask: Runs git at the top of the repository.
        book: The book's folder.
        prefix: The book's place in the repository, with a slash.
        files: The files here that look like documents.
        saved: The files the newest save holds.
        elsewhere: Those of them that are not laid out here.
    """
    nested = nested_histories(book, files)
    for folder in dict.fromkeys(nested.values()):
        yield _notice(
            [file for file in files if nested.get(file) == folder],
            f"`{folder}` has a history of its own, so no save of this book takes in",
            f"Move the folder `.git` out of `{folder}`, then type `mothermold save`.",
        )
    new = [file for file in files if file not in saved and file not in nested]
    yield from _ignored(ask, prefix, new) if new else ()
    if elsewhere:
        yield _notice(
            sorted(elsewhere),
            "Git was told to lay out only a part of the book here, so nothing can be said of",
            "Type `git sparse-checkout disable` in the book's folder; it brings back the rest as it was last saved.",
        )


def _ignored(ask: AskGit, prefix: str, new: list[str]) -> Iterator[Notice]:
    given = "".join(f"{prefix}{file}\0" for file in new)
    # This one question git refuses to answer for names taken literally. What the user ignores everywhere is no matter here.
    words = ("-c", f"core.excludesFile={os.devnull}", "check-ignore", "--stdin", "-z", "--verbose")
    _status, out, _complaint = ask(*words, given=given, settings={"GIT_LITERAL_PATHSPECS": "0"})
    fields = iter(out.decode("utf-8", "surrogateescape").split("\0")[:-1])
    lines: dict[tuple[str, str, str], list[str]] = defaultdict(list)
    for source, line, pattern, file in zip(fields, fields, fields, fields, strict=True):
        if not pattern.startswith("!"):
            lines[source, line, pattern].append(file[len(prefix) :])
    if prefix and any(SETTINGS_FILE in files for files in lines.values()):
        return  # the larger history around the book leaves it out on purpose: it gets its own with the first save
    for (source, line, pattern), files in lines.items():
        own = source.endswith(_OWN_LIST)
        where = f".git/{_OWN_LIST}" if own else _from_book(source, prefix)
        yield _notice(
            files,
            f"Line {line} of `{where}`, `{pattern}`, makes every save leave out",
            "Delete that line or write it so that it means less, then type `mothermold save`.",
        )


def _from_book(source: str, prefix: str) -> str:
    return source[len(prefix) :] if source.startswith(prefix) else os.path.relpath(source, prefix or ".")


def _notice(files: list[str], cause: str, advice: str) -> Notice:
    what = "one document" if len(files) == 1 else f"{len(files)} documents"
    return Notice("left-out", "warning", f"{cause} {what}: {in_short(files)}.", advice, file=files[0])
