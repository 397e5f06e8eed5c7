"""Words in a picture fit the room they were given, in the very typeface of the book."""

from __future__ import annotations

import base64
import random
from pathlib import Path
from typing import Final

from playwright.sync_api import Browser

from mothermold.pages.drawn.lettering import lines, shortened, width

FONT: Final = (
    Path(__file__).resolve().parents[3] / "tools/mothermold/publish/theme/assets/fonts/atkinson-hyperlegible-next.woff2"
)
MEASURE: Final = """async (texts) => {
  await document.fonts.load("600 100px Measured");
  const pen = document.createElement("canvas").getContext("2d");
  return [400, 500, 600].map((weight) => {
    pen.font = weight + " 100px Measured";
    return texts.map((text) => pen.measureText(text).width);
  }); }"""


def test_no_letter_is_wider_than_reckoned_at_any_weight_that_is_used(chromium: Browser) -> None:
    texts = (
        [chr(number) for number in range(32, 127)]
        + list("äöüßéèçñ…–—‘’“”·°×ø½²→")
        + ["face mold, v12", "Grüße à la carte"]
    )
    font = base64.b64encode(FONT.read_bytes()).decode()
    page = chromium.new_page()
    page.set_content(
        f"<style>@font-face {{ font-family: Measured; font-weight: 200 800; src: url(data:font/woff2;base64,{font}) }}</style>"
    )
    measured = page.evaluate(MEASURE, texts)
    page.close()
    for widths in measured:
        too_wide = [
            (text, told, width(text, 100))
            for text, told in zip(texts, widths, strict=True)
            if told > width(text, 100) + 0.6
        ]
        assert too_wide == []
    # And not so much wider that half of the room stays empty.
    assert all(width(text, 100) < told * 1.3 + 15 for text, told in zip(texts[:95], measured[0], strict=False))


def test_lines_hold_every_word_in_order_and_none_is_too_wide() -> None:
    chance = random.Random(7)
    words = [
        "a",
        "face",
        "mold",
        "two-part",
        "gypsum",
        "über",
        "Donaudampfschifffahrtsgesellschaft",
        "and/or",
        "flange",
        "v12",
        "ii",
        "WWW",
    ]
    for _ in range(500):
        text = " ".join(chance.choices(words, k=chance.randint(1, 12)))
        room, most = chance.uniform(40, 200), chance.randint(1, 4)
        found = lines(text, 12.5, room, most)
        assert 1 <= len(found) <= most
        assert all(width(line, 12.5) <= room for line in found)
        shown = "".join(found).replace(" ", "")
        plain = text.replace(" ", "")
        assert shown == plain or (shown.endswith("…") and plain.startswith(shown[:-1]))


def test_what_fits_stays_whole_and_what_does_not_ends_in_dots() -> None:
    assert lines("face mold", 12, 200, 3) == ("face mold",)
    assert lines("face mold", 12, 40, 2) == ("face", "mold")
    assert lines("Two-part mold", 12, 60, 2) == ("Two-part", "mold")
    assert shortened("face mold", 12, 40) == "face…"
    assert lines("", 12, 40, 2) == ()
