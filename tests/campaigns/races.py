"""An editor that saves at some moment while one of our commands writes the same file: no text of the editor's may be lost.

In ``tests``: ``python -m campaigns.races --races 400``. The editor is a process of its own, which saves once, in place or by a rename,
at a moment the seed gives. A race is lost where ours stands in the end, nobody was told, and the editor had saved what ours was not made from.
"""

from __future__ import annotations

import argparse
import os
import random
import shutil
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import Final

from mothermold.ground.errors import RefusedError
from mothermold.ground.writing import write_text

WAYS: Final = ("by a rename", "in place")
_TOLD, _LATER = "theirs stands, and we were told", "theirs stands, saved after ours"
_NEAR: Final = 300_000
"""Nanoseconds around the moment that matters."""
_OLD, _OURS, _THEIRS = ("title: older\n" * 40, "title: ours\n" * 40, "title: theirs\n" * 40)


def _edits(path: Path, way: str, moment: int, told: int) -> None:
    """What the editor does: waits for its moment, saves, and notes when it began and was done."""
    while time.monotonic_ns() < moment:
        pass
    begun = time.monotonic_ns()
    if way == "in place":
        descriptor = os.open(path, os.O_WRONLY | os.O_TRUNC)
        os.write(descriptor, _THEIRS.encode())
        os.close(descriptor)
    else:
        beside = path.with_suffix(".tmp")
        beside.write_text(_THEIRS)
        begun = time.monotonic_ns()
        beside.replace(path)
    os.write(told, f"{begun} {time.monotonic_ns()}".encode())
    os._exit(0)


def race(folder: Path, way: str, after: int) -> str:
    """One race: who stands in the end, and whether anybody was told.

    Args:
        folder: An empty folder.
        way: How the editor saves.
        after: When it does, in nanoseconds from our beginning.
    """
    path = folder / "c.yaml"
    path.write_text(_OLD)
    reads, writes = os.pipe()
    begins = time.monotonic_ns() + 3_000_000
    if (child := os.fork()) == 0:
        with suppress(BaseException):
            _edits(path, way, begins + after, writes)
        os._exit(1)
    os.close(writes)
    while time.monotonic_ns() < begins:
        pass
    refused = False
    try:
        write_text(path, _OURS, replaces=_OLD)
    except RefusedError:
        refused = True
    ended = time.monotonic_ns()
    os.waitpid(child, 0)
    said = os.read(reads, 100).split()
    os.close(reads)
    stands = path.read_text()
    left = [each.name for each in folder.iterdir() if each != path]
    path.unlink()
    if left:
        return f"left {left}"
    if stands == _THEIRS:
        return _TOLD if refused else _LATER
    if stands == _OURS and not refused:
        # In place the editor may have opened what ours took the place of: it saved into a file that has no name any more.
        return "lost" if said and int(said[0]) < ended else "theirs came to nothing"
    return f"{'refused, and ' if refused else ''}neither stands: {stands[:20]!r}"


def campaign(races: int, seed: int, say: Callable[[str], object], *, folder: Path | None = None) -> int:
    """Runs races; prints totals; returns how many were lost."""
    scratch = Path(tempfile.mkdtemp(dir=folder))
    lost = 0
    for way in WAYS:
        chance, ended = random.Random(f"{seed} {way}"), Counter[str]()
        # How long a write takes here, so that the moments lie in it.
        begun = time.monotonic_ns()
        for _ in range(20):
            (scratch / "c.yaml").write_text(_OLD)
            write_text(scratch / "c.yaml", _OURS, replaces=_OLD)
        length = (time.monotonic_ns() - begun) // 20
        (scratch / "c.yaml").unlink()
        edge = length
        for number in range(races):
            # Every other race near the moment at which ours takes its place, as far as it is known by now.
            anywhere = chance.randrange(-length // 4, length + length // 4)
            after = anywhere if number % 2 else edge + chance.randrange(-_NEAR, _NEAR)
            how = race(scratch, way, after)
            if not number % 2:
                edge += _NEAR // 4 if how == _TOLD else -_NEAR // 4
            ended[how] += 1
        lost += sum(count for how, count in ended.items() if how not in (_TOLD, _LATER))
        say(
            f"{way}: {', '.join(f'{count} {how}' for how, count in sorted(ended.items()))} (a write takes {length / 1000:.0f} microseconds)"
        )
    shutil.rmtree(scratch)
    say(f"{lost} lost of {races * len(WAYS)} (seed {seed})")
    return lost


def main() -> int:
    """Reads the command line."""
    words = argparse.ArgumentParser(description=__doc__)
    words.add_argument("--races", type=int, default=400)
    words.add_argument("--seed", type=int, default=1)
    asked = words.parse_args()
    return int(bool(campaign(asked.races, asked.seed, lambda text: sys.stdout.write(f"{text}\n"))))


if __name__ == "__main__":
    sys.exit(main())
