"""Whether one text of a document only adds to another: every statement of the first stands in the second."""

from __future__ import annotations

from mothermold.book.tree import Raw


def first_difference(old: Raw, new: Raw, where: str = "") -> str | None:
    """The first statement of the one that the other does not make, in a sentence; None where it makes all of them.

    Args:
        old: What is said in one text.
        new: What is said in the other, which may say more: further keys, further entries at the end of a list.
        where: The place both stand at.
    """
    if isinstance(old, dict) and isinstance(new, dict):
        for key, value in old.items():
            here = f"{where}, {_words(key)}" if where else f"{_words(key)}"
            if key not in new:
                return f"It says {here}, the file does not."
            if (found := first_difference(value, new[key], here)) is not None:
                return found
        return None
    if isinstance(old, list) and isinstance(new, list):
        if len(new) < len(old):
            return f"Of {where} it has {len(old)}, the file {len(new)}."
        for place, (one, other) in enumerate(zip(old, new, strict=False), start=1):
            if (found := first_difference(one, other, f"{where} {place}")) is not None:
                return found
        return None
    return None if old == new else f"At {where} it says `{old}`, the file `{new}`."


def _words(key: object) -> str:
    return str(key).replace("_", " ")
