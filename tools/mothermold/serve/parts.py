"""A form that carries files, as browsers write it: text fields and files, each in its part.

Read strictly after what the HTML standard has browsers write (multipart/form-data, RFC 7578): whoever writes it otherwise is
no browser at a page of ours. Nothing is looked into here, and nothing is written anywhere.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

KIND: Final = "multipart/form-data"
_BOUNDARY: Final = re.compile(r"multipart/form-data; *boundary=\"?([A-Za-z0-9'()+_,./:=?-]{1,70})\"?", re.IGNORECASE)
_HEAD: Final = re.compile(
    rb'Content-Disposition: form-data; name="([^"\r\n]{0,500})"(?:; filename="([^"\r\n]{0,1000})")?(?:\r\nContent-Type: [\x20-\x7e]{1,200})?',
    re.IGNORECASE,
)
_LONGEST_HEAD: Final = 2000


@dataclass(frozen=True, slots=True)
class SentFile:
    """A file somebody chose in a form.

    Attributes:
        field: The name of the field.
        name: What it was called where it lay, without folders.
        data: Its bytes.
    """

    field: str
    name: str
    data: bytes


def boundary_in(content_type: str) -> bytes | None:
    """What stands between the parts, from the header of a form; None where that is no such form."""
    found = _BOUNDARY.fullmatch(content_type.strip())
    return found[1].encode() if found is not None else None


def parts_in(body: bytes | bytearray, boundary: bytes, most: int) -> tuple[list[tuple[str, str]], list[SentFile]]:
    """The text fields in their order, and the files; a field in which nobody chose a file is none.

    Args:
        body: What was sent.
        boundary: What stands between the parts.
        most: How many parts there may be.

    Raises:
        ValueError: It is no such form, not whole, or has more parts.
    """
    pairs: list[tuple[str, str]] = []
    files: list[SentFile] = []
    line, at = b"--" + boundary, len(boundary) + 2
    if not body.startswith(line):
        raise ValueError("no part")
    between = b"\r\n" + line
    while body[at : at + 2] == b"\r\n":
        head_end = body.find(b"\r\n\r\n", at + 2, at + _LONGEST_HEAD)
        end = body.find(between, head_end + 2)
        head = _HEAD.fullmatch(bytes(body[at + 2 : head_end])) if head_end >= 0 else None
        if head is None or end < 0 or len(pairs) + len(files) >= most:
            raise ValueError("a part that is none, or one too many")
        data = bytes(body[head_end + 4 : end])
        name = _named(head[1])
        if head[2] is None:
            pairs.append((name, data.decode("utf-8")))
        elif data or head[2]:
            files.append(SentFile(name, _named(head[2]).replace("\\", "/").rpartition("/")[2], data))
        at = end + len(between)
    if bytes(body[at:]) not in (b"--\r\n", b"--"):
        raise ValueError("no end")
    return pairs, files


def _named(written: bytes) -> str:
    """A name as it was; a browser spells what would end it another way."""
    text = written.decode("utf-8")
    for spelled, letter in (("%22", '"'), ("%0D", "\r"), ("%0A", "\n")):
        text = text.replace(spelled, letter)
    return text
