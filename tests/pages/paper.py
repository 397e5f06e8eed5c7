"""Reads a printed page back: the words of each sheet of a PDF as Chromium writes it, without a reader of PDFs."""

from __future__ import annotations

import re
import zlib
from typing import Final

_OBJECT: Final = re.compile(rb"(?:^|\n)(\d+) 0 obj\r?\n?(.*?)endobj", re.S)
_STREAM: Final = re.compile(rb"stream\r?\n(.*?)\r?\nendstream", re.S)


def sheets(pdf: bytes) -> list[str]:
    """The words of each sheet, in the order they were drawn, run together: on paper a space is a place."""
    objects = {int(number): body for number, body in _OBJECT.findall(pdf)}
    pages = [body for body in objects.values() if re.search(rb"/Type\s*/Page\b", body)]
    return [_words(objects, page) for page in pages]


def run_together(text: str) -> str:
    """A text without its spaces."""
    return "".join(text.split())


def _words(objects: dict[int, bytes], page: bytes) -> str:
    fonts = {
        name: _letters(objects, int(number))
        for held in re.findall(rb"/Font\s*<<(.*?)>>", page, re.S)
        for name, number in re.findall(rb"/(\w+) (\d+) 0 R", held)
    }
    found = re.search(rb"/Contents (\d+) 0 R", page)
    assert found, "a sheet with nothing on it"
    said, font = [], dict[int, str]()
    for name, shown in re.findall(rb"/(\w+) [\d.]+ Tf|<([0-9A-Fa-f]+)>", _stream(objects[int(found[1])])):
        if name:
            font = fonts.get(name, {})
        else:
            said += [font.get(int(shown[at : at + 4], 16), "?") for at in range(0, len(shown), 4)]
    return run_together("".join(said))


def _letters(objects: dict[int, bytes], number: int) -> dict[int, str]:
    """What the glyphs of a font mean, by its own table."""
    told = re.search(rb"/ToUnicode (\d+) 0 R", objects[number])
    if not told:
        return {}
    table, found = _stream(objects[int(told[1])]), dict[int, str]()
    for part in re.findall(rb"beginbfchar(.*?)endbfchar", table, re.S):
        for glyph, letters in re.findall(rb"<(\w+)>\s*<(\w+)>", part):
            found[int(glyph, 16)] = bytes.fromhex(letters.decode()).decode("utf-16-be")
    for part in re.findall(rb"beginbfrange(.*?)endbfrange", table, re.S):
        for first, last, letter in re.findall(rb"<(\w+)>\s*<(\w+)>\s*<(\w+)>", part):
            for step in range(int(last, 16) - int(first, 16) + 1):
                found[int(first, 16) + step] = chr(int(letter, 16) + step)
    return found


def _stream(body: bytes) -> bytes:
    found = _STREAM.search(body)
    assert found, "no stream"
    return zlib.decompress(found[1]) if b"/FlateDecode" in body else found[1]
