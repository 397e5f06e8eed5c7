"""Families as one says them aloud."""

from __future__ import annotations

import pytest

from mothermold.trade.vocabulary import family_words


@pytest.mark.parametrize(
    ("family", "words"),
    [
        ("clay-sulfur-free", "sulfur-free clay"),
        ("adhesive-acrylic", "acrylic adhesive"),
        ("adhesive-spirit-gum", "spirit gum"),
        ("platinum-silicone", "platinum silicone"),
        ("natural-latex", "natural latex"),
        ("water", "water"),
        ("paint", "paint"),
    ],
)
def test_what_it_is_comes_last_and_its_dashes_go(family: str, words: str) -> None:
    assert family_words(family) == words
