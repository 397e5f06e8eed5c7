"""What can be written from a page of the book: a row of ways, to its owner's desk or into the inbox, above the page as it is served."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Final

from markupsafe import Markup

from mothermold.desk.photo_places import SHOW_PHOTOS
from mothermold.model.kinds import KINDS, PAGED
from mothermold.pages.addresses import HUBS
from mothermold.pages.desk.paper import DESK, SEND
from mothermold.pages.page import Page
from mothermold.view.view import View

_FOLDERS: Final[Mapping[str, str]] = {
    **{kind.plural: kind.word for kind in PAGED},
    "versions": "recipe",
    "compare": "recipe",
}
_LISTS: Final[Mapping[str, str]] = {page: kind for kind, (page, _title) in HUBS.items()}


@dataclass(frozen=True, slots=True)
class Writing:
    """What can be written where a book is served.

    Attributes:
        at: Where all of it begins.
        words: What the link there says.
        ways: Of a page, what can be written from there: where below ``at``, and in which words.
    """

    at: str
    words: str
    ways: Callable[[View, str], Iterator[tuple[str, str]]]


def with_ways(view: View, writing: Writing, page: Page) -> Page:
    """A page with the row above it, where something can be written from there."""
    up = "../" * page.depth + writing.at
    links = [
        Markup('<a href="{}{}">{}</a>').format(up, at, words) for at, words in writing.ways(view, page.address)
    ]  # fmt: skip
    row = Markup('<nav class="to-write" aria-label="{}">{}</nav>\n').format(writing.words, Markup(" ").join(links))
    return replace(page, body=f"{row}{page.body}") if links else page


def _at_desk(view: View, address: str) -> Iterator[tuple[str, str]]:
    if (kind := _LISTS.get(address)) is not None:
        yield f"new/{kind}", f"New {KINDS[kind].called}"
        return
    kind, name, rest = shown_document(view, address)
    if not kind:
        return
    yield f"{kind}/{name}", f"Write this {KINDS[kind].called}"
    if kind == "recipe":
        if (pin := _pin(view, name, rest)) is not None:
            yield f"made?recipe={pin}", "I made one"
        yield f"next/{name}", "Next version"
    elif kind in ("run", "failure"):
        yield f"next?because={kind}/{name}", "Next version, because of this"
    if kind in SHOW_PHOTOS:
        yield f"photo?to={kind}/{name}", "Photos of it"


def _to_send(view: View, address: str) -> Iterator[tuple[str, str]]:
    kind, name, rest = shown_document(view, address)
    if kind == "recipe" and (pin := _pin(view, name, rest)) is not None:
        yield f"made?recipe={pin}", "I made one"
    elif kind == "failure":
        yield f"made?_what={name}", "It happened again"
    elif kind == "material":
        yield f"lot?material={name}", "A new lot of it"
    if kind in SHOW_PHOTOS:
        yield f"photo?to={kind}/{name}", "Photos of it"


def shown_document(view: View, address: str) -> tuple[str, str, str]:
    """The kind and the name of the document a page shows, and how its address goes on; nothing where it shows none."""
    folder, _, rest = address.removesuffix(".html").partition("/")
    kind, name = _FOLDERS.get(folder, ""), rest.partition("@")[0]
    return (kind, name, rest) if kind and name in view.on(kind) else ("", "", "")


def _pin(view: View, name: str, rest: str) -> str | None:
    """The version somebody would have made: that of the page, else the newest."""
    versions = view.versions(name)
    numbers = [row.number for row in versions.rows if row.recipe is not None] if versions is not None else []
    if rest.partition("@")[2] in map(str, numbers):
        return rest
    return f"{name}@{max(numbers)}" if numbers else None


AT_DESK: Final = Writing(DESK, "Write", _at_desk)
"""What its owner writes."""
TO_SEND: Final = Writing(SEND, "Send", _to_send)
"""What a phone sends into the inbox."""
