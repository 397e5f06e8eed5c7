"""All pages of a view, as pure functions to (address, title, body). Knows no site builder."""

from __future__ import annotations

from collections.abc import Iterator

from mothermold.pages import bench, compare, documents, finder, guide, hubs, hurt, recipes, rules, sums
from mothermold.pages.addresses import (
    HOME,
    HUBS,
    OFFLINE,
    bench_page,
    chapter_page,
    compare_page,
    leaves,
    page_of,
    version_page,
)
from mothermold.pages.page import Page
from mothermold.view.view import View


def all_pages(view: View) -> Iterator[Page]:
    """Every page of an edition, in a fixed order."""
    yield hubs.home(view)
    for kind in HUBS:
        if view.on(kind) or (kind == "recipe" and view.recipes):
            yield hubs.hub(view, kind)
    yield hurt.hurt_page(view)
    yield finder.finder(view)
    yield sums.sums(view)
    yield rules.rules_page(view)
    yield hubs.notices(view)
    yield guide.offline(view)
    yield from guide.guide_pages(view)
    if view.edition == "private":
        yield guide.about(view)
        yield guide.first_evening(view)
    for address in sorted({*view.recipes, *view.on("recipe")}):
        yield from recipes.recipe_pages(view, address)
        yield from compare.compare_pages(view, address)
        yield from bench.bench_pages(view, address)
    for kind in (word for word in HUBS if word != "recipe"):
        for address in sorted(view.on(kind)):
            yield documents.document_page(view, kind, address)


def expected_addresses(view: View) -> set[str]:
    """The addresses an edition must have, reckoned without making a page: an empty site can never pass for whole."""
    found = {HOME, OFFLINE[0], *(address for address, _ in leaves(view)), *map(chapter_page, guide.chapters())}
    found |= {HUBS[kind][0] for kind in HUBS if view.on(kind) or (kind == "recipe" and view.recipes)}
    found |= {page_of(kind, name) for kind in HUBS for name in view.on(kind)}
    for address in view.recipes:
        versions = view.versions(address)
        rows = versions.rows if versions else ()
        found.add(page_of("recipe", address))
        found |= {version_page(address, row.number) for row in rows}
        if sum(1 for row in rows if row.recipe is not None) > 1:
            found.add(compare_page(address))
        if versions is not None:
            found |= {bench_page(address, row.number) for row in bench.bench_rows(view, versions)}
    return found
