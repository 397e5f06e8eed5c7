"""No real brand, person or film stands in a tracked text or a commit message: words and pairs of words against a salted list.

The list (``tests/data/names.sha256``) holds digests alone, so that it names nobody itself; its first lines say how it is used.
"""

from __future__ import annotations

import re
import subprocess
from collections.abc import Iterator
from hashlib import sha256
from itertools import pairwise
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
LIST = ROOT / "tests" / "data" / "names.sha256"
SALT = "mothermold-independence-1"
WORD = re.compile(r"[a-z0-9][a-z0-9'-]*")


def digests() -> frozenset[str]:
    return frozenset(line for line in LIST.read_text(encoding="utf-8").splitlines() if not line.startswith("#"))


def digest(name: str) -> str:
    return sha256(f"{SALT}{name}".encode()).hexdigest()


def names_in(text: str) -> Iterator[str]:
    """Every word, and every two that stand one blank apart."""
    small = text.lower()
    words = [(found.start(), found.end(), found.group()) for found in WORD.finditer(small)]
    yield from (word for _start, _end, word in words)
    yield from (f"{a} {b}" for (_, end, a), (start, _, b) in pairwise(words) if start == end + 1 and small[end] == " ")


def git(*words: str) -> bytes:
    return subprocess.run(["git", *words], cwd=ROOT, check=True, capture_output=True).stdout


def texts() -> Iterator[tuple[str, str]]:
    for name in git("ls-files", "-z").decode().split("\0"):
        path = ROOT / name
        if name and path.is_file() and b"\0" not in (data := path.read_bytes())[:8000]:
            yield name, data.decode("utf-8", "replace")
    for message in git("log", "--format=%H %B%x00").decode("utf-8", "replace").split("\0"):
        yield f"commit {message.strip()[:12]}", message.partition(" ")[2]


def test_no_real_name_stands_in_a_tracked_text_or_a_commit_message() -> None:
    forbidden, places = digests(), {}
    for place, text in texts():
        for name in set(names_in(text)):
            places.setdefault(name, place)
    assert len(places) > 10_000
    found = {place for name, place in places.items() if digest(name) in forbidden}
    assert found == set()


def test_the_check_can_fail() -> None:
    assert list(names_in("Two-part mold, cast")) == ["two-part", "mold", "cast", "two-part mold"]
    assert all(re.fullmatch("[0-9a-f]{64}", each) for each in digests())
    assert len(digests()) > 100
