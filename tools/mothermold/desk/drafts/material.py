"""What is asked for a material."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from mothermold.desk.drafts.likely import doubt
from mothermold.desk.drafts.questions import NAME, far_from, names_of
from mothermold.desk.matching import plain_name
from mothermold.desk.question import Ask, Doubt, Node, Said, Tell, fits
from mothermold.quantities import QuantityError, parse


def _no_family(typed: str, said: Said) -> Doubt | None:
    name = plain_name(typed)
    if name in names_of(said.shop.families()):
        return None
    missed = f"  No family is called `{name}`, so no cautions and no rules would apply to it."
    return Doubt(f"{missed}\nAdd `{name}` as a family of your own?")


def _no_pack(size: str, _said: Said) -> str:
    # What else a pack may hold is for the file: here it would be a list of nine.
    try:
        parse(size, ("mass", "volume", "pieces"))
    except QuantityError:
        if fits("material", "packs", 0, "size")(size):
            return f"`{size}` is not the size of a pack. Type a weight, like 1 kg; a volume, like 500 ml; or 6 pieces."
    return ""


def _price(said: Said) -> str:
    currency = said.shop.view.settings.currency
    return f"Its price{f', in {currency} as book.yaml says' if currency else ''} (like 24.50)"


def _plain(chosen: Sequence[str], _said: Said) -> tuple[str, ...]:
    return tuple(dict.fromkeys(map(plain_name, chosen)))


QUESTIONS: Final[tuple[Node, ...]] = (
    Ask("title", "What it is, without a brand (like Platinum gel silicone, part A)", needed=True),
    NAME,
    Tell("Its families decide what it goes with and which cautions apply; a few letters find one."),
    Ask(
        "families", "Which family", "several", lambda said: said.shop.families(), own=True,
        needed="One is needed; `?` lists them all.", read=_plain, doubt=_no_family,
    ),
    Ask("density", "Density (like 1.06 g/ml)", unit="g/ml", doubt=far_from(doubt("density"))),
    Ask("packs.0.size", "What a pack holds, by weight, volume or count (like 1 kg, 500 ml, 6 pieces)", refuse=_no_pack),
    Ask("packs.0.price", _price, when="packs.0.size"),
    Ask("lots.0.lot", "The lot number on the label, as it is printed there"),
    Ask("lots.0.got", "When it came (like 2026-02-03)", when="lots.0.lot"),
    Ask("lots.0.opened", "When it was opened", when="lots.0.lot"),
    Ask("lots.0.use_by", "Use by", when="lots.0.lot"),
    Ask("sds.where", "Where the maker's safety data sheet is kept (like binder 2)"),
)  # fmt: skip
