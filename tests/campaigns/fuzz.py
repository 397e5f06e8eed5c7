"""Whatever bytes somebody sends: documents, numbers, prose, runs from a phone, photos, meshes, drawings are read or refused in words.

In ``tests``: ``python -m campaigns.fuzz --minutes 5``, ``--target photos`` for one of them, ``--seed 2`` for others. What was wrong is
written to ``campaigns/crashers``, where it stays as a test when it is mended.
"""

from __future__ import annotations

import argparse
import hashlib
import random
import re
import shutil
import signal
import sys
import tempfile
import time
import xml.etree.ElementTree as ET
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cache
from itertools import chain
from pathlib import Path
from types import FrameType
from typing import Any, Final, get_args

import trimesh

from book.photos import telling_files
from mothermold.book.beside_pixels import told_beside
from mothermold.book.document import read_document
from mothermold.book.files import PICTURES
from mothermold.book.pictures import Drawing, read_drawing
from mothermold.book.pixels import rebuilt
from mothermold.desk.bringing import look_at
from mothermold.desk.brought import OtherWay
from mothermold.ground.rendering import as_text
from mothermold.model.kinds import KINDS
from mothermold.pages.prose import _html, typed
from mothermold.quantities.quantity import QuantityError, parse
from mothermold.quantities.units import Dimension
from mothermold.reckon.errors import ReckoningError
from mothermold.reckon.meshes import read_solid
from mothermold.view.view import open_view

CRASHERS: Final = Path(__file__).parent / "crashers"
_DATA: Final = Path(__file__).parents[1] / "data"
_LONGEST: Final = 200_000
_PATIENCE: Final = 10
"""Seconds one input may take."""
_PIECES: Final = (
    b"\0", b"\xff", b"\xef\xbb\xbf", b"\r\n", b"\n\n", b"\t", b": ", b"- ", b"{", b"}", b"[", b"]", b"&a ", b"*a", b"!!python/name:os.system ",
    b"<<: ", b"|\n", b">\n", b"'", b'"', b"#", b"%", b"---\n", b"...\n", b"\xe2\x80\x8b", b"\xe2\x88\x92", b"\xf0\x9f\xa7\xaa", b"\xd9\xa3",
    b"9" * 40, b"-1", b"1e999", b"1/0", b"0.", b"nan", b"inf", b"g", b"ml", b"degC", b"h", b"min", b"100 %", b"1-2", b"2026-02-30", b"version: ",
    b"steps:\n", b"<script>", b"</", b"](javascript:a)", b"![a](b)", b"`", b"**", b"url(", b"\\75 ", b"<svg ", b"viewBox='0 0 1 1'", b"\xff\xd8", b"\xff\xe1",
    b"element face 99999999\n", b"facet normal nan nan nan\n", b"f 1 2 3\n", b"f -1 -2 0\n", b"solid ", b"\x00\x00\x00\xff",
)  # fmt: skip
_DIMENSIONS: Final = list(get_args(Dimension))
_HOSTILE: Final = re.compile(
    r"(?i)<script|=\s*['\"]?\s*javascript:|\son\w+\s*=|<iframe|<object|style\s*=|<form|<base|srcdoc"
)


class BadOutcomeError(AssertionError):
    """What came of an input may not be."""


@dataclass(frozen=True, slots=True)
class Target:
    """What is fed.

    Attributes:
        seeds: Whole inputs to begin with.
        feed: Takes an input; raises where that is wrong.
    """

    seeds: Callable[[], Sequence[bytes]]
    feed: Callable[[bytes], None]


def _document(data: bytes) -> None:
    kind = list(KINDS)[len(data) % len(KINDS)]
    found = read_document(kind, "cast/x" if kind == "recipe" else "x", "recipes/x.yaml", data)
    for notice in found.notices:
        as_text(notice)
    if len(found.notices) > 101:
        raise BadOutcomeError("a wall of notices")


def _number(data: bytes) -> None:
    text = data.decode("utf-8", "replace")
    for wanted in (_DIMENSIONS, [_DIMENSIONS[len(data) % len(_DIMENSIONS)]]):
        try:
            str(parse(text, wanted, signed=len(data) % 2 == 0))
        except QuantityError:
            continue


def _prose(data: bytes) -> None:
    text = data.decode("utf-8", "replace")
    html = _html(text, None)
    for tag in re.findall(r"<[^>]*>", html):
        if _HOSTILE.search(tag):
            raise BadOutcomeError(f"a page would hold {tag}")
    if re.search(r"(?i)<(?!/?(?:code)\b)", str(typed(text))):
        raise BadOutcomeError("a notice would hold a tag")


@cache
def _shop() -> tuple[Path, Any]:
    folder = Path(tempfile.mkdtemp()) / "book"
    shutil.copytree(_DATA / "good", folder)
    return folder, open_view(folder, "private")


def _run(data: bytes) -> None:
    root, view = _shop()
    path = root / "inbox" / "r.yaml"
    path.parent.mkdir(exist_ok=True)
    path.write_bytes(data)
    found = look_at(root, view, path, None, OtherWay())
    for notice in found.notices:
        as_text(notice)
    if found.file and (found.file.startswith("/") or ".." in found.file or not found.file.startswith("recipes/")):
        raise BadOutcomeError(f"it would go to {found.file}")


def _photo(data: bytes) -> None:
    made = rebuilt(data, 200)
    if not isinstance(made, str) and told_beside(made.data):
        raise BadOutcomeError("something is told beside the picture")


def _mesh(data: bytes) -> None:
    name = "x" + (".stl", ".obj", ".ply")[len(data) % 3]
    for pattern, ending in ((b"ply", ".ply"), (b"v ", ".obj"), (b"solid", ".stl")):
        name = "x" + ending if data.startswith(pattern) else name
    try:
        solid = read_solid(name, data[:20_000], "mm")
    except ReckoningError:
        return
    if not solid.mesh.is_watertight:
        raise BadOutcomeError("an open mesh has a volume")


def _drawing(data: bytes) -> None:
    root, _view = _shop()
    (root / PICTURES).mkdir(exist_ok=True)
    (root / PICTURES / "x.svg").write_bytes(data)
    found = read_drawing(root, "x.svg")
    if isinstance(found, Drawing):
        ET.fromstring(found.data)
        for tag in re.findall(r"<[^>]*>", found.data.decode()):
            if _HOSTILE.search(tag) or re.search(r"(?i)url\(\s*['\"]?[^#'\"\s]|href|\\", tag):
                raise BadOutcomeError(f"a drawing would hold {tag}")


def _documents() -> list[bytes]:
    return [
        path.read_bytes() for folder in ("good", "bad", "rules") for path in sorted((_DATA / folder).rglob("*.yaml"))
    ]


def _runs() -> list[bytes]:
    return [data for data in _documents() if b"started:" in data] + [
        b"title: A\nseen_at: cast\nsymptoms: [b]\n",
        b"material: gel-silicone-a\nlot: A1\n",
    ]


def _numbers() -> list[bytes]:
    said = re.findall(rb"(?m): ([0-9][^\n#}\]]{0,30})", b"\n".join(_documents()))
    return sorted(set(said)) or [b"1 g"]


def _proses() -> list[bytes]:
    more = [b"# A\n\n- [b](run:r-1) **c** `d`\n", b"<a href='x'>y</a>\n\n> q\n", b"| a | b |\n|---|---|\n| 1 | 2 |\n"]
    return more + re.findall(rb"(?m)^(?:why|now|title|cause): (.{10,})$", b"\n".join(_documents()))


def _meshes() -> list[bytes]:
    made = [trimesh.creation.box((40, 40, 40)), trimesh.creation.icosphere(1, 30)]
    exported = [mesh.export(file_type=kind) for mesh in made for kind in ("stl", "stl_ascii", "obj", "ply")]
    return [each.encode() if isinstance(each, str) else bytes(each) for each in exported]


def _drawings() -> list[bytes]:
    head = b'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 40 20">'
    bodies = (
        b'<g stroke="#123"><path d="M0 0 9 9"/></g>',
        b'<defs><linearGradient id="a"/></defs><rect fill="url(#a)" transform="rotate(3)"/>',
    )
    return [head + body + b"</svg>" for body in bodies]


TARGETS: Final[Mapping[str, Target]] = {
    "reader": Target(_documents, _document),
    "numbers": Target(_numbers, _number),
    "prose": Target(_proses, _prose),
    "runs": Target(_runs, _run),
    "photos": Target(lambda: list(telling_files().values()), _photo),
    "meshes": Target(_meshes, _mesh),
    "drawings": Target(_drawings, _drawing),
}


def damaged(data: bytes, seeds: Sequence[bytes], chance: random.Random) -> bytes:
    """An input that is nearly one that is known."""
    for _ in range(chance.choice((1, 1, 2, 4, 8))):
        at, way = chance.randrange(len(data) + 1), chance.random()
        if way < 0.3:
            data = data[:at] + chance.choice(_PIECES) + data[at:]
        elif way < 0.45:
            data = data[:at] + bytes([chance.randrange(256)]) + data[at + 1 :]
        elif way < 0.6:
            data = data[:at] + data[at + chance.choice((1, 2, 7, 40, 300)) :]
        elif way < 0.7:
            end = at + chance.choice((1, 5, 60))
            data = data[:end] + data[at:end] * chance.choice((1, 2, 50)) + data[end:]
        elif way < 0.85:
            other = chance.choice(seeds)
            start = chance.randrange(len(other) + 1)
            data = data[:at] + other[start : start + chance.choice((3, 30, 400))] + data[at:]
        elif way < 0.95:
            lines = data.split(b"\n")
            chance.shuffle(lines) if way > 0.93 else lines.insert(
                chance.randrange(len(lines) + 1), chance.choice(lines)
            )
            data = b"\n".join(lines)
        else:
            data = data[:at]
    return data[:_LONGEST]


@contextmanager
def _bounded() -> Iterator[None]:
    def late(_number: int, _frame: FrameType | None) -> None:
        raise BadOutcomeError(f"it takes more than {_PATIENCE} seconds")

    before = signal.signal(signal.SIGALRM, late)
    signal.alarm(_PATIENCE)
    try:
        yield
    finally:
        signal.alarm(0)
        signal.signal(signal.SIGALRM, before)


def fed(target: str, data: bytes) -> str:
    """What is wrong with what comes of an input; nothing where it is read, or refused in words."""
    try:
        with _bounded():
            TARGETS[target].feed(data)
    except Exception as problem:  # whatever it is, the artist would see it
        return f"{type(problem).__name__}: {problem}"[:300]
    return ""


def campaign(names: Sequence[str], minutes: float, seed: int, say: Callable[[str], object]) -> int:
    """Feeds each target for its share of the time; prints totals; returns how many inputs were wrong."""
    wrong = 0
    for name in names:
        chance, seeds, count, told = random.Random(f"{seed} {name}"), TARGETS[name].seeds(), 0, set[str]()
        ends = time.monotonic() + minutes * 60 / len(names)
        for data in chain(seeds, iter(lambda: damaged(chance.choice(seeds), seeds, chance), None)):  # noqa: B023
            if time.monotonic() > ends:
                break
            count += 1
            if (problem := fed(name, data)) and problem[:80] not in told:
                told.add(problem[:80])
                path = CRASHERS / f"{name}-{hashlib.sha256(data).hexdigest()[:10]}"
                path.write_bytes(data)
                say(f"{name}: {path.name}: {problem}")
        wrong += len(told)
        say(f"{name}: {count} inputs from {len(seeds)}, {len(told)} kinds of wrong")
    say(f"{wrong} wrong (seed {seed})")
    return wrong


def main() -> int:
    """Reads the command line."""
    words = argparse.ArgumentParser(description=__doc__)
    words.add_argument("--minutes", type=float, default=5)
    words.add_argument("--seed", type=int, default=1)
    words.add_argument("--target", choices=tuple(TARGETS), action="append")
    asked = words.parse_args()
    return int(
        bool(
            campaign(
                asked.target or tuple(TARGETS), asked.minutes, asked.seed, lambda text: sys.stdout.write(f"{text}\n")
            )
        )
    )


if __name__ == "__main__":
    sys.exit(main())
