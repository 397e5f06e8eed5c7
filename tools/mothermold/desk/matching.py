"""Which of a list's offers somebody meant, and how sure that is, from what was typed."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from mothermold.desk.asking import Offer
from mothermold.find.stems import folded
from mothermold.ground.words import nearest
from mothermold.model.names import mended_name

# Fewer letters than this may be a slip of the finger, and count only where a word begins.
_ENOUGH: Final = 3
_LIKE: Final = 0.75
_WORD: Final = re.compile(r"[^\W_]+")
# Letters that no accent comes off of.
_OTHERWISE: Final = str.maketrans({"ø": "o", "æ": "ae", "œ": "oe", "ł": "l", "đ": "d"})


@dataclass(frozen=True, slots=True)
class Sought:
    """What was found for an answer.

    Attributes:
        offers: All that may be meant, in the order of the list.
        guess: The one that is probably meant; None where several may be, or none is.
        typed: Whether it was named in full or by its number.
        sure: Whether it need not be asked about where nothing but the offers can be answered.
    """

    offers: tuple[Offer, ...] = ()
    guess: Offer | None = None
    typed: bool = False
    sure: bool = False


def plain_name(text: str) -> str:
    """The name that is nearest to some words; letters lose their accents."""
    return mended_name(folded(text).translate(_OTHERWISE))


def sought(answer: str, offers: Sequence[Offer], in_sight: Sequence[Offer]) -> Sought:
    """Looks for what an answer means.

    A name or a title in full wins; then a number counts in the list that is in sight; then the answer's words are looked for
    anywhere in names and titles. The beginnings of words, of three letters or more, are sure where they fit one only.
    """
    for is_same in (_is_value, _is_name, _is_title):
        if named := [offer for offer in offers if is_same(answer, offer)]:
            return Sought(tuple(named), named[0] if len(named) == 1 else None, typed=True, sure=True)
    if re.fullmatch(r"[0-9]{1,4}", answer) and 1 <= int(answer) <= len(in_sight):
        offer = in_sight[int(answer) - 1]
        return Sought((offer,), offer, typed=True, sure=True)
    words = _WORD.findall(folded(answer))
    held = [offer for offer in offers if words and all(_holds(word, offer) for word in words)]
    begun = [offer for offer in held if all(_begins(word, offer) for word in words)]
    if len(held) == 1:
        return Sought((held[0],), held[0], sure=bool(begun) and max(map(len, words)) >= _ENOUGH)
    heads = [offer for offer in held if offer.value.startswith(answer.casefold())]
    likely = next((some[0] for some in (begun, heads) if len(some) == 1), None)
    return Sought(tuple(held), likely)


def alike(answer: str, offers: Sequence[Offer]) -> tuple[Offer, ...]:
    """The offers a slip of the finger may have missed: by the whole name, else by a word of it."""
    if not re.search(r"[^\W\d_]", answer):
        return ()
    name = plain_name(answer)
    names = {offer: [plain_name(text) for text in (offer.value, _title(offer)) if text] for offer in offers}
    # Part A is never a slip for part B.
    names = {offer: own for offer, own in names.items() if not any(_differ_by_a_letter(name, each) for each in own)}
    known = {each: offer for offer, own in reversed(names.items()) for each in own}
    if whole := nearest(name, known, cutoff=_LIKE):
        return (known[whole],)
    if len(answer.split()) > 1:
        return ()
    return tuple(offer for offer in names if nearest(name, _WORD.findall(_told(offer)), cutoff=_LIKE))


def _differ_by_a_letter(name: str, other: str) -> bool:
    """Whether two names are told apart by single letters that are words of their own."""
    pairs = [(a, b) for a, b in zip(name.split("-"), other.split("-"), strict=False) if a != b]
    return name.count("-") == other.count("-") and bool(pairs) and all(len(a) == len(b) == 1 for a, b in pairs)


def _is_value(answer: str, offer: Offer) -> bool:
    return answer.casefold() == offer.value.casefold()


def _is_name(answer: str, offer: Offer) -> bool:
    address, _, number = offer.value.partition("@")
    typed, _, wanted = answer.partition("@")
    name = "/".join(plain_name(piece) for piece in typed.split("/"))
    return bool(_WORD.search(typed)) and wanted in ("", number) and name in (address, address.rpartition("/")[2])


def _is_title(answer: str, offer: Offer) -> bool:
    return answer.casefold() in (offer.words.casefold(), _title(offer).casefold())


def _title(offer: Offer) -> str:
    # Behind a title stands what state the thing is in.
    return offer.words.rpartition(";")[0] or offer.words


def _told(offer: Offer) -> str:
    return folded(f"{offer.value} {offer.words}")


def _holds(word: str, offer: Offer) -> bool:
    return word in _told(offer) if len(word) >= _ENOUGH else _begins(word, offer)


def _begins(word: str, offer: Offer) -> bool:
    return any(each.startswith(word) for each in _WORD.findall(_told(offer)))
