"""An author's text as a page may show it: line by line as typed, without the comments.

Comments are the author's own and belong to no edition, not even where a text can only be shown as it stands.
"""

from __future__ import annotations

import re
from typing import Final

from mothermold.book.lines import BLOCK_TEXT, take_apart

# The rest of a quoted text that began on a line above.
_REST_OF: Final = {'"': re.compile(r'(?:[^"\\]|\\.)*"'), "'": re.compile(r"(?:[^']|'')*'(?!')")}


def without_comments(text: str) -> str:
    """The text without its comments; lines keep their numbers, and text in blocks and quotes keeps its `#`."""
    kept: list[str] = []
    depth = 0
    block: int | None = None
    quoted = ""
    for number, raw in enumerate(text.split("\n"), start=1):
        indent = len(raw) - len(raw.lstrip(" "))
        if block is not None and (not raw.strip() or indent > block):
            kept.append(raw)
            continue
        block = None
        start = 0
        if quoted:
            match = _REST_OF[quoted].match(raw)
            if match is None:
                kept.append(raw)
                continue
            start, quoted = match.end(), ""
        line = take_apart(number, raw[start:], depth)
        depth = max(line.depth, 0)
        kept.append((raw[:start] + " " * line.indent + line.text).rstrip())
        if BLOCK_TEXT.search(line.value):
            block = line.indent
        elif line.quote is not None and line.has_key:
            quoted = line.text[line.quote]
    return "\n".join(kept)
