"""What the pages of the desk share: where a form lies, and what the terminal says with a link where it names a command or a file."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Any, Final
from urllib.parse import quote, urlencode

from markupsafe import Markup

from mothermold.book.files import Place, place_of
from mothermold.desk.forms.trees import name_of
from mothermold.ground.notices import Notice
from mothermold.model.kinds import KINDS
from mothermold.model.walk import KeyPath
from mothermold.pages.addresses import NOTICES, Links, compare_page, page_of
from mothermold.pages.desk.form_page import book_mark
from mothermold.pages.page import Page, render
from mothermold.view.view import View

DESK: Final = "desk/"
"""Where the rooms lie."""
SEND: Final = "send/"
"""Where those of a phone lie, which write nothing but the inbox."""

_DEEDS: Final[tuple[tuple[re.Pattern[str], Callable[[re.Match[str]], str]], ...]] = tuple(
    (re.compile(f"mothermold {pattern}"), where)
    for pattern, where in (
        (r"save\b.*", lambda _found: "desk/save"),
        (r"undo --unsaved.*", lambda _found: "desk/undo#unsaved"),
        (r"undo\b.*", lambda _found: "desk/undo"),
        (r"bring\b.*", lambda _found: "desk/inbox"),
        (r"check\b.*", lambda _found: NOTICES),
        (r"new ([a-z]+)\b.*", lambda found: new_at(found[1])),
        (r"diff (\S+) (\d+) (\d+)", lambda found: compare_page(found[1], found[2], found[3])),
        (r"versions (\S+)", lambda found: page_of("recipe", found[1])),
    )
)
"""The commands that have a page of their own, and where it lies."""


@dataclass(frozen=True, slots=True)
class DeskPaper:
    """A sheet of the desk that is being filled in.

    Attributes:
        view: The owner's book.
        address: Where the page lies.
        seal: Makes the hidden fields each form of it needs.
        said: Why what was typed was not taken; else empty.
    """

    view: View
    address: str
    seal: Callable[[], str]
    said: str = ""

    def page(self, template: str, title: str, **context: Any) -> Page:
        """The page from a template, with what all of the desk's pages use."""
        links, sends = Links(self.view, self.address), self.address.startswith(SEND)
        return render(
            self.view, template, self.address, title, said=self.said, seal=lambda: Markup(self.seal()),  # noqa: S704 - our own
            told=partial(_told, links=None if sends else links), form_of=partial(form_of_file, links=links),
            address=self.address, sends=sends, start=SEND if sends else DESK,
            book=book_mark(self.view, sends=sends), **context,
        )  # fmt: skip


def form_at(kind: str, address: str, said: Sequence[tuple[str, str]] = ()) -> str:
    """Where the form of a document lies, begun with some of it typed."""
    return _with(f"{DESK}{kind}/{quote(address)}", said)


def new_at(kind: str, said: Sequence[tuple[str, str]] = ()) -> str:
    """Where the form of a new document lies, begun with some of it typed."""
    return _with(f"{DESK}new/{kind}", said)


def done_at(file: str, came_from: str, photos: Sequence[str] = ()) -> str:
    """Where it is said that a file stands in the book; a browser then lets go what was typed at the address it came from.

    Args:
        file: The file.
        came_from: That address.
        photos: The names of photos that came in with it.
    """
    said = [("file", file), ("from", came_from), *(("photo", each) for each in photos)]
    return f"{DESK}done?{urlencode(said, quote_via=quote, safe='/@')}"


def field_at(path: KeyPath) -> str:
    """Where on the page of a form a field stands."""
    return f"#f-{name_of(path)}" if path else ""


def _with(address: str, said: Sequence[tuple[str, str]]) -> str:
    return f"{address}?{urlencode(said)}" if said else address


def form_of_file(file: str | None, links: Links) -> str | None:
    """Where the form of a file of the book is; None where it is no document."""
    place = place_of(file) if file is not None and file.startswith("recipes/") else None
    is_held = isinstance(place, Place) and place.address in links.view.on(place.kind)
    return links.to(form_at(place.kind, place.address)) if isinstance(place, Place) and is_held else None


def page_of_file(file: str, view: View) -> str | None:
    """Where the page of a file of the book lies; None where it has none."""
    place = place_of(file) if file.startswith("recipes/") else None
    if not isinstance(place, Place) or not KINDS[place.kind].has_pages or place.address not in view.on(place.kind):
        return None
    return page_of(place.kind, place.address)


def _told(line: str, links: Links | None) -> Markup:
    """What the terminal says: what is typed there set apart, and a link where the desk has a page for it or for the file.

    Without links nothing leads to the desk.
    """
    pieces = re.split(r"`([^`]+)`", line)
    return Markup("").join(_linked(piece, links) if at % 2 else piece for at, piece in enumerate(pieces))


def _linked(typed: str, links: Links | None) -> Markup:
    code = Markup("<code>{}</code>").format(typed)
    if links is None:
        return code
    found = next((where(match) for pattern, where in _DEEDS if (match := pattern.fullmatch(typed))), None)
    where = links.to(found) if found is not None else form_of_file(typed, links)
    return Markup('<a href="{}">{}</a>').format(where, code) if where else code


def by_file(notices: Sequence[Notice]) -> Mapping[str | None, list[Notice]]:
    """Notices by the file they stand in, in the order they come."""
    found: dict[str | None, list[Notice]] = {}
    for each in notices:
        found.setdefault(each.file, []).append(each)
    return found
