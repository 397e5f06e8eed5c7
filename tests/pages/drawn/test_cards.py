"""What a card says stands inside it, whatever it says."""

from __future__ import annotations

import random
from itertools import pairwise

from mothermold.pages.content import Lead
from mothermold.pages.drawn.cards import TEXT, TITLE, CardLine, CardPart, CardPicture, DrawnCard, set_card
from mothermold.pages.drawn.lettering import width

SHAPE = "M-6.5 0H6.5"


def test_every_word_stands_inside_its_card_and_no_line_on_another() -> None:
    chance = random.Random(3)
    words = ["face", "mold", "two-part", "cheeks", "Donaudampfschifffahrtsgesellschaft", "v12", "ii", "WWW"]
    for _ in range(300):
        said = tuple(
            CardLine(
                " ".join(chance.choices(words, k=chance.randint(1, 9))),
                "",
                chance.randint(1, 3),
                chance.choice(("", SHAPE)),
            )
            for _ in range(chance.randint(0, 3))
        )
        feet = tuple(CardPart(Lead("mold", "m"), (each,)) for each in said[:2])
        wide = chance.choice((100.0, 140.0, 228.0))
        card = set_card(DrawnCard("a", 0, "face mold" * chance.randint(1, 4), None, said, feet), wide)
        ends = 0.0
        for part in card.parts:
            assert part.y == ends
            ends = part.y + part.tall
            baselines = [each.y for each in part.lines]
            assert all(after - before >= 14 for before, after in pairwise(baselines))
            for each in part.lines:
                size = TITLE if each.style == "title" else TEXT
                assert each.x > 0
                assert each.x + width(each.text, size) <= wide
                assert part.y + size * 0.7 < each.y < ends - size * 0.25
        assert ends == card.tall


def test_what_is_shortened_is_told_in_full() -> None:
    long = DrawnCard("a", 0, "face", None, (CardLine("Two-part face mold in gypsum cement, with keys", "recipe", 2),))
    (part,) = set_card(long, 106).parts
    assert part.lines[-1].text.endswith("…")
    assert part.whole == "face; Two-part face mold in gypsum cement, with keys"
    assert set_card(long, 400).parts[0].whole == ""
    assert set_card(DrawnCard("a", 0, "over-long and/or short"), 120).parts[0].whole == ""


def test_a_picture_stands_above_the_words_at_the_width_of_the_card() -> None:
    card = set_card(DrawnCard("a", 0, "face", picture=CardPicture("photos/a-480.jpg", 480, 360, "The face")), 120)
    assert card.picture_tall == 90
    assert card.parts[0].lines[0].y > 90
    low = set_card(card.card, 120, 50)
    assert low.picture_tall == 50
    assert low.tall == card.tall - 40


def test_what_hangs_below_has_room_for_a_finger() -> None:
    card = set_card(DrawnCard("a", 0, "face", feet=(CardPart(Lead("mold", "m"), (CardLine("M"),)),)), 120)
    assert card.parts[1].tall >= 24
