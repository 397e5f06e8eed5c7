"""A page of the site as a part of one file: its places get longer names, and its links lead inside or become words.

Pure: from the HTML of a page to the HTML of a part. The HTML is ours, so it is well formed.
"""

from __future__ import annotations

import base64
import posixpath
import re
from collections.abc import Mapping
from dataclasses import dataclass
from html import escape
from html.parser import HTMLParser
from typing import Final
from urllib.parse import unquote

from mothermold.pages.page import Page

_NAMING: Final = ("id", "for", "aria-labelledby", "aria-describedby", "aria-controls")
# What other pages tell and the file leaves at home.
_LEFT: Final = {"runs", "versions"}
_VOID: Final = {"link", "meta", "img", "br", "hr", "input"}
_DEAD_JUMP: Final = re.compile(r"<li>(?!<a )[^<]*</li>")


@dataclass(frozen=True, slots=True)
class Held:
    """What the one file holds.

    Attributes:
        places: For the address of each page it holds, the name of its part in the file.
        pictures: Each drawing by its address in the site.
    """

    places: Mapping[str, str]
    pictures: Mapping[str, bytes]


def part_of(page: Page, held: Held) -> str:
    """The HTML of a page as a part of the file.

    Names of places begin with the name of the part and a colon, which is in no address, so that no two parts share one.
    A link to a page the file does not hold loses its address, and one to another computer says it in words. Pictures
    lie within. The list of runs and the list of versions stay away, as do scripts and looks, which the file has once.

    Args:
        page: A page whose address ``held`` knows.
        held: What the file holds.

    Raises:
        ValueError: The page leaves something open; a fault of ours, told because words would be lost.
    """
    reader = _Reader(page, held)
    reader.feed(page.body)
    reader.close()
    if reader.open:
        raise ValueError(f"{page.address} leaves something open")
    return "".join(reader.told).strip() + "\n"


def picture_address(data: bytes) -> str:
    """A drawing as an address that holds the drawing itself."""
    return f"data:image/svg+xml;base64,{base64.b64encode(data).decode()}"


class _Reader(HTMLParser):
    def __init__(self, page: Page, held: Held) -> None:
        super().__init__(convert_charrefs=False)
        self.told: list[str] = []
        self._page = page
        self._held = held
        self._here = held.places[page.address]
        self._links: list[tuple[str, int, str]] = []
        self._leaving: list[str] = []
        self._jump: int | None = None

    @property
    def open(self) -> bool:
        """Whether a link or what stays away has not ended."""
        return bool(self._links or self._leaving)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        said = {name: value or "" for name, value in attrs}
        if self._leaving or self._stays_away(tag, said):
            if tag not in _VOID:
                self._leaving.append(tag)
            return
        if tag == "a":
            self._link(said)
            return
        if tag == "ul" and said.get("class") == "jump":
            self._jump = len(self.told)
        self.told.append(self._renamed(tag, attrs) or self.get_starttag_text() or "")

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:  # noqa: ARG002 - named by Python
        if not self._leaving:
            self.told.append(self.get_starttag_text() or "")

    def handle_endtag(self, tag: str) -> None:
        if self._leaving:
            self._leaving.pop()
        elif tag == "a":
            end, start, address = self._links.pop()
            said = "".join(self.told[start:])
            self.told.append(end)
            if address and escape(address, quote=False) not in said:
                self.told.append(f" ({escape(address, quote=False)})")
        else:
            self.told.append(f"</{tag}>")
            if tag == "ul" and self._jump is not None:
                self.told[self._jump :] = [_DEAD_JUMP.sub("", "".join(self.told[self._jump :]))]
                self._jump = None

    def handle_data(self, data: str) -> None:
        self._say(data)

    def handle_entityref(self, name: str) -> None:
        self._say(f"&{name};")

    def handle_charref(self, name: str) -> None:
        self._say(f"&#{name};")

    def _say(self, text: str) -> None:
        if not self._leaving:
            self.told.append(text)

    @staticmethod
    def _stays_away(tag: str, said: Mapping[str, str]) -> bool:
        if tag in ("section", "h2"):
            return said.get("id") in _LEFT or said.get("class") == "versions"
        return tag == "link" or (tag == "script" and "src" in said) or said.get("class") == "no-script"

    def _link(self, said: Mapping[str, str]) -> None:
        target = said.get("href", "")
        place = self._place(target)
        if place is not None:
            self.told.append(f'<a href="#{escape(place)}">')
        abroad = target if re.match(r"(?i)https?:|mailto:", target) else ""
        self._links.append(("</a>" if place is not None else "", len(self.told), abroad))

    def _place(self, target: str) -> str | None:
        """Where a link leads within the file; None where the file does not hold it."""
        path, _, fragment = target.partition("#")
        if ":" in path or fragment in _LEFT:
            return None
        folder = posixpath.dirname(self._page.address)
        page = self._page.address if not path else posixpath.normpath(posixpath.join(folder, unquote(path)))
        place = self._held.places.get(page)
        return f"{place}:{fragment}" if place is not None and fragment else place

    def _renamed(self, tag: str, attrs: list[tuple[str, str | None]]) -> str | None:
        """The tag with its names made longer and its picture within; None where it stands as it is."""
        names = {name for name, _ in attrs}
        if not names.intersection((*_NAMING, "data-home")) and tag != "img":
            return None
        made = [f"<{tag}"]
        for name, value in attrs:
            if name == "data-home":
                continue
            text = value or ""
            if name in _NAMING:
                text = " ".join(f"{self._here}:{each}" for each in text.split())
            elif tag == "img" and name == "src":
                text = self._picture(text)
            made.append(f" {name}" if value is None else f' {name}="{escape(text)}"')
        return "".join(made) + ">"

    def _picture(self, source: str) -> str:
        address = posixpath.normpath(posixpath.join(posixpath.dirname(self._page.address), unquote(source)))
        return picture_address(self._held.pictures[address])
