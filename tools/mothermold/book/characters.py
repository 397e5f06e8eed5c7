"""What can be wrong with a file before it is read as a document: its bytes and its characters.

Findings carry no file name; whoever asked knows it.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Final

from mothermold.ground.notices import Notice

LARGEST_FILE: Final = 1_000_000

_CONFLICT: Final = re.compile(r"(<{7}|={7}|>{7}|\|{7})( .*)?")
_INVISIBLE: Final = re.compile("[\u00a0\u1680\u180e\u2000-\u200f\u2028-\u202f\u205f-\u2064\u3000\ufeff\u00ad]")
_SMART_QUOTED: Final = re.compile(r"(?:^|[:\-,{\[]\s+)([“”„‘’‚«‹])")
# Among them the characters that some count as line ends: every place behind one would be a line off.
_CONTROL: Final = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u2028\u2029\ufffe\uffff\ud800-\udfff]")
# Without one of these there is nothing to look for, and nearly every file has none; one set of characters is looked for at once.
_SUSPECT: Final = re.compile(f"[\t“”„‘’‚«‹{_INVISIBLE.pattern[1:-1]}{_CONTROL.pattern[1:-1]}]")
_UNDECIDED: Final = ("<<<<<<<", "=======", ">>>>>>>", "|||||||")
_COMMENT: Final = re.compile(r"(?:^|\s)#.*$")


def decode(data: bytes) -> str | Notice:
    """The text of a file's bytes, its line ends unified and a byte order mark dropped, or what is wrong."""
    if len(data) > LARGEST_FILE:
        return Notice(
            "too-large",
            "error",
            f"The file holds {len(data):,} bytes; a document may hold {LARGEST_FILE:,}.",
            "Keep it under 1 MB; pictures and long tables have files of their own.",
        )
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return _not_utf8("The file is saved in UTF-16.", 1, 1)
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as problem:
        before = data[: problem.start].decode("utf-8", "replace")
        line = before.count("\n") + 1
        return _not_utf8("A letter here is not saved in UTF-8.", line, len(before) - before.rfind("\n"))
    return text.replace("\r\n", "\n").replace("\r", "\n")


def _not_utf8(message: str, line: int, column: int) -> Notice:
    advice = "Save the file again with the encoding UTF-8."
    return Notice("not-utf8", "error", message, advice, line=line, column=column)


def find_character_faults(text: str) -> Iterator[Notice]:
    """Everything that would be read wrongly, line by line; the first fault of each kind in a line."""
    undecided = text.startswith(_UNDECIDED) or any(f"\n{mark}" in text for mark in _UNDECIDED)
    if not undecided and not _SUSPECT.search(text):
        return
    block_indent: int | None = None
    for number, line in enumerate(text.split("\n"), start=1):
        bare = line.lstrip(" ")
        indent = len(line) - len(bare)
        if block_indent is not None:
            if not bare or indent > block_indent:
                yield from _in_prose(line, number)
                continue
            block_indent = None
        if re.search(r"(?:^|[:\-]\s+)[|>][+-]?\d?[+-]?\s*(?:#.*)?$", bare) and not bare.startswith("#"):
            block_indent = indent
        yield from _in_layout(line, number)


def _in_prose(line: str, number: int) -> Iterator[Notice]:
    if _CONFLICT.fullmatch(line):
        yield _conflict(number)
    elif match := _CONTROL.search(line):
        yield _invisible(match, number)


def _in_layout(line: str, number: int) -> Iterator[Notice]:
    code = _COMMENT.sub("", line)
    if _CONFLICT.fullmatch(line):
        yield _conflict(number)
        return
    lead = re.match(r"[ \t\-]*", line)
    assert lead is not None
    if "\t" in lead[0] and code.strip():
        yield _tab(number, lead[0].index("\t") + 1)
    elif match := re.search(r":[ ]*\t", code):
        yield _tab(number, match.end())
    if (match := _INVISIBLE.search(code)) or (match := _CONTROL.search(line)):
        yield _invisible(match, number)
    if (match := _SMART_QUOTED.search(code)) and not re.search(r"""^[^:]*:\s+["']""", code):
        yield Notice(
            "smart-quote",
            "error",
            f"The quote {match[1]} is a printer's quote, which closes nothing here.",
            f'Type "{_quoted(code[match.end(1) :])}" in straight quotes, or without any.',
            line=number,
            column=match.start(1) + 1,
        )


def _quoted(rest: str) -> str:
    return re.split("[“”„‘’‚«»‹›]", rest)[0].strip()


def _conflict(number: int) -> Notice:
    return Notice(
        "conflict-marker",
        "error",
        "Two versions of this file were joined and the place was left undecided.",
        "Keep the lines you want and delete the rest, with the lines of `<<<<<<<`, `=======` and `>>>>>>>`.",
        line=number,
        column=1,
    )


def _tab(number: int, column: int) -> Notice:
    return Notice(
        "tab",
        "error",
        "There is a tab where spaces belong.",
        "Delete it and type spaces, two for each level.",
        line=number,
        column=column,
    )


def _invisible(match: re.Match[str], number: int) -> Notice:
    character = ord(match[0])
    names = {0xA0: "a non-breaking space", 0x200B: "a zero-width space", 0xFEFF: "a byte order mark"}
    what = names.get(character, f"a character that cannot be seen (U+{character:04X})")
    return Notice(
        "invisible-character",
        "error",
        f"There is {what} here, usually pasted from a web page.",
        "Delete it and type an ordinary space where one is meant.",
        line=number,
        column=match.start() + 1,
    )
