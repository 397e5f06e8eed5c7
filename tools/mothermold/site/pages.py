"""All pages of a view, as pure functions to (address, title, body). Knows no site builder."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import jinja2

from mothermold.site.addresses import HOME, HUBS, NOTICES, Links, compare_page, page_of, version_page
from mothermold.site.prose import line, prose
from mothermold.site.source import without_comments
from mothermold.view.view import View


@dataclass(frozen=True, slots=True)
class Page:
    """One page.

    Attributes:
        address: Where it lies in the site.
        title: Its title, plain text.
        body: Its HTML.
    """

    address: str
    title: str
    body: str

    @property
    def depth(self) -> int:
        """How many folders deep it lies."""
        return self.address.count("/")


@lru_cache(maxsize=1)
def _templates() -> jinja2.Environment:
    return jinja2.Environment(
        loader=jinja2.PackageLoader("mothermold.site"),
        autoescape=True,
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )


def render(view: View, template: str, page: str, title: str, **context: Any) -> Page:
    """A page from a template.

    Args:
        view: The edition.
        template: The template's name.
        page: Where the page lies.
        title: Its title.
        context: What the template shows.
    """
    links = Links(view, page.count("/"))
    body = (
        _templates()
        .get_template(template)
        .render(
            title=title,
            view=view,
            links=links,
            to=links.to,
            prose=lambda text: prose(text, links),
            line=lambda text: line(text, links),
            source=without_comments,
            **context,
        )
    )
    return Page(page, title, body)


def all_pages(view: View) -> Iterator[Page]:
    """Every page of an edition, in a fixed order."""
    from mothermold.site import compare, documents, hubs, recipes  # noqa: PLC0415 - they need `render` above

    yield hubs.home(view)
    for kind in HUBS:
        if view.documents[kind] or (kind == "recipe" and view.recipes):
            yield hubs.hub(view, kind)
    yield hubs.notices(view)
    for address in sorted({*view.recipes, *view.documents["recipe"]}):
        yield from recipes.recipe_pages(view, address)
        yield from compare.compare_pages(view, address)
    for kind in ("failure", "material", "run", "mold", "build", "course"):
        for address in sorted(view.documents[kind]):
            yield documents.document_page(view, kind, address)


def expected_addresses(view: View) -> set[str]:
    """The addresses an edition must have, reckoned without making a page: an empty site can never pass for whole."""
    found = {HOME, NOTICES}
    found |= {HUBS[kind][0] for kind in HUBS if view.documents[kind] or (kind == "recipe" and view.recipes)}
    found |= {page_of(kind, name) for kind in HUBS for name in view.documents[kind]}
    for address in view.recipes:
        versions = view.versions(address)
        rows = versions.rows if versions else ()
        found.add(page_of("recipe", address))
        found |= {version_page(address, row.number) for row in rows}
        if sum(1 for row in rows if row.recipe is not None) > 1:
            found.add(compare_page(address))
    return found
