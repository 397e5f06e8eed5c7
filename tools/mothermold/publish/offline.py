"""What a device keeps of a served site, so that it can be read without signal: the worker that keeps it, and its list.

A browser keeps a site under a name made of the site's path, its edition and its build. The build is the digest of
every file, so the same site has the same name. The worker keeps a file only where its bytes have the digest in the
list: never one of another build, nor what a server put into it. When the same address later serves a narrower edition,
its worker waits for nobody and throws away whatever a wider one left there before it keeps anything.

Knows no site builder and reads no folder.
"""

from __future__ import annotations

import hashlib
import json
import posixpath
import re
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final
from urllib.parse import unquote

from mothermold.view.editions import EDITIONS, Edition

WORKER: Final = "worker.js"
MOST_FILES: Final = 2_000
"""How many files are kept at the first visit, at most."""
MOST_BYTES: Final = 30_000_000
"""How many bytes are kept at the first visit, at most: a minute at 4 Mbit/s; no source."""
_SCRIPTS: Final = Path(__file__).with_name("workers")
# In this order until there is no more room; a page of none of these is kept when it is visited.
_PICTURES: Final = "pictures/"
_FIRST: Final = (
    "assets/", "", "bench/", "failures/", "recipes/", _PICTURES, "materials/", "molds/", "builds/", "courses/",
)  # fmt: skip
# Shown where nothing else is, or no part of what is read.
_NEVER: Final = ("404.html", WORKER)
_SHOWN: Final = re.compile(r'\ssrc="(?:\./|\.\./)*([^":]+)"')


@dataclass(frozen=True, slots=True)
class KeptFile:
    """A file of a site as far as keeping it matters.

    Attributes:
        address: Where it lies in the site.
        size: Its bytes.
        digest: A digest of them; 16 hexadecimal digits.
        shows: The addresses of what it shows, where it is a page.
    """

    address: str
    size: int
    digest: str
    shows: tuple[str, ...] = ()

    def as_data(self) -> list[Any]:
        """As JSON gives it back."""
        return [self.address, self.size, self.digest, list(self.shows)]

    @classmethod
    def of_data(cls, data: list[Any]) -> KeptFile:
        """The same read again."""
        address, size, known, shows = data
        return cls(address, size, known, tuple(shows))


def kept_file(address: str, data: bytes) -> KeptFile:
    """What the list says of a file."""
    shows: tuple[str, ...] = ()
    if address.endswith(".html"):
        found = _SHOWN.findall(data.decode(errors="replace"))
        shows = tuple(dict.fromkeys(posixpath.normpath(unquote(each)) for each in found))
    return KeptFile(address, len(data), hashlib.sha256(data).hexdigest()[:16], shows)


def build_name(files: Iterable[KeptFile]) -> str:
    """The name of a build: a digest over all its files, the same for the same site."""
    said = "".join(f"{file.address}\0{file.digest}\n" for file in sorted(files, key=lambda file: file.address))
    return hashlib.sha256(said.encode()).hexdigest()[:16]


def kept_first(files: Collection[KeptFile]) -> list[str]:
    """The addresses kept at the first visit, the most needed first, within the limits.

    Assets come first, then home, the lists and what else lies at the top, bench pages, failure notes, recipes, the
    pictures these show, and the rest of what is used at work. Versions, comparisons and runs are kept when visited.
    """
    wanted = {file.address: file for file in files if file.address not in _NEVER}
    places = {address: place for address in wanted if (place := _place(address)) is not None}
    for address in tuple(places):
        places |= {
            each: _FIRST.index(_PICTURES) for each in wanted[address].shows if each in wanted and each not in places
        }
    ordered = sorted((place, address) for address, place in places.items())
    found: list[str] = []
    room = MOST_BYTES
    for _, address in ordered:
        if len(found) < MOST_FILES and wanted[address].size <= room:
            found.append(address)
            room -= wanted[address].size
    return found


def _place(address: str) -> int | None:
    folder, slash, _ = address.partition("/")
    if address.endswith(".license.txt") or folder + slash == _PICTURES:
        return None
    place = folder + slash if slash else ""
    return _FIRST.index(place) if place in _FIRST else None


def keeping_worker(files: Collection[KeptFile], edition: Edition) -> str:
    """The worker that keeps a site on a device, with its list; the last file of a site to be written."""
    listed = [file for file in sorted(files, key=lambda file: file.address) if file.address not in _NEVER]
    first = kept_first(listed)
    digests = {file.address: file.digest for file in listed}
    told: Mapping[str, object] = {
        "build": build_name(listed),
        "edition": edition,
        "editions": EDITIONS,
        "first": {address: digests.pop(address) for address in first},
        "later": digests,
    }
    return f"const SITE = {json.dumps(told, separators=(',', ':'))};\n{_script('keep.js')}"


def forgetting_worker() -> str:
    """The worker that takes the place of any earlier one, deletes what that kept, and goes."""
    return _script("forget.js")


def _script(name: str) -> str:
    return (_SCRIPTS / name).read_text(encoding="utf-8")
