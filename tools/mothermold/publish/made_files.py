"""The files of a site that are made of a view: its pages in their frames, its drawings and photos, and what the scripts read."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Final

from mothermold.pages.all_pages import all_pages, page_at
from mothermold.pages.bench import BOOK_FILE, bench_book
from mothermold.pages.finder import FILE as FIND_FILE
from mothermold.pages.finder import LINES_FILE, find_index, find_lines
from mothermold.pages.hurt import FILE as HURT_FILE
from mothermold.pages.hurt import hurt_script
from mothermold.pages.page import Page
from mothermold.pages.pictures import picture_file, picture_files
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


def made_files(view: View, frames: Sequence[Frame]) -> Iterator[tuple[str, bytes]]:
    """Every file, one after the other: together they are larger than the book.

    Args:
        view: The edition.
        frames: The frames, by depth of folders.
    """
    for page in all_pages(view):
        yield page.address, frames[page.depth].hang(page).encode()
    yield from picture_files(view)
    for name, make in _READ_BY_SCRIPTS.items():
        yield name, make(view).encode()


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
        return _READ_BY_SCRIPTS[name](view).encode()
    if (page := page_at(view, name)) is not None:
        return frames[page.depth].hang(dress(page) if dress is not None else page).encode()
    return picture_file(view, name)
