"""The list of an edition's files in its folder: what is ours, for whom it was made, and what may follow it."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any, Final

from mothermold.ground.errors import RefusedError, refused
from mothermold.ground.writing import place_bytes
from mothermold.view.editions import EDITIONS, Edition

LIST: Final = ".mothermold-pages.json"
_PASSING: Final = re.compile(r"\.(.+)\.(?:[0-9]+-)?[a-z0-9_]{8}\.new")


def files_of(folder: Path) -> Iterator[str]:
    """The files the builder made, relative to its folder; ours alone, so without its list of pages and without ours."""
    for path in folder.rglob("*"):
        # The builder packs its list of pages with the time in it; ours has no use for it.
        if path.is_file() and not path.name.startswith("sitemap.xml") and path.name != LIST:
            yield path.relative_to(folder).as_posix()


def listed_before(target: Path, edition: Edition) -> set[str]:
    """The files an earlier build put into a folder, which this edition may follow.

    Raises:
        RefusedError: ``not-ours`` or ``wider-edition``.
    """
    if not target.exists() or (target.is_dir() and all(is_rest(path, {LIST}) for path in target.iterdir())):
        return set()
    try:
        told: dict[str, Any] = json.loads((target / LIST).read_text(encoding="utf-8"))
        place, files = EDITIONS.index(told["edition"]), {str(file) for file in told["files"]}
    except (OSError, ValueError, KeyError, TypeError):
        raise not_ours(f"{target} holds files that no edition was built into.") from None
    if place < EDITIONS.index(edition):
        raise refused(
            "wider-edition",
            f"{target} was last built for the {told['edition']} edition, which shows more.",
            "Choose another folder with `--out`, or delete this one; nothing was written.",
        )
    return files


def not_ours(message: str) -> RefusedError:
    """The refusal to touch what no edition put there."""
    return refused("not-ours", message, "Choose an empty folder with `--out`, or delete this one; nothing was written.")


def write_list(target: Path, files: Sequence[str], edition: Edition) -> None:
    """Writes down which files of a folder are ours, and for whom they were made."""
    text = json.dumps({"edition": edition, "files": files}, indent=1) + "\n"
    if not (target / LIST).is_file() or (target / LIST).read_bytes() != text.encode():
        place_bytes(target / LIST, text.encode())


def is_rest(path: Path, names: set[str]) -> bool:
    """Whether a file is the beginning of one of these, left by a build that was killed."""
    match = _PASSING.fullmatch(path.name)
    return match is not None and match[1] in names
