"""The files of a site that are made of a view: its pages in their frames, its drawings and photos, and what the scripts read."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import partial
from typing import Final

from mothermold.ground.looking import saw
from mothermold.pages.all_pages import addresses, page_at
from mothermold.pages.bench import BOOK_FILE, bench_book
from mothermold.pages.card import card_addresses, card_file
from mothermold.pages.finder import FILE as FIND_FILE
from mothermold.pages.finder import LINES_FILE, find_index, find_lines
from mothermold.pages.hurt import FILE as HURT_FILE
from mothermold.pages.hurt import hurt_script
from mothermold.pages.page import Page
from mothermold.pages.pictures import picture_addresses, picture_file
from mothermold.pages.units import FILE as UNITS_FILE
from mothermold.pages.units import units_script
from mothermold.publish.frames import Frame
from mothermold.view.view import View

_READ_BY_SCRIPTS: Final[Mapping[str, Callable[[View], str]]] = {
    FIND_FILE: find_index,
    LINES_FILE: find_lines,
    HURT_FILE: hurt_script,
    BOOK_FILE: bench_book,
    UNITS_FILE: lambda _view: units_script(),
}


FRAME: Final = "frame"
"""The kind of the cells that are frames, by their depth; see ``ground.looking``."""

Make = Callable[[], bytes | None]
"""Makes a file; None where nothing can be shown."""


def made_files(view: View, frames: Sequence[Frame]) -> dict[str, Make]:
    """How every file is made, by its name in the site: together they are larger than the book.

    Args:
        view: The edition.
        frames: The frames, by depth of folders.
    """
    return {
        **{address: partial(_page, view, frames, address) for address in sorted(addresses(view))},
        **{name: partial(picture_file, view, name) for name in picture_addresses(view)},
        **{name: partial(card_file, view, name) for name in card_addresses(view)},
        **{name: partial(_script, view, name) for name in _READ_BY_SCRIPTS},
    }


def _page(
    view: View, frames: Sequence[Frame], address: str, dress: Callable[[Page], Page] | None = None
) -> bytes | None:
    page = page_at(view, address)
    if page is None:
        return None
    saw(f"{FRAME} {page.depth}")
    return frames[page.depth].hang(dress(page) if dress is not None else page).encode()


def _script(view: View, name: str) -> bytes:
    return _READ_BY_SCRIPTS[name](view).encode()


def made_file(
    view: View, frames: Sequence[Frame], name: str, dress: Callable[[Page], Page] | None = None
) -> bytes | None:
    """The file of a name alone; None where the edition has none that is made of it.

    Args:
        view: The edition.
        frames: The frames, by depth of folders.
        name: Where it lies in the site.
        dress: What is put around a page before it is hung.
    """
    if name in _READ_BY_SCRIPTS:
        return _script(view, name)
    if name.endswith(".html"):
        return _page(view, frames, name, dress)
    return card_file(view, name) if name.startswith("write-ups/") else picture_file(view, name)
