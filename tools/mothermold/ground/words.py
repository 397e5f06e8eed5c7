"""Finding the word that was probably meant, and naming several."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable, Sequence
from typing import Final

# From this length on a sentence is looked at; what is longer between backticks is cut, and then the whole.
_LONG: Final = 300
_KEPT: Final = 60
_LONGEST: Final = 900
_QUOTED: Final = re.compile(r"`([^`]{120,})`")
# No word of the trade is longer; comparing letter by letter takes the square of the length.
_LONGEST_WORD: Final = 100


def shorter(text: str) -> str:
    """A sentence in which what somebody typed is cut to its beginning where it is long."""
    if len(text) <= _LONG:
        return text
    cut = _QUOTED.sub(lambda match: f"`{match[1][:_KEPT]}...`", text)
    return cut if len(cut) <= _LONGEST else f"{cut[:_LONGEST]}..."


def nearest(word: str, known: Iterable[str], *, cutoff: float = 0.6) -> str | None:
    """The known word most like the one typed, the first of equals; None where none is near.

    Capitals never count, and a hyphen is as good as an underscore.
    """
    if len(word) > _LONGEST_WORD:
        return None
    plain = word.casefold().replace("_", "-")
    best, best_ratio = None, cutoff
    for candidate in known:
        if _are_siblings(plain, candidate.casefold()):
            continue
        ratio = difflib.SequenceMatcher(None, candidate.casefold().replace("_", "-"), plain).ratio()
        if ratio > best_ratio or (best is None and ratio == best_ratio):
            best, best_ratio = candidate, ratio
    return best


def _are_siblings(word: str, candidate: str) -> bool:
    """Whether two names are told apart by their last letter or number alone: part A is never meant for part B."""
    (stem, _, last), (other, _, end) = word.rpartition("-"), candidate.rpartition("-")
    return bool(stem) and stem == other and last != end and max(len(last), len(end)) <= 2


def offer(name: str, known: Iterable[str], otherwise: str = "") -> str:
    """The advice for a name nothing answers to: the near one, else ``otherwise``, else what there is."""
    listed = list(known)
    kin = [word for word in listed if name.casefold() in word.split("-")]
    if len(kin) > 1:
        return f"Did you mean one of {', '.join(f'`{word}`' for word in kin[:6])}?"
    hit = kin[0] if kin else nearest(name, listed)
    if hit:
        return f"Did you mean `{hit}`?"
    if otherwise:
        return otherwise
    if not listed:
        return "There is nothing to name yet; delete it."
    return f"Type one of {', '.join(f'`{word}`' for word in listed[:12])}."


def in_words(names: Sequence[str], word: str = "and") -> str:
    """Names between backticks, each once, the last after ``and``."""
    quoted = [f"`{name}`" for name in dict.fromkeys(names)]
    return f"{', '.join(quoted[:-1])} {word} {quoted[-1]}" if len(quoted) > 1 else quoted[0]
