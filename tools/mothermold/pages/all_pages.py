"""The pages of a view, each a pure function of it and of an address. Knows no site builder."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from functools import partial
from typing import Final

from mothermold.answers.appointment import cast_from_life
from mothermold.answers.day_sheet import days_of
from mothermold.model.build import Build
from mothermold.model.kinds import PAGED
from mothermold.pages import (
    appointments,
    bench,
    compare,
    days,
    documents,
    finder,
    guide,
    hubs,
    hurt,
    pieces,
    plans,
    recipes,
    rules,
    sums,
    touch,
    write_up,
)
from mothermold.pages.addresses import (
    ABOUT,
    FINDER,
    FIRST_EVENING,
    GUIDE,
    HOME,
    HUBS,
    HURT,
    NOTICES,
    OFFLINE,
    RULES,
    SUMS,
    TOUCH,
    appointment_page,
    bench_page,
    chapter_page,
    compare_page,
    day_page,
    leaves,
    page_of,
    plan_page,
    version_page,
    written_page,
)
from mothermold.pages.page import Page
from mothermold.view.view import View

_SINGLE: Final[Mapping[str, Callable[[View], Page]]] = {
    HOME: hubs.home,
    HURT[0]: hurt.hurt_page,
    FINDER[0]: finder.finder,
    SUMS[0]: sums.sums,
    RULES[0]: rules.rules_page,
    TOUCH[0]: touch.touch_page,
    NOTICES: hubs.notices,
    OFFLINE[0]: guide.offline,
    GUIDE[0]: guide.contents,
    ABOUT[0]: guide.about,
    FIRST_EVENING[0]: guide.first_evening,
    **{page: partial(hubs.hub, kind=kind) for kind, (page, _title) in HUBS.items()},
}
"""The pages there is one of, by address."""

_IN_BUILDS: Final[Mapping[str, Callable[[View, str, str], Page | None]]] = {
    "days": days.day_at, "appointments": appointments.appointment_page,
}  # fmt: skip
"""Pages of the owner of what lies in a build, by folder."""

_FOLDERS: Final = {kind.plural: kind.word for kind in PAGED}


def all_pages(view: View) -> Iterator[Page]:
    """Every page of an edition, in the order of their addresses."""
    for address in sorted(addresses(view)):
        page = page_at(view, address)
        assert page is not None, address
        yield page


def page_at(view: View, address: str) -> Page | None:
    """The page of an edition at an address; None where it has none."""
    if address in _SINGLE:
        return _SINGLE[address](view) if address in _single(view) else None
    folder, _, name = address.removesuffix(".html").partition("/")
    if not address.endswith(".html") or not name:
        return None
    recipe, _, number = name.partition("@")
    if number:
        known = number.isascii() and number.isdecimal() and number[0] != "0" and len(number) < 10
        made = {"versions": recipes.version_page, "bench": bench.bench_at}.get(folder)
        return made(view, recipe, int(number)) if made is not None and known else None
    build, is_piece, piece = name.partition("/pieces/")
    if folder == "builds" and is_piece:
        return pieces.piece_at(view, build, piece)
    if folder == "compare":
        return compare.comparison(view, name)
    if folder == "write-ups":
        return write_up.write_up_page(view, name)
    if folder == "guide":
        return guide.guide_page(view, name) if name in guide.chapters() else None
    if folder == "plans":
        return plans.plan_page(view, name) if view.edition == "private" and name in view.on("build") else None
    if folder in _IN_BUILDS:
        inside, _, what = name.partition("/")
        return _IN_BUILDS[folder](view, inside, what) if view.edition == "private" else None
    return _of_document(view, _FOLDERS.get(folder, ""), name)


def _of_document(view: View, kind: str, name: str) -> Page | None:
    if kind == "recipe":
        return recipes.recipe_page(view, name) if name in view.recipes or name in view.on(kind) else None
    return documents.document_page(view, kind, name) if kind and name in view.on(kind) else None


def _single(view: View) -> set[str]:
    """Those pages there is one of that the edition has."""
    hubs_had = {HUBS[kind][0] for kind in HUBS if view.on(kind) or (kind == "recipe" and view.recipes)}
    return hubs_had | {HOME, OFFLINE[0], *(address for address, _ in leaves(view))}


def deepest(view: View) -> int:
    """How many folders deep the deepest page of an edition lies, reckoned without opening a document."""
    names = [*view.recipes, *(name for kind in HUBS for name in view.on(kind))]
    # A piece lies two folders below the builds, whether there is one or not.
    return max(1 + max((name.count("/") for name in names), default=0), 3 if view.on("build") else 1)


def addresses(view: View) -> set[str]:
    """The address of every page an edition has, reckoned without making one; only recipes that changed are opened."""
    found = _single(view) | set(map(chapter_page, guide.chapters()))
    found |= {page_of(kind, name) for kind in HUBS for name in view.on(kind)}
    found |= {written_page(name) for name, each in view.on("build").items() if each.model is not None}
    found.update(pieces.piece_addresses(view))
    if view.edition == "private":
        # What is planned, and who sits where when, is for the owner alone.
        found |= {plan_page(name) for name in view.on("build")}
        for name, build in view.models(Build).items():
            found |= {day_page(name, day) for day in days_of(build)}
            found |= {appointment_page(name, thing) for thing in cast_from_life(build)}
    for address in view.recipes:
        found.update(view.made.of(f"recipe/{address}: pages", partial(_of_recipe, view, address)))
    return found


def _of_recipe(view: View, address: str) -> list[str]:
    """The addresses of the pages of a recipe: its own, and those of its versions."""
    versions = view.versions(address)
    rows = versions.rows if versions is not None else ()
    found = [page_of("recipe", address), *(version_page(address, row.number) for row in rows)]
    if sum(1 for row in rows if row.recipe is not None) > 1:
        found.append(compare_page(address))
    if versions is not None:
        found += [bench_page(address, row.number) for row in bench.bench_rows(view, versions)]
    return found
