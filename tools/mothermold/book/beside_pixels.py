"""What a JPEG says beside its picture: where, when, with what, for whom. Read from its segments; no color is decoded."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final


def told_beside(data: bytes) -> tuple[str, ...]:
    """What a JPEG says beside its picture, each in a few words; nothing of one that was rebuilt.

    Read from the file's own segments (ITU-T T.81, annex B), without decoding it.

    Raises:
        ValueError: It is no JPEG, or ends too early.
    """
    return tuple(dict.fromkeys(filter(None, map(_beside, _segments(data)))))


_COMMENT, _SCAN, _END = 0xFE, 0xDA, 0xD9
_SAID_BY: Final = (
    (0xE1, b"Exif\0", "when, where and with what it was taken"),
    (0xE1, b"http://ns.adobe.com/", "a program's notes (XMP)"),
    (0xE2, b"ICC_PROFILE\0", "a color profile"),
    (0xE2, b"MPF\0", "further pictures"),
    (0xED, b"", "a program's notes (IPTC)"),
    (_COMMENT, b"", "a comment"),
)


def _beside(segment: tuple[int, bytes]) -> str:
    sign, body = segment
    if sign == _END:
        return "something behind the picture" if body else ""
    if sign == 0xE0:
        # The head every JPEG begins with; a small picture may stand in it.
        return (
            "" if body.startswith(b"JFIF\0") and len(body) == 14 and body[-2:] == b"\0\0" else "a small picture of it"
        )
    if sign == 0xEE and body.startswith(b"Adobe") and len(body) == 12:
        return ""
    known = (words for which, head, words in _SAID_BY if which == sign and body.startswith(head))
    return next(known, "a maker's note" if 0xE0 <= sign <= 0xEF else "")


def _segments(data: bytes) -> Iterator[tuple[int, bytes]]:
    """Each segment's sign and what it holds; the end with what stands behind it."""
    if data[:2] != b"\xff\xd8":
        raise ValueError("no JPEG")
    at = 2
    while at + 4 <= len(data) or data[at : at + 2] == b"\xff\xd9":
        if data[at] != 0xFF:
            raise ValueError("no segment")
        sign = data[at + 1]
        if sign == 0xFF:
            at += 1
            continue
        if sign == _END:
            yield sign, data[at + 2 :]
            return
        length = int.from_bytes(data[at + 2 : at + 4])
        yield sign, data[at + 4 : at + 2 + length]
        at += 2 + max(length, 2)
        if sign == _SCAN:
            at = _after_scan(data, at)
    raise ValueError("ends too early")


def _after_scan(data: bytes, at: int) -> int:
    """Where the next segment begins behind coded colors, in which a sign is followed by 0 or counts a restart."""
    while (at := data.find(b"\xff", at)) >= 0:
        following = data[at + 1] if at + 1 < len(data) else _END
        if following not in (0, 0xFF) and not 0xD0 <= following <= 0xD7:
            return at
        at += 1 if following == 0xFF else 2
    raise ValueError("ends too early")
