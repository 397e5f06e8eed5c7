"""Files below ``recipes`` that are no document: which they are, and which document each may be a copy of."""

from __future__ import annotations

import os
import re
from collections.abc import Collection, Iterable, Iterator
from pathlib import Path
from typing import Final

from mothermold.book.document import Document
from mothermold.book.files import PICTURES, RECIPES
from mothermold.ground.notices import Notice
from mothermold.model.pictures import pictures_of

_SHOWN: Final = 5
# What a computer leaves lying about by itself, and what tells a folder's visitor where he is.
_NOT_MEANT: Final = re.compile(r"(?i)\.|#.*#$|thumbs\.db$|desktop\.ini$|readme(\.|$)")
# What programs put before or behind a name when they copy a file, or find it changed in two places.
_COPIED: Final = re.compile(
    r"(?i)^(?:copy of )?(?P<name>.+?)(?: - copy| copy)?"
    r"(?: ?\(\d+\)| \d+| ?\([^()]*\bconflict[^()]*\)|[-_. ](?:sync-)?conflict(?:ed)?(?:[-_. ].*)?)?$"
)
_ENDING: Final = re.compile(r"(?i)\.ya?ml.*$|\.txt$")


def document_meant(file: str) -> str:
    """The document a file was renamed or copied from, by its name: of `nose.yaml.txt` and `nose (1).yaml` the same."""
    folder, _, name = file.rpartition("/")
    stem = _ENDING.sub("", name)
    copied = _COPIED.match(stem)
    return f"{folder}/{copied['name'] if copied else stem}.yaml"


def is_copy(file: str, files: Collection[str]) -> bool:
    """Whether a file is a copy some program made of a document that lies beside it."""
    return document_meant(file) != file and document_meant(file) in files


def stray_files(root: Path) -> list[str]:
    """All files below ``recipes`` that do not look like documents, sorted; drawings and photos at their place left out."""
    found = []
    for folder, folders, names in os.walk(root / RECIPES, followlinks=False):
        folders[:] = [name for name in folders if not name.startswith(".") and name != "photos"]
        strange = [name for name in names if not name.endswith((".yaml", ".yml")) and not _NOT_MEANT.match(name)]
        found += [Path(folder, name).relative_to(root).as_posix() for name in strange]
    return sorted(each for each in found if not _is_drawing(each))


def _is_drawing(file: str) -> bool:
    return file.startswith(f"{PICTURES}/") and file.endswith(".svg")


def pictures_named(document: Document) -> list[str]:
    """The drawings and photos a document shows, by their names."""
    return [str(each.file) for each in pictures_of(document.model).values()] if document.model is not None else []


def find_strays(strays: Iterable[str]) -> Iterator[Notice]:
    """One notice that lists what lies below ``recipes`` and is read by nothing."""
    if not (listed := list(strays)):
        return
    one = len(listed) == 1
    yield Notice(
        "no-document",
        "advice",
        f"{'This file is' if one else f'These {len(listed)} files are'} not a document of the book, so nothing reads "
        f"{'it' if one else 'them'}: {in_short(listed)}.",
        f"Move {'it' if one else 'them'} out of `{RECIPES}`; what should be read needs a name such as `cheek-piece.yaml`.",
        file=listed[0],
    )


def in_short(files: Iterable[str]) -> str:
    """The first few files by name, and how many more there are."""
    listed = list(files)
    named = [f"`{each}`" for each in listed[:_SHOWN]]
    more = len(listed) - len(named)
    if more:
        return f"{', '.join(named)} and {more} more"
    return f"{', '.join(named[:-1])} and {named[-1]}" if len(named) > 1 else "".join(named)
