"""Reads the text of a usual document: what it says, and nothing of where it stands, which costs four times as much.

Nothing is judged here. Whatever may deserve a word, or may be read otherwise than it looks, is left to `book.tree`.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import lru_cache
from sys import intern
from typing import Any, Final

import yaml
from yaml import MappingEndEvent, MappingStartEvent, ScalarEvent, SequenceEndEvent, SequenceStartEvent, StreamEndEvent

from mothermold.book.plain import Plain, find_swallowed

LOADER: Final[Any] = getattr(yaml, "CSafeLoader", yaml.SafeLoader)

# No document of the house is half as deep.
_DEEP: Final = 16

# A `#` that may cut a text off, and a sign that may be read as something else than text. Both patterns begin with the sign
# and look back from there: so they run through a text that has none at the speed of memory.
_CUT: Final = re.compile(r"#(?:(?<=[^ \n] #)|(?<=  #)(?=[^ \n]))")
_MARKED: Final = re.compile(r"[&!](?<![\w.)!].)(?!(?<=&)\s)")


class _UnusualError(Exception):
    """Something here is for the reader that judges."""


def read_quickly(text: str) -> dict[str, Any] | None:
    """What a usual document says, where no value is empty; None where anything in it is unusual.

    Args:
        text: A text as `decode` gives it, in which `find_character_faults` finds nothing: only a line end counts as one.
    """
    if _CUT.search(text) or (("&" in text or "!" in text) and _MARKED.search(text)):
        return None
    loader = LOADER(text)
    following = loader.get_event
    try:
        following()  # stream start
        following()  # document start
        said = _value(following(), following, text, 0)
        following()  # document end
        return said if type(said) is dict and type(following()) is StreamEndEvent else None
    except (_UnusualError, yaml.YAMLError):
        return None
    finally:
        loader.dispose()


# Equal texts are one text, however many versions say them.
def _value(event: Any, following: Callable[[], Any], text: str, depth: int) -> Any:
    kind = type(event)
    if kind is ScalarEvent:
        said = event.value
        if not event.style:
            odd = event.start_mark.line != event.end_mark.line or said[-1:] in ("]", "}", "") or said[0] == "-"
            if odd and (not said or _swallows(event, text)):
                raise _UnusualError
        return intern(said)
    if depth > _DEEP:
        raise _UnusualError
    if kind is MappingStartEvent:
        group: dict[str, Any] = {}
        while type(event := following()) is ScalarEvent:
            key = intern(event.value)
            if key in group:
                raise _UnusualError
            group[key] = _value(following(), following, text, depth + 1)
        if type(event) is not MappingEndEvent or "<<" in group:
            raise _UnusualError
        return group
    if kind is SequenceStartEvent:
        entries: list[Any] = []
        while type(event := following()) is not SequenceEndEvent:
            entries.append(_value(event, following, text, depth + 1))
        return entries
    raise _UnusualError


def _swallows(event: Any, text: str) -> bool:
    """Whether a text without quotes would be told to have swallowed a line; in brackets none is, and it is asked all the same."""
    start, end = event.start_mark, event.end_mark
    plain = Plain(_lines(text), event.value, start.line, start.column, end.line, end.column, in_brackets=False)
    return find_swallowed(plain) is not None


@lru_cache(maxsize=1)
def _lines(text: str) -> list[str]:
    return text.split("\n")
