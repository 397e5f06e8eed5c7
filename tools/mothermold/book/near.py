"""Whether one slip of the fingers turns one word into another."""

from __future__ import annotations


def is_one_slip(written: str, meant: str) -> bool:
    """Whether a letter was left out, added, replaced, or swapped with its neighbor."""
    if written == meant or abs(len(written) - len(meant)) > 1:
        return False
    start = 0
    while start < min(len(written), len(meant)) and written[start] == meant[start]:
        start += 1
    rest, wanted = written[start:], meant[start:]
    if len(rest) == len(wanted):
        return rest[1:] == wanted[1:] or (rest[:2] == wanted[1::-1] and rest[2:] == wanted[2:])
    return rest[1:] == wanted if len(rest) > len(wanted) else rest == wanted[1:]
