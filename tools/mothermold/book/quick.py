"""Reads the text of a usual document: what it says, and nothing of where it stands, which costs four times as much.

Nothing is judged here. Whatever may deserve a word, or may be read otherwise than it looks, is left to `book.tree`.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from sys import intern
from typing import Any, Final

import yaml
from yaml import MappingEndEvent, MappingStartEvent, ScalarEvent, SequenceEndEvent, SequenceStartEvent, StreamEndEvent

LOADER: Final[Any] = getattr(yaml, "CSafeLoader", yaml.SafeLoader)

# No document of the house is half as deep.
_DEEP: Final = 16

# A `#` that may cut a text off, and a sign that may be read as something else than text. Both patterns begin with the sign
# and look back from there: so they run through a text that has none at the speed of memory.
_CUT: Final = re.compile(r"#(?:(?<=[^ \n] #)|(?<=  #)(?=[^ \n]))")
_MARKED: Final = re.compile(r"[&*!](?<![\w.)!].)(?!(?<=[&*])\s)")


# In a text over several lines, without quotes: what may have been meant as an entry of a list.
_DASH: Final = re.compile(r"\s-(?!\S)")


class _UnusualError(Exception):
    """Something here is for the reader that judges."""


def read_quickly(text: str) -> dict[str, Any] | None:
    """What a usual document says, where no value is empty; None where anything in it is unusual.

    Args:
        text: A text as `decode` gives it, in which `find_character_faults` finds nothing: only a line end counts as one.
    """
    if _CUT.search(text) or (any(sign in text for sign in "&*!") and _MARKED.search(text)):
        return None
    loader = LOADER(text)
    following = loader.get_event
    try:
        following()  # stream start
        following()  # document start
        said = _value(following(), following, 0)
        following()  # document end
        return said if type(said) is dict and type(following()) is StreamEndEvent else None
    except (_UnusualError, yaml.YAMLError):
        return None
    finally:
        loader.dispose()


# Equal texts are one text, however many versions say them.
def _value(event: Any, following: Callable[[], Any], depth: int, in_list: bool = False) -> Any:
    kind = type(event)
    if kind is ScalarEvent:
        text = event.value
        if not event.style and (
            not text
            or text[-1] in "]}"
            or text[0] == "-"
            or (event.start_mark.line != event.end_mark.line and (in_list or _DASH.search(text)))
        ):
            raise _UnusualError
        return intern(text)
    if depth > _DEEP:
        raise _UnusualError
    if kind is MappingStartEvent:
        group: dict[str, Any] = {}
        while type(event := following()) is ScalarEvent:
            key = intern(event.value)
            if key in group:
                raise _UnusualError
            group[key] = _value(following(), following, depth + 1)
        if type(event) is not MappingEndEvent or "<<" in group:
            raise _UnusualError
        return group
    if kind is SequenceStartEvent:
        entries: list[Any] = []
        while type(event := following()) is not SequenceEndEvent:
            entries.append(_value(event, following, depth + 1, True))
        return entries
    raise _UnusualError
