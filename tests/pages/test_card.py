"""A card to send around: drawn of what the edition holds, the same bytes each time, with nothing hidden in it."""

from __future__ import annotations

import io
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from campaigns.seeds import short
from mothermold.book.beside_pixels import told_beside
from mothermold.pages.card import card_addresses, card_file
from mothermold.view.editions import EDITIONS, Edition
from mothermold.view.view import open_view

FILE = "recipes/builds/saltpan-keeper/build.yaml"
CARD = "write-ups/saltpan-keeper.jpg"


def _card(book: Path, edition: Edition = "public") -> bytes:
    made = card_file(open_view(book, edition), CARD)
    assert made is not None
    return made


@pytest.mark.parametrize("edition", EDITIONS)
def test_every_build_of_an_edition_has_one(sample_book: Path, edition: Edition) -> None:
    view = open_view(sample_book, edition)
    cards = [card_file(view, address) for address in card_addresses(view)]
    assert len(cards) == len(view.on("build"))
    assert all(card is not None and Image.open(io.BytesIO(card)).size == (1200, 630) for card in cards)
    assert card_file(view, "write-ups/nobody.jpg") is None


def test_it_is_the_same_each_time_and_says_nothing_beside_its_picture(sample_book: Path) -> None:
    assert _card(sample_book) == _card(sample_book)
    assert not told_beside(_card(sample_book))


def test_a_face_that_may_not_be_seen_is_not_on_it(own_sample_book: Path) -> None:
    public = _card(own_sample_book)
    file = own_sample_book / FILE
    text = file.read_text(encoding="utf-8")
    file.write_text(text.replace("    face: yes\n    visibility: public\n", "    face: yes\n"), encoding="utf-8")
    assert _card(own_sample_book, "private") == public
    assert _is_paper(Image.open(io.BytesIO(_card(own_sample_book))).getpixel((200, 500)))


@pytest.mark.parametrize("title", short(["W" * 90, "one two " * 40, "\N{CJK UNIFIED IDEOGRAPH-4E00}" * 30, "a"], 2))
def test_any_title_fits_on_it(own_sample_book: Path, title: str) -> None:
    file = own_sample_book / FILE
    file.write_text(file.read_text("utf-8").replace("title: The Saltpan Keeper", f"title: {title}"), "utf-8")
    card = Image.open(io.BytesIO(_card(own_sample_book))).convert("RGB")
    # The edge on the right stays free of letters: what is too long is cut.
    assert all(_is_paper(card.getpixel((1190, y))) for y in range(90, 500))


def _is_paper(pixel: Any) -> bool:
    return all(abs(one - other) < 6 for one, other in zip(pixel, (241, 243, 239), strict=True))
