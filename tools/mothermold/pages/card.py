"""A card of a build to send around: its title, one sentence and its picture, as one JPEG, drawn here and by no service."""

from __future__ import annotations

import io
from collections.abc import Iterator
from pathlib import Path
from typing import Final

from PIL import Image, ImageDraw, ImageFont, ImageOps

from mothermold.model.build import Build
from mothermold.pages.addresses import card_page
from mothermold.pages.build_cards import first_photo
from mothermold.view.showing import ShownPhoto
from mothermold.view.view import View

_SIZE: Final = (1200, 630)
"""What most places that show such a card cut it to (common practice, no source)."""
_EDGE: Final = 56
_PICTURE: Final = 470
_FONTS: Final = Path(__file__).parents[1] / "handouts" / "fonts"
_PAPER, _INK, _QUIET, _SHELL = "#f1f3ef", "#182124", "#4a5658", "#1d464a"
_LINES: Final = (3, 6)
"""How many lines of the title and of the sentence."""


def card_addresses(view: View) -> list[str]:
    """Where the cards of an edition lie in the site: one for each build that can be read."""
    return [card_page(name) for name, each in view.on("build").items() if each.model is not None]


def card_file(view: View, address: str) -> bytes | None:
    """The card at an address of the site; None where the edition has none there."""
    name = Path(address).stem
    build = view.models(Build).get(name)
    return _drawn(view, build) if build is not None and address == card_page(name) else None


def _drawn(view: View, build: Build) -> bytes:
    card = Image.new("RGB", _SIZE, _PAPER)
    pen = ImageDraw.Draw(card)
    pen.rectangle((0, 0, _SIZE[0], 14), fill=_SHELL)
    photo, left = _photo(view, build), _EDGE
    if photo is not None:
        card.paste(ImageOps.fit(photo, (_PICTURE, _SIZE[1] - 14), centering=(0.5, 0.4)), (0, 14))
        left += _PICTURE
    wide, top = _SIZE[0] - left - _EDGE, 84
    for text, font, color, most in (
        (build.title, _font("besley-600", 58), _INK, _LINES[0]),
        (build.brief or "", _font("atkinson-hyperlegible-next-400", 30), _QUIET, _LINES[1]),
    ):
        for line in _broken(text, font, wide, most):
            pen.text((left, top), line, font=font, fill=color)
            top += round(font.size * 1.32)
        top += 22
    foot = _font("atkinson-hyperlegible-next-700", 24)
    pen.text((left, _SIZE[1] - 66), next(_broken(view.settings.title, foot, wide, 1)), font=foot, fill=_SHELL)
    made = io.BytesIO()
    card.save(made, "JPEG", quality=88)
    return made.getvalue()


def _photo(view: View, build: Build) -> Image.Image | None:
    """The picture the write-up begins with, where it is a photo the edition may show."""
    first = first_photo(view, build.photos)
    shown = view.picture(first.file) if first is not None else None
    data = shown.data(max(shown.sizes)) if isinstance(shown, ShownPhoto) else None
    return Image.open(io.BytesIO(data)).convert("RGB") if data is not None else None


def _font(name: str, size: int) -> ImageFont.FreeTypeFont:
    return ImageFont.truetype(str(_FONTS / f"{name}.ttf"), size, layout_engine=ImageFont.Layout.BASIC)


def _broken(text: str, font: ImageFont.FreeTypeFont, wide: int, most: int) -> Iterator[str]:
    """A text in lines of a width; what has no room is cut with three dots."""
    lines = [""]
    for word in (part for each in text.split() for part in _parts(each, font, wide)):
        longer = f"{lines[-1]} {word}".strip()
        if font.getlength(longer) <= wide or not lines[-1]:
            lines[-1] = longer
        else:
            lines.append(word)
    if len(lines) > most:
        last = lines[most - 1]
        while last and font.getlength(f"{last} …") > wide:
            last = last.rpartition(" ")[0]
        lines = [*lines[: most - 1], f"{last} …"]
    yield from lines


def _parts(word: str, font: ImageFont.FreeTypeFont, wide: int) -> Iterator[str]:
    """A word, in pieces where it has no room on a line."""
    while font.getlength(word) > wide:
        room = next(count for count in range(len(word), 0, -1) if font.getlength(word[:count]) <= wide)
        yield word[:room]
        word = word[room:]
    yield word
