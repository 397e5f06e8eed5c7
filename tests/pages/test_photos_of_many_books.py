"""Books made at random, three hundred in the campaign, with a photo in every place: no edition lays down or points at a hidden one."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Final

import pytest

from book.photos import jpeg, patches
from campaigns.seeds import seeds
from mothermold.book.files import PHOTOS
from mothermold.pages.all_pages import all_pages
from mothermold.pages.pictures import picture_addresses, picture_file
from mothermold.view.pictured import pictured
from view.books import make_book
from view.reading import open_editions

NAME: Final = re.compile(r"zq-[\w-]+picture\d+\.jpg")
SHOWN: Final = re.compile(r'(?:src|href|srcset)="[^"]*?photos/(zq-[\w-]+?)-(?:480|1200)\.jpg')
HIDDEN: Final = {
    "private": re.compile(r"(?!)"),
    "class": re.compile(r"zq-?private[\w-]*"),
    "public": re.compile(r"zq-?(?:private|class)[\w-]*"),
}


@pytest.mark.parametrize("seed", seeds(1, 30))
def test_an_edition_lays_down_and_points_at_the_photos_it_may_show_and_at_no_other(
    seed: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    book = make_book(seed, fullness=0.7)
    folder = tmp_path / "a-book" / PHOTOS
    folder.mkdir(parents=True)
    texts = [*book.files.values(), *(text for commit in book.commits for text in commit.files.values() if text)]
    small = jpeg(patches(60, 40))
    for name in {name for text in texts for name in NAME.findall(text)}:
        (folder / name).write_bytes(small)
    laid: dict[str, set[str]] = {}
    for edition, view in open_editions(book).items():
        laid[edition] = {address for address in picture_addresses(view) if picture_file(view, address) is not None}
        assert [name for name in laid[edition] if HIDDEN[edition].search(name)] == []
        assert laid[edition] == {f"photos/{name[:-4]}-480.jpg" for name in pictured(view) if NAME.fullmatch(name)}
        pages = list(all_pages(view))
        pointed = {f"photos/{name}-480.jpg" for page in pages for name in SHOWN.findall(page.body)}
        assert pointed <= laid[edition]
        assert [leak[0] for page in pages if (leak := HIDDEN[edition].search(page.body))] == []
        if edition == "private":
            assert pointed
    assert laid["public"] <= laid["class"] <= laid["private"]
