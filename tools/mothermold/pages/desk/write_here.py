"""What can be written from a page of the book: a row of ways to the desk, above the page while its owner serves it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Final

from markupsafe import Markup

from mothermold.model.kinds import KINDS, PAGED
from mothermold.pages.addresses import HUBS
from mothermold.pages.page import Page
from mothermold.view.view import View

_FOLDERS: Final[Mapping[str, str]] = {
    **{kind.plural: kind.word for kind in PAGED},
    "versions": "recipe",
    "compare": "recipe",
}
_LISTS: Final[Mapping[str, str]] = {page: kind for kind, (page, _title) in HUBS.items()}


def with_ways(view: View, page: Page) -> Page:
    """A page with the row above it, where something can be written from there."""
    up = "../" * page.depth
    links = [Markup('<a href="{}desk/{}">{}</a>').format(up, at, words) for at, words in _ways(view, page.address)]
    row = Markup('<nav class="to-write" aria-label="Write">{}</nav>\n').format(Markup(" ").join(links))
    return replace(page, body=f"{row}{page.body}") if links else page


def _ways(view: View, address: str) -> Iterator[tuple[str, str]]:
    if (kind := _LISTS.get(address)) is not None:
        yield f"new/{kind}", f"New {KINDS[kind].called}"
        return
    folder, _, rest = address.removesuffix(".html").partition("/")
    kind, name = _FOLDERS.get(folder), rest.partition("@")[0]
    if kind is None or name not in view.on(kind):
        return
    yield f"{kind}/{name}", f"Write this {KINDS[kind].called}"
    if kind == "recipe":
        if (pin := _pin(view, name, rest)) is not None:
            yield f"made?recipe={pin}", "I made one"
        yield f"next/{name}", "Next version"
    elif kind in ("run", "failure"):
        yield f"next?because={kind}/{name}", "Next version, because of this"


def _pin(view: View, name: str, rest: str) -> str | None:
    """The version somebody would have made: that of the page, else the newest."""
    versions = view.versions(name)
    numbers = [row.number for row in versions.rows if row.recipe is not None] if versions is not None else []
    if rest.partition("@")[2] in map(str, numbers):
        return rest
    return f"{name}@{max(numbers)}" if numbers else None
