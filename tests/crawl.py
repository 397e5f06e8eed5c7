"""Reads finished pages: their elements, the links in them, and whether what these name exists. Knows no page by name."""

from __future__ import annotations

import posixpath
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import unquote, urlsplit

_VOID = {"area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track", "wbr"}
_OPTIONAL = {"p", "li", "dt", "dd", "tr", "td", "th", "option", "thead", "tbody"}


@dataclass
class Read:
    """A page taken apart.

    Attributes:
        elements: Every element with its attributes, in order.
        links: Every href and src as written, with the element that holds it.
        ids: Every id, in order.
        unbalanced: End tags that close nothing, and elements never closed.
        text: The words outside tags.
    """

    elements: list[tuple[str, dict[str, str]]] = field(default_factory=list)
    links: list[tuple[str, str]] = field(default_factory=list)
    ids: list[str] = field(default_factory=list)
    unbalanced: list[str] = field(default_factory=list)
    text: str = ""


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.read = Read()
        self.open: list[str] = []
        self.words: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        self.read.elements.append((tag, given))
        self.read.links += [(tag, given[name]) for name in ("href", "src") if name in given]
        if "id" in given:
            self.read.ids.append(given["id"])
        if tag not in _VOID:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        while self.open and self.open[-1] != tag and self.open[-1] in _OPTIONAL and tag in self.open:
            self.open.pop()
        if self.open and self.open[-1] == tag:
            self.open.pop()
        else:
            self.read.unbalanced.append(f"</{tag}>")

    def handle_data(self, data: str) -> None:
        self.words.append(data)


def read_page(html: str) -> Read:
    """A page or a part of one taken apart."""
    reader = _Reader()
    reader.feed(html)
    reader.close()
    reader.read.unbalanced += [f"<{tag}>" for tag in reader.open if tag not in _OPTIONAL]
    reader.read.text = "".join(reader.words)
    return reader.read


def files_below(folder: Path) -> dict[str, bytes]:
    """Every file below a folder by its place in it, hidden ones too."""
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


@dataclass
class Crawled:
    """What following every link of a site found.

    Attributes:
        dead: Links that lead nowhere, as page and link.
        outside: Links out of the site's folder.
        reached: The files one comes to from home.
        followed: How many links were looked at.
    """

    dead: list[str] = field(default_factory=list)
    outside: list[str] = field(default_factory=list)
    reached: set[str] = field(default_factory=set)
    followed: int = 0


def crawl(files: Mapping[str, bytes], home: str = "index.html") -> Crawled:
    """Follows every link of every page; a name counts only in the case it was written in.

    Args:
        files: The site, by place.
        home: Where reading starts.
    """
    pages = {name: read_page(data.decode()) for name, data in files.items() if name.endswith(".html")}
    found = Crawled()
    leads: dict[str, set[str]] = {}
    for name, page in pages.items():
        leads[name] = set()
        for _tag, link in page.links:
            found.followed += 1
            target, fragment = _resolved(name, link)
            if target is None:
                continue
            if target.startswith(("../", "/")) or target == "..":
                found.outside.append(f"{name}: {link}")
            elif target not in files:
                found.dead.append(f"{name}: {link}")
            elif fragment and target in pages and fragment not in pages[target].ids:
                found.dead.append(f"{name}: {link} (no such place)")
            else:
                leads[name].add(target)
    waiting = [home]
    while waiting:
        name = waiting.pop()
        if name not in found.reached:
            found.reached.add(name)
            waiting += leads.get(name, ())
    return found


def _resolved(page: str, link: str) -> tuple[str | None, str]:
    parts = urlsplit(link)
    if parts.scheme or parts.netloc:
        return None, ""
    if not parts.path:
        return page, unquote(parts.fragment)
    return posixpath.normpath(posixpath.join(posixpath.dirname(page), unquote(parts.path))), unquote(parts.fragment)


def headings(page: Read) -> Iterator[int]:
    """The levels of a page's headings, in order."""
    return (int(tag[1]) for tag, _given in page.elements if len(tag) == 2 and tag[0] == "h" and tag[1].isdigit())
