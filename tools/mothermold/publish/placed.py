"""What stands in the folder of a site as it was placed there: neither read nor written again."""

from __future__ import annotations

import os
from collections.abc import Collection, Iterable
from contextlib import suppress
from pathlib import Path

from mothermold.ground.store import Store, digest
from mothermold.publish.file_list import LIST
from mothermold.publish.offline import WORKER, KeptFile


class PlacedFiles:
    """The files of a site as they were placed, told by size and time without reading them.

    Args:
        store: Where it is kept what was placed.
        target: The folder.
        before: The files that were placed there before.
    """

    def __init__(self, store: Store, target: Path, before: Collection[str]) -> None:
        self._store, self._target, self._key = store, target, digest(target.resolve())
        kept = store.get("site", self._key) or {"of": "", "files": {}}
        now = _looks(target, (*before, LIST)) if kept["files"] else {}
        self._of: str = kept["of"]
        self._digests = {name: known for name, (*look, known) in kept["files"].items() if now.get(name) == look}
        self._is_whole = self._digests.keys() == kept["files"].keys() and {*before, LIST} <= self._digests.keys()

    def is_of(self, made_of: str) -> bool:
        """Whether all that was placed stands as it was, and was made of this."""
        return self._is_whole and self._of == made_of

    def has(self, file: KeptFile) -> bool:
        """Whether a file with these bytes stands there."""
        return self._digests.get(file.address) == file.digest

    def keep(self, files: Iterable[KeptFile], made_of: str) -> None:
        """Keeps what was placed, and of what it was made."""
        digests = {file.address: file.digest for file in files}
        looks = _looks(self._target, (*digests, WORKER, LIST))
        told = {name: [*look, digests.get(name, "")] for name, look in looks.items()}
        self._store.put("site", self._key, {"of": made_of, "files": told}, most=6)


def _looks(target: Path, files: Iterable[str]) -> dict[str, list[int]]:
    """What the files of a site are, without reading them: their sizes and times; those that are gone are left out."""
    looks = {}
    for file in files:
        with suppress(OSError):
            state = os.stat(target / file)  # noqa: PTH116 - asked of every page of a site
            looks[file] = [state.st_size, state.st_mtime_ns]
    return looks
