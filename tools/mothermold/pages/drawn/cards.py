"""A card of a picture: what it says, and where each word of it stands once it is known how wide the card is. Pure."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Final, NamedTuple

from mothermold.pages.content import Lead
from mothermold.pages.drawn.lettering import lines
from mothermold.pages.drawn.marks import ACROSS

TITLE: Final = 14.0
TEXT: Final = 12.5
"""The sizes of its letters; the style sheet says the same."""
_LINE: Final = 16.0
_PAD: Final = 8.0
_FINGER: Final = 28.0
"""How tall a place is at least that leads somewhere of its own."""


class CardPicture(NamedTuple):
    """A picture at the head of a card: its file in the book, how large it is, and what it shows."""

    file: str
    wide: int
    tall: int
    alt: str


@dataclass(frozen=True, slots=True)
class CardLine:
    """Something a card says: the words, on how many lines at most, and the outline of the shape before them."""

    text: str
    style: str = ""
    most: int = 2
    shape: str = ""


@dataclass(frozen=True, slots=True)
class CardPart:
    """What leads to one place: the card itself, or what hangs below it, such as a mold; what it says, and how it is drawn."""

    lead: Lead | None
    lines: tuple[CardLine, ...]
    style: str = ""


@dataclass(frozen=True, slots=True)
class DrawnCard:
    """A card.

    Attributes:
        name: What lines call it.
        stage: The number of its stage.
        title: What stands at its head.
        lead: Where it leads.
        lines: What it says.
        feet: What hangs below it.
        picture: The picture at its head.
        style: How it stands out.
    """

    name: str
    stage: int
    title: str
    lead: Lead | None = None
    lines: tuple[CardLine, ...] = ()
    feet: tuple[CardPart, ...] = ()
    picture: CardPicture | None = None
    style: str = ""


@dataclass(frozen=True, slots=True)
class SetLine:
    """A line of letters in its place: the middle of its shape is half a mark before it."""

    x: float
    y: float
    text: str
    style: str
    shape: str = ""


@dataclass(frozen=True, slots=True)
class SetPart:
    """A part of a card: from which height to which, where it leads, its lines, and its words in full where not all are shown."""

    y: float
    tall: float
    lead: Lead | None
    lines: tuple[SetLine, ...]
    whole: str
    style: str = ""


@dataclass(frozen=True, slots=True)
class SetCard:
    """A card whose words have their place, from its own left upper corner.

    Attributes:
        card: The card.
        tall: How tall it is.
        parts: What it says, then what hangs below.
        picture_tall: How tall its picture is.
    """

    card: DrawnCard
    tall: float
    parts: tuple[SetPart, ...] = field(default=())
    picture_tall: float = 0.0


def set_card(card: DrawnCard, wide: float, most: float = 1000.0) -> SetCard:
    """A card of a width; its picture is at most so tall, and cut above and below where it would be taller."""
    picture = round(min(most, wide * card.picture.tall / card.picture.wide), 1) if card.picture else 0.0
    own = CardPart(card.lead, (CardLine(card.title, "title"), *card.lines), card.style)
    parts = [_part(own, picture, wide, 0.0)]
    for foot in card.feet:
        top = parts[-1].y + parts[-1].tall
        parts.append(_part(foot, top, wide, _FINGER))
    return SetCard(card, parts[-1].y + parts[-1].tall, tuple(parts), picture)


def _part(part: CardPart, top: float, wide: float, least: float) -> SetPart:
    placed, y, cut = list[SetLine](), top + _PAD - 3.0, False
    for each in part.lines:
        size, x = TITLE if each.style == "title" else TEXT, _PAD + (ACROSS + 1 if each.shape else 0)
        broken = lines(each.text, size, wide - x - _PAD, each.most)
        cut = cut or "".join("".join(broken).split()) != "".join(each.text.split())
        for number, text in enumerate(broken):
            y += _LINE
            placed.append(SetLine(x, y - 4.0, text, each.style, each.shape if not number else ""))
    tall = max(least, y - top + _PAD - 2.0)
    return SetPart(
        top, tall, part.lead, tuple(placed), "; ".join(each.text for each in part.lines) if cut else "", part.style
    )
