"""One notice for one root cause, where several checks stumble over the same slip."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable
from typing import Final

from mothermold.ground.notices import Notice

_OFFERED: Final = re.compile(r"Did you mean `([^`]+)`")
_WORD: Final = re.compile(r"[\w./@#-]+")


def without_consequences(notices: Iterable[Notice]) -> list[Notice]:
    """The notices without those that only follow from another one of the same file.

    A name misspelled where it is introduced makes every right spelling of it look wrong: such a notice offers
    the misspelled word itself, and that word has a notice of its own.
    """
    listed = list(notices)
    faulty: dict[str | None, set[str]] = defaultdict(set)
    for notice in listed:
        if notice.code == "unknown-reference" and (word := _word_at(notice)):
            faulty[notice.file].add(word)
    return [notice for notice in listed if not _follows(notice, faulty.get(notice.file, set()))]


def _word_at(notice: Notice) -> str | None:
    match = _WORD.match(notice.excerpt, (notice.column or 1) - 1)
    return match[0] if match else None


def _follows(notice: Notice, faulty: set[str]) -> bool:
    offered = _OFFERED.search(notice.help)
    return offered is not None and notice.code != "unknown-reference" and offered[1].rsplit("/", 1)[-1] in faulty
