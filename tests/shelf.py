"""A shelf of folders that all workers of one run share: each is made once, by whoever needs it first, and never written to.

Knows nothing of what stands on it. At the end of the run it looks whether anybody wrote there all the same.
"""

from __future__ import annotations

import hashlib
import shutil
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

PATIENCE_S = 300


@dataclass
class Shelf:
    """The folders, and what this worker took down.

    Attributes:
        folder: Where they lie; the same for every worker.
        taken: What the files of each looked like when it was made.
    """

    folder: Path
    taken: dict[Path, str] = field(default_factory=dict)

    def made(self, name: str, make: Callable[[Path], object]) -> Path:
        """The folder of this name; made by this worker if no other has begun it, else waited for."""
        place, told = self.folder / name / "made", self.folder / name / "told.txt"
        try:
            place.parent.mkdir(parents=True)
        except FileExistsError:
            until = time.monotonic() + PATIENCE_S
            while not told.exists():
                assert time.monotonic() < until, f"another worker began `{name}` and did not finish it"
                time.sleep(0.05)
        else:
            make(place)
            told.with_suffix(".new").write_text(looks(place), encoding="utf-8")
            told.with_suffix(".new").rename(told)
        self.taken[place] = told.read_text(encoding="utf-8")
        return place

    def copied(self, made: Path, into: Path) -> Path:
        """A folder of the shelf for this worker alone: where commands keep for their speed what another would copy meanwhile."""
        self.taken[into] = self.taken[made]
        return Path(shutil.copytree(made, into))

    def changed(self) -> list[Path]:
        """What is no longer as it was made."""
        return [folder for folder, before in self.taken.items() if looks(folder) != before]


def looks(folder: Path) -> str:
    """A digest of all files in a folder; what git and the commands only keep for their own speed is left out."""
    digest = hashlib.sha256()
    for path in sorted(folder.rglob("*")):
        if path.is_file() and path.relative_to(folder).parts[:2] not in ((".git", "index"), (".git", "mothermold")):
            digest.update(f"{path.relative_to(folder).as_posix()}\0".encode())
            digest.update(hashlib.sha256(path.read_bytes()).digest())
    return digest.hexdigest()
