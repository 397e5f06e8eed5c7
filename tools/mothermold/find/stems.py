"""What a word is for a search: small letters, no accents, without the endings of many, of the past and of doing.

The script ``find.js`` does the same to a query; a test holds the two together.
"""

from __future__ import annotations

import re
import unicodedata
from functools import lru_cache
from typing import Final

_WORD: Final = re.compile(r"[^\W_]+")
_APOSTROPHES: Final = re.compile(r"['’`]")
_VOWEL: Final = re.compile(r"[aeiouy]")
_LABEL: Final = re.compile(r"(^|[^\w-])([a-z]{1,3})-([0-9]{1,4}[a-z]?)(?![\w-])")
"""A label of a piece or lot: short letters, a hyphen, a number."""
_MANY: Final = (("sses", "ss"), ("ies", "y"), ("ied", "y"), ("ches", "ch"), ("shes", "sh"), ("xes", "x"))
_ONE: Final = ("ss", "us", "is")
_DONE: Final = ("ing", "ed")
_STAY_DOUBLE: Final = "lsz"
_BRITISH: Final = re.compile(r"(?<=.{4})is(?=er$|$)")
"""``vulcanised`` and ``vulcanizer`` are read with a z, ``raised`` and ``basis`` as they are."""
_TWO_L: Final = re.compile(r"[aeiouy].*ell$")
"""``modelled`` and ``travelling`` have one l in the verb; ``smelled`` and ``pulling`` keep both."""


def folded(text: str) -> str:
    """Small letters without accents."""
    if text.isascii():
        return text.lower()
    plain = unicodedata.normalize("NFKD", text).lower()
    # Once more: what was made small may still be put together.
    bare = "".join(each for each in unicodedata.normalize("NFKD", plain) if unicodedata.category(each) != "Mn")
    return bare.replace("ß", "ss").replace("ς", "σ")


def tokens(text: str) -> list[str]:
    """The words of a text, folded; ``won't`` is one word, ``two-part`` two, and a label as ``F-04`` one: ``f04``."""
    return _WORD.findall(_LABEL.sub(r"\1\2\3", _APOSTROPHES.sub("", folded(text))))


@lru_cache(maxsize=1 << 16)
def stem(word: str) -> str:
    """A folded word without its ending: ``cracked``, ``cracks`` and ``cracking`` are all ``crack``."""
    whole = word
    for ending, put in _MANY:
        if word.endswith(ending) and len(word) > len(ending) + 1:
            word = word[: -len(ending)] + put
            break
    else:
        if len(word) > 3 and word.endswith("s") and not word.endswith(_ONE):
            word = word[:-1]
    for ending in _DONE:
        rest = word[: -len(ending)]
        # What ends in `eed` is no past: bleed, feed, need.
        if (
            word.endswith(ending)
            and len(rest) >= 3
            and _VOWEL.search(rest)
            and not (ending == "ed" and rest[-1] == "e")
        ):
            double = rest[-1] == rest[-2] and rest[-1] not in _STAY_DOUBLE
            word = rest[:-1] if double or _TWO_L.search(rest) else rest
            break
    bare = word[:-1] if len(word) > 3 and word.endswith("e") else word
    return _BRITISH.sub("iz", bare) if bare != whole or bare.endswith("iser") else bare
