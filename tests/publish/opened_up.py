"""Everything a file says, however it is packed: texts in base64, gzip, zip, streams of a PDF, escapes of a page or a script."""

from __future__ import annotations

import gzip
import html
import io
import re
import zipfile
import zlib
from base64 import b64decode
from collections.abc import Iterator
from typing import Final
from urllib.parse import unquote_to_bytes

import pypdf

_BASE64: Final = re.compile(rb"[A-Za-z0-9+/]{24,}={0,2}|[A-Za-z0-9_-]{24,}={0,2}")
_STREAM: Final = re.compile(rb"stream\r?\n(.*?)\r?\nendstream", re.DOTALL)
_HEX: Final = re.compile(rb"<([0-9A-Fa-f\s]{16,})>")
_UNICODE: Final = re.compile(rb"\\u([0-9a-fA-F]{4})")
_DEEPEST: Final = 5


def opened_up(data: bytes, depth: int = 0) -> Iterator[bytes]:
    """The bytes themselves, then whatever is packed in them, and in that again."""
    yield data
    if (plain := _plain(data)) != data:
        yield plain
    if depth > _DEEPEST:
        return
    for inner in _packed(data):
        if inner and inner != data:
            yield from opened_up(inner, depth + 1)


def _packed(data: bytes) -> Iterator[bytes]:
    if data[:2] == b"PK":
        yield from _members(data)
        return
    if data[:2] == b"\x1f\x8b":
        yield gzip.decompress(data)
        return
    if data[:5] == b"%PDF-":
        yield from _of_pdf(data)
        return
    if data[:1] == b"x" and (told := _inflated(data)) is not None:
        yield told
    if data[:3] == b"\xff\xd8\xff":
        return  # what a picture says is in its segments, which lie open
    for match in _BASE64.finditer(data):
        text = match[0].translate(bytes.maketrans(b"-_", b"+/")).rstrip(b"=")
        # Of base64 without its end nothing but whole fours can be read.
        yield b64decode(text[: len(text) - len(text) % 4] if len(text) % 4 == 1 else text + b"=" * (-len(text) % 4))


def _plain(data: bytes) -> bytes:
    """A text without the escapes of a page, a script or an address."""
    if b"\\u" in data:
        data = _UNICODE.sub(lambda match: chr(int(match[1], 16)).encode("utf-8", "surrogatepass"), data)
    if b"&" in data:
        data = html.unescape(data.decode("utf-8", "replace")).encode()
    return unquote_to_bytes(data) if b"%" in data else data


def _members(data: bytes) -> Iterator[bytes]:
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        yield archive.comment
        for each in archive.infolist():
            yield each.filename.encode() + b"\n" + each.comment + each.extra
            yield archive.read(each)


def _of_pdf(data: bytes) -> Iterator[bytes]:
    for match in _STREAM.finditer(data):
        yield _inflated(match[1]) or match[1]
    read = pypdf.PdfReader(io.BytesIO(data))
    # Letters of a sheet are numbers of a font's shapes: they are read back, and without white space, for lines break anywhere.
    yield re.sub(r"\s+", "", "".join(page.extract_text() for page in read.pages)).encode()
    yield repr(read.metadata).encode()
    for number in range(1, len(read.xref[0]) + 1):
        found = read.get_object(number)
        yield repr(found).encode("utf-8", "surrogatepass")
    for match in _HEX.finditer(data):
        text = re.sub(rb"\s", b"", match[1])
        yield bytes.fromhex(text[: len(text) // 2 * 2].decode()).decode("utf-16-be", "ignore").encode("utf-8", "ignore")


def _inflated(data: bytes) -> bytes | None:
    try:
        return zlib.decompressobj().decompress(data)
    except zlib.error:
        return None
