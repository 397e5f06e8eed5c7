"""Looks at the heads of requests before anybody reads them, for shapes that two readers would read as two different requests."""

from __future__ import annotations

import re
from typing import Final

_END: Final = b"\r\n\r\n"
# A line that ends otherwise than lines do, and one that goes on in the next.
_ODD: Final = re.compile(rb"(?<!\r)\n|\r(?=[^\n])|\n[ \t]")
_NO_BODY: Final = (b"GET ", b"HEAD ")


class Heads:
    """The heads on one connection: one behind the other, until a request brings something along, which is the last."""

    def __init__(self) -> None:
        self._begun = b""
        self._looks = True

    def is_odd(self, piece: bytes) -> bool:
        """Whether a head has such a shape, as far as it has come.

        Args:
            piece: What came now.
        """
        self._begun = self._begun + piece if self._looks else b""
        while self._looks and self._begun:
            end = self._begun.find(_END)
            head = self._begun if end < 0 else self._begun[: end + len(_END)]
            if _ODD.search(head):
                return True
            if end < 0:
                break
            self._looks = head.lstrip(b"\r\n").startswith(_NO_BODY)
            self._begun = self._begun[len(head) :]
        return False
