"""How a text is written so that it is read back exactly: plain, in quotes, or as a block below its key.

Nothing here knows the rules of the language by heart. Each way of writing is tried and read back, and the first
that gives the text itself is taken.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from functools import lru_cache
from typing import Final, Literal

from mothermold.book.characters import find_character_faults
from mothermold.book.tree import Raw, read_tree

ScalarPlace = Literal["key", "item", "line", "braces"]
"""Behind a key, behind the dash of a list, alone on a line, or inside braces or brackets."""

WIDTH: Final = 120
# A line a little longer is left a line: nobody folds a sentence for one word.
_LONGEST_LINE: Final = 135
_NAMES: Final = {"\n": "\\n", "\t": "\\t", "\r": "\\r", '"': '\\"', "\\": "\\\\"}
# What cannot be seen, or would be taken for a line end, is spelled out.
_HIDDEN: Final = re.compile(
    '[\x00-\x1f\x7f-\xa0\u00ad\u1680\u180e\u2000-\u200f\u2028-\u202f\u205f-\u2064\u3000\ufeff\ufffe\uffff"\\\\]'
)
_UNUSUAL: Final = re.compile(rf"{_HIDDEN.pattern}|[^\x20-\x7e]")


def on_a_line(text: str, place: ScalarPlace, *, quote: str = "") -> str:
    """The text as written on one line; always possible.

    Args:
        text: What it must say.
        place: Where it stands.
        quote: The quote it had before, kept where the text allows it.
    """
    for way in _ways(text, quote):
        if _reads_back(way, text, place):
            return way
    return _double(text, _UNUSUAL)


def _ways(text: str, quote: str) -> Iterator[str]:
    if not quote:
        yield text
    single = "'" + text.replace("'", "''") + "'"
    prefers_single = quote == "'" or (quote != '"' and re.search(r'["\\]', text) and "'" not in text)
    double = _double(text, _HIDDEN)
    yield from (single, double) if prefers_single else (double, single)


def _double(text: str, spelled_out: re.Pattern[str]) -> str:
    return '"' + spelled_out.sub(_escape, text) + '"'


def _escape(match: re.Match[str]) -> str:
    character = match[0]
    if character in _NAMES:
        return _NAMES[character]
    number = ord(character)
    return f"\\x{number:02X}" if number < 0x100 else f"\\u{number:04X}" if number < 0x10000 else f"\\U{number:08X}"


@lru_cache(maxsize=4096)
def _reads_back(way: str, text: str, place: ScalarPlace) -> bool:
    if "\n" in way:
        return False
    trials: dict[ScalarPlace, tuple[str, Raw]] = {
        "key": (f"k: {way}\n", {"k": text}),
        "item": (f"k:\n  - {way}\n", {"k": [text]}),
        "line": (f"k:\n  {way}\n", {"k": text}),
        "braces": (f"k: {{a: {way}, b: [{way}, c]}}\n", {"k": {"a": text, "b": [text, "c"]}}),
    }
    written, said = trials[place]
    return _says(written, said)


def _says(written: str, said: Raw) -> bool:
    if any(find_character_faults(written)):
        return False
    tree = read_tree(written)
    return not tree.notices and bool(tree.raw == said)


def as_block(text: str, indent: int, *, style: str = "") -> tuple[str, list[str]] | None:
    """The text as a block: its sign, and the lines below it; None where a block cannot say it.

    Args:
        text: What it must say.
        indent: How many spaces stand before its lines.
        style: ``>`` for lines that flow, ``|`` for lines as they are; chosen by the text unless given.
    """
    body = text.rstrip("\n")
    ends = len(text) - len(body)
    if not body or ends > 1:
        return None
    for sign in (style, "|") if style else ("|",) if "\n" in body else (">",):
        lines = body.split("\n") if sign == "|" else _flowing(body, WIDTH - indent)
        header = sign + ("" if ends else "-")
        if _says("k: " + header + "".join(f"\n  {line}" if line else "\n" for line in lines) + "\nz: z\n", _with(text)):
            return header, [" " * indent + line if line else "" for line in lines]
    return None


def _with(text: str) -> Raw:
    return {"k": text, "z": "z"}


def _flowing(text: str, width: int) -> list[str]:
    lines: list[str] = []
    for number, paragraph in enumerate(text.split("\n")):
        if number:
            # In flowing lines a line end is written as an empty line.
            lines.append("")
        line = ""
        for word in re.split(r"(?<=\S) (?=\S)", paragraph):
            if line and len(line) + 1 + len(word) > width:
                lines.append(line)
                line = word
            else:
                line = f"{line} {word}" if line else word
        lines += [line] if line else []
    return lines


def is_long(text: str, column: int) -> bool:
    """Whether a text is prose that would run over the edge of the page on one line."""
    return "\n" in text.strip() or (column + len(text) > _LONGEST_LINE and " " in text.strip())


def written_value(value: str | Sequence[str], indent: int, column: int, place: ScalarPlace) -> tuple[str, list[str]]:
    """A value as written: what stands on the line itself, and the lines below it.

    Args:
        value: A text or a list of texts.
        indent: How many spaces stand before its key or dash.
        column: Where the value starts on its line.
        place: Where it stands.
    """
    if isinstance(value, str):
        if place != "braces" and is_long(value, column) and (block := as_block(value, indent + 2)):
            return block
        return on_a_line(value, place), []
    listed = f"[{', '.join(on_a_line(each, 'braces') for each in value)}]"
    names = all(re.fullmatch(r"[\w./@#-]+", each) for each in value)
    if place == "braces" or not value or (names and column + len(listed) <= WIDTH):
        return listed, []
    return "", [line for each in value for line in entry_lines("- ", each, indent + 2)]


def entry_lines(opening: str, value: str | Sequence[str], indent: int) -> list[str]:
    """The lines of a whole entry.

    Args:
        opening: What stands before the value: a key with its colon and a space, or a dash and a space.
        value: Its value.
        indent: How many spaces stand before it.
    """
    place: ScalarPlace = "item" if opening == "- " else "key"
    first, below = written_value(value, indent, indent + len(opening), place)
    return [" " * indent + (opening + first).rstrip(), *below]
