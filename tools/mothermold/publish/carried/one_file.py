"""The book as one file to carry: recipes, calculators, bench views and the words of the trade, made of the pages of its site.

Pure assembly: from a view to the text of one HTML file that asks nothing of anyone. Its policy names the digest of
every script and every look in it, so nothing else runs there, whoever wrote it.
"""

from __future__ import annotations

import base64
import hashlib
import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import groupby
from pathlib import Path
from typing import Final

from mothermold.answers.recipes import find_versions
from mothermold.history.versions import Version, Versions
from mothermold.pages.addresses import HOME, HUBS, HURT, LinksOf, bench_page, chapter_page, page_of, version_page
from mothermold.pages.bench import bench_book, bench_view, is_at_bench
from mothermold.pages.glossary import CHAPTER
from mothermold.pages.guide import guide_page
from mothermold.pages.hurt import hurt_page, hurt_script
from mothermold.pages.page import Page, render
from mothermold.pages.recipes import recipe_page
from mothermold.pages.recipes import version_page as version_page_at
from mothermold.pages.units import units_script
from mothermold.publish.carried.links import CarriedLinks
from mothermold.view.view import View

MARK: Final = "<!doctype html>\n<!-- A book of mothermold, carried as one file:"
"""How every such file begins; only a file that begins so is ever written over."""

_HERE: Final = Path(__file__).parent
ASSETS: Final = _HERE.parent / "theme" / "assets"
"""Where the looks, the scripts and the typefaces of the pages lie."""
_SCRIPTS: Final = (
    "exact", "amounts", "batch", "setting", "calculator", "bench-run", "bench-clock", "bench-room", "bench-keep",
    "bench-deliver",
    "bench-cautions", "bench-aid", "bench-panels", "bench-time", "bench-hand", "bench-end", "bench-wall", "bench", "mothermold", "stems",
)  # fmt: skip
_FONT: Final = re.compile(r'url\("(fonts/[\w.-]+\.woff2)"\)')


@dataclass(frozen=True, slots=True)
class CarriedRecipe:
    """A recipe in the file: its versions, the one shown, and whether there are steps to work by.

    Attributes:
        versions: All of them.
        row: The one shown.
        at_bench: Whether its bench view is in the file.
        pinned: Whether it is shown because this very version is named, and not for being in use.
    """

    versions: Versions
    row: Version
    at_bench: bool
    pinned: bool = False

    @property
    def place(self) -> str:
        """The name of its part in the file."""
        return f"recipe/{self.versions.address}{f'@{self.row.number}' if self.pinned else ''}"

    @property
    def bench_place(self) -> str:
        """The name of its bench view in the file."""
        return f"bench/{self.versions.address}@{self.row.number}"

    def page(self, view: View, linked: LinksOf) -> Page:
        """Its page: that of the version where it is pinned, else the recipe's own."""
        page = version_page_at(view, self.versions.address, self.row.number, linked) if self.pinned else None
        return page or recipe_page(view, self.versions.address, linked)


FRONT: Final = "recipes"
"""The part that is shown first: the list of recipes, or what stands in its place."""


def one_file(view: View, asked: Sequence[str] = ()) -> str:
    """The text of the file.

    Args:
        view: The edition; nothing else is in the file.
        asked: The recipes wanted, by address or by a name only one has; all in use unless given.

    Raises:
        RefusedError: ``unknown-recipe``; where its file cannot be read, the file's own notices.
    """
    return assembled(view, view.settings.title, [_recipe(view, address) for address in chosen(view, asked)])


def assembled(
    view: View,
    title: str,
    recipes: Sequence[CarriedRecipe],
    front: Callable[[LinksOf], Page] | None = None,
    at: Sequence[str] = (),
) -> str:
    """The text of a file of these recipes.

    Args:
        view: The edition; nothing else is in the file.
        title: What the file is called.
        recipes: The recipes, in their order.
        front: The page that stands in place of the list of recipes, where one does.
        at: The addresses of the site that lead to it.
    """
    linked: LinksOf = partial(CarriedLinks, parts=_parts(recipes) | dict.fromkeys(at, FRONT))
    pages = [
        (
            each,
            each.page(view, linked),
            bench_view(view, each.versions.address, each.row, linked) if each.at_bench else None,
        )
        for each in recipes
    ]
    styles = [
        ("", "", looks("mothermold") + looks("hurt") + _text(_HERE / "one-file.css") + looks("bench")),
        ("dark", "screen and (prefers-color-scheme: dark)", looks("dark")),
        ("glare", "screen and (prefers-contrast: more) and (prefers-color-scheme: light)", looks("glare")),
    ]
    head = [_text(_HERE / "scripted.js"), _text(ASSETS / "light.js")]
    scripts = [
        units_script(),
        bench_book(view, {each.versions.address for each in recipes}),
        *(_text(ASSETS / f"{name}.js") for name in _SCRIPTS),
    ]
    scripts += [hurt_script(view), _text(ASSETS / "hurt.js"), _text(_HERE / "one-file.js")]
    for text in (*(style for _, _, style in styles), *head, *scripts):
        _refuse_end(text)
    return render(
        view,
        "one_file.html",
        HOME,
        title,
        mark=MARK,
        policy=policy([text for _, _, text in styles], [*head, *scripts]),
        icon=base64.b64encode((ASSETS / "icon.svg").read_bytes()).decode(),
        styles=styles,
        head=head,
        scripts=scripts,
        day=view.day.isoformat() if view.day else "",
        first_aid=hurt_page(view, linked).body,
        glossary=guide_page(view, CHAPTER, linked),
        front=front(linked) if front is not None else None,
        stages=[
            (stage, list(group))
            for stage, group in groupby(pages, key=lambda each: each[0].versions.address.split("/")[0])
        ],
    ).body


def chosen(view: View, asked: Sequence[str]) -> list[str]:
    """The addresses of the recipes that go into the file: those asked for, else all in use; in the order of the work.

    Raises:
        RefusedError: ``unknown-recipe``; where its file cannot be read, the file's own notices.
    """
    if asked:
        found = {find_versions(view, each).address for each in asked}
    else:
        found = {each for each in view.recipes if (versions := view.versions(each)) and versions.current is not None}
    order = {stage: place for place, stage in enumerate(view.words.stages)}
    return sorted(found, key=lambda address: (order.get(address.split("/")[0], len(order)), address))


def _recipe(view: View, address: str) -> CarriedRecipe:
    versions = view.versions(address)
    assert versions is not None
    row = versions.current or versions.rows[-1]
    return CarriedRecipe(versions, row, is_at_bench(view, versions, row))


def _parts(recipes: Iterable[CarriedRecipe]) -> dict[str, str]:
    """The name of its part for each address of the site the file can show."""
    found = {HOME: FRONT, HUBS["recipe"][0]: FRONT, HURT[0]: "hurt", chapter_page(CHAPTER): "words"}
    for each in recipes:
        address, number = each.versions.address, each.row.number
        found |= {page_of("recipe", address): each.place, version_page(address, number): each.place}
        if each.at_bench:
            found[bench_page(address, number)] = each.bench_place
    return found


def _text(path: Path) -> str:
    return path.read_text(encoding="utf-8")


def looks(name: str) -> str:
    """One of the book's looks, its fonts within."""
    return _FONT.sub(
        lambda match: f"url(data:font/woff2;base64,{base64.b64encode((ASSETS / match[1]).read_bytes()).decode()})",
        _text(ASSETS / f"{name}.css"),
    )


def _refuse_end(text: str) -> None:
    """A script or a look must not end its own element.

    Raises:
        ValueError: It would; a fault of ours.
    """
    if re.search(r"(?i)</(script|style)|<!--", text):
        raise ValueError("a script or a look would end its own element")


def policy(styles: Iterable[str], scripts: Iterable[str]) -> str:
    """What may run and be seen in a file: these looks and scripts, and pictures and typefaces that lie in it."""
    allowed = _digests(scripts) or "'none'"
    return (
        f"default-src 'none'; script-src {allowed}; style-src {_digests(styles)}; "
        "img-src data:; font-src data:; base-uri 'none'; form-action 'none'"
    )


def _digests(texts: Iterable[str]) -> str:
    return " ".join(f"'sha256-{base64.b64encode(hashlib.sha256(each.encode()).digest()).decode()}'" for each in texts)
