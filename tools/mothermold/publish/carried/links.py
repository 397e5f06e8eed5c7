"""How a part of the one file points: to what the file holds, and at nothing else."""

from __future__ import annotations

import base64
import posixpath
from collections.abc import Mapping
from dataclasses import dataclass
from typing import ClassVar, Final
from urllib.parse import unquote

from mothermold.book.pictures import Drawing
from mothermold.pages.addresses import Links
from mothermold.view.showing import SMALL

# What other pages tell and the file leaves at home.
_LEFT: Final = {"runs", "versions"}


@dataclass(frozen=True, slots=True)
class CarriedLinks(Links):
    """Points from one part of the file to others in it.

    Ids begin with the name of the part and a colon, which is in no address, so that no two parts share one.

    Attributes:
        parts: For the address of each page the file holds, the name of its part.
    """

    parts: Mapping[str, str]
    carried: ClassVar[bool] = True

    def to(self, address: str) -> str | None:
        """What leads to a page, or to a place on it; None where the file does not hold it."""
        page, _, place = address.partition("#")
        return self._to(page, place)

    def at(self, place: str) -> str:
        """The id of a place in this part."""
        return f"{self.parts[self.page]}:{place}"

    def here(self, place: str) -> str | None:
        """What leads to a place in this part; None for what the file leaves at home."""
        return self._to(self.page, place)

    def picture(self, file: str, longest: int = 0) -> str | None:
        """A drawing, or a small photo, as an address that holds the picture itself; None for a larger one."""
        shown = self.view.picture(file)
        if isinstance(shown, Drawing):
            return _within("svg+xml", shown.data)
        data = shown.data(longest) if shown is not None and longest == SMALL else None
        return _within("jpeg", data) if data is not None else None

    def from_prose(self, target: str) -> str | None:
        """Where a link leads that somebody wrote, who thought of the site."""
        path, _, place = target.partition("#")
        return self._to(
            posixpath.normpath(posixpath.join(posixpath.dirname(self.page), unquote(path))) if path else self.page,
            place,
        )

    def _to(self, page: str, place: str) -> str | None:
        part = self.parts.get(page)
        if part is None or place in _LEFT:
            return None
        return f"#{part}:{place}" if place else f"#{part}"


def _within(kind: str, data: bytes) -> str:
    return f"data:image/{kind};base64,{base64.b64encode(data).decode()}"
