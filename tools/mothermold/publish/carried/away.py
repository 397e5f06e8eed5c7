"""What can be taken away from a page where the book is served: a row of ways above it, each to a file made when it is asked for.

The class's edition comes first: what is carried goes into other hands.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Final
from urllib.parse import urlencode

from markupsafe import Markup

from mothermold.ground.errors import RefusedError, refused
from mothermold.model.build import Build
from mothermold.model.course import Course
from mothermold.pages.addresses import HOME
from mothermold.pages.page import Page
from mothermold.publish.carried.course_file import course_file
from mothermold.publish.carried.one_file import one_file
from mothermold.publish.carried.write_up_file import write_up_file
from mothermold.publish.carried.zipped import site_files, zip_name, zipped
from mothermold.view.editions import EDITIONS, Edition
from mothermold.view.view import View

AWAY: Final = "away/"
"""Where the files are asked for."""
_ORDER: Final[tuple[Edition, ...]] = ("class", "public", "private")


@dataclass(frozen=True, slots=True)
class TakenAway:
    """A file to take away: its name, its bytes, and what it is."""

    name: str
    data: bytes
    kind: str


def _zip(view: View, _name: str) -> TakenAway:
    return TakenAway(zip_name(view), zipped(view, site_files(view)), "application/zip")


def _recipes(view: View, _name: str) -> TakenAway:
    return _page(f"{view.edition}.html", one_file(view))


def _course(view: View, name: str) -> TakenAway:
    return _page(f"{view.edition}-{name}.html", course_file(view, name))


def _write_up(view: View, name: str) -> TakenAway:
    return _page(f"{view.edition}-{name}.html", write_up_file(view, name))


def _page(name: str, text: str) -> TakenAway:
    return TakenAway(name, text.encode(), "text/html; charset=utf-8")


@dataclass(frozen=True, slots=True)
class _WayOut:
    """A file that can be made: in which words it is offered, of which documents it is made, if of one, and what makes it."""

    words: str
    make: Callable[[View, str], TakenAway]
    of: type[Course] | type[Build] | None = None


_WAYS: Final[Mapping[str, _WayOut]] = {
    "zip": _WayOut("the whole site for a stick", _zip),
    "recipes": _WayOut("all recipes for a phone, in one file", _recipes),
    "course": _WayOut("this course in one file", _course, Course),
    "write-up": _WayOut("the write-up in one file", _write_up, Build),
}
_FOLDERS: Final = {"courses": "course", "builds": "write-up", "write-ups": "write-up"}


def editions_of(served: Edition) -> list[Edition]:
    """The editions that can be taken away where one is served: none that shows more, that of the class first."""
    return [each for each in _ORDER if EDITIONS.index(each) >= EDITIONS.index(served)]


def taken_from(view: View, address: str) -> list[tuple[str, str]]:
    """What can be taken away from a page: the word of the way, and of which document."""
    if address == HOME:
        return [("zip", ""), ("recipes", "")]
    folder, _, name = address.removesuffix(".html").partition("/")
    word = _FOLDERS.get(folder, "")
    of = _WAYS[word].of if word else None
    return [(word, name)] if of is not None and name in view.of(of) else []


def take_away(view: View, word: str, name: str) -> TakenAway:
    """Makes a file.

    Args:
        view: The edition it is made of.
        word: Which way.
        name: Of which document; empty where it is made of the whole book.

    Raises:
        RefusedError: There is no such way, or this edition holds no such document.
        CannotRunError: The site builder refused.
    """
    way = _WAYS.get(word)
    if way is None or (way.of is None and name) or (way.of is not None and name not in view.of(way.of)):
        raise _nothing(view)
    return way.make(view, name)


def _nothing(view: View) -> RefusedError:
    return refused(
        "unknown-reference", f"The {view.edition} edition holds nothing of the kind to take away.",
        "Open the document to that edition first, or take another.",
    )  # fmt: skip


def with_away(view: View, page: Page) -> Page:
    """A page with the row above it, where something can be taken away from there."""
    ways = taken_from(view, page.address)
    rows = [
        row for edition in editions_of(view.edition) if (row := Markup(", ").join(_links(view, page, ways, edition)))
    ]
    if not rows:
        return page
    told = Markup("").join(Markup("<li>{}</li>").format(row) for row in rows)
    nav = Markup(
        '<nav class="to-print" aria-label="To take away"><details><summary>To take away</summary><ul>{}</ul></details></nav>\n'
    )
    return replace(page, body=f"{nav.format(told)}{page.body}")


def _links(view: View, page: Page, ways: list[tuple[str, str]], edition: Edition) -> Iterator[Markup]:
    up = "../" * page.depth + AWAY
    for word, name in ways:
        way = _WAYS[word]
        seen_by = view.of(way.of)[name].model.visibility if way.of is not None else "public"
        if EDITIONS.index(seen_by) >= EDITIONS.index(edition):
            query = urlencode({"what": word, "of": name, "for": edition})
            yield Markup('<a href="{}?{}">{} edition: {}</a>').format(up, query, edition.capitalize(), way.words)
