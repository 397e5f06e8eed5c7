"""A text carried by a page and back: a browser sends line ends its own way, and some characters not at all."""

from __future__ import annotations

import base64
import zlib
from typing import Final

from mothermold.ground.errors import CannotRunError

# A file of the book is never longer; what says it is, was made by nobody here.
_LONGEST: Final = 4 * 1024 * 1024


def packed(text: str) -> str:
    """A text as letters, digits, ``-`` and ``_``."""
    return base64.urlsafe_b64encode(zlib.compress(text.encode("utf-8"))).decode("ascii").rstrip("=")


def unpacked(letters: str) -> str:
    """The text that was packed.

    Raises:
        CannotRunError: These letters are no packed text.
    """
    try:
        data = base64.urlsafe_b64decode(letters + "=" * (-len(letters) % 4))
        opening = zlib.decompressobj()
        text = opening.decompress(data, _LONGEST).decode("utf-8")
    except (zlib.error, ValueError):
        text, opening = "", None
    if opening is None or not opening.eof or opening.unused_data:
        raise CannotRunError(
            "The form did not arrive whole, so nothing was written. Open the page anew in another tab."
        )
    return text
