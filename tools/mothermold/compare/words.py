"""Prose compared word by word."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Final

_AROUND: Final = 2
"""How many words stand before and behind what changed."""


def changed_words(before: Any, after: Any) -> list[tuple[str, str]]:
    """Prose compared word by word: runs of ``same``, ``gone`` and ``come``, in reading order."""
    import difflib  # noqa: PLC0415 - only where wording changed

    if not isinstance(before, str) or not isinstance(after, str):
        return []
    left, right = before.split(), after.split()
    runs: list[tuple[str, str]] = []
    for action, i, j, k, m in difflib.SequenceMatcher(None, left, right, autojunk=False).get_opcodes():
        if action == "equal":
            runs.append(("same", " ".join(left[i:j])))
            continue
        if j > i:
            runs.append(("gone", " ".join(left[i:j])))
        if m > k:
            runs.append(("come", " ".join(right[k:m])))
    return runs


def rewordings(before: Any, after: Any) -> Iterator[tuple[str, str]]:
    """The places where a text was reworded, as it was and as it is, each with a word or two around it."""
    runs = changed_words(before, after)
    for place, (state, text) in enumerate(runs):
        if state == "same" or (state == "come" and place and runs[place - 1][0] == "gone"):
            continue
        gone = text if state == "gone" else ""
        come = text if state == "come" else ""
        last = place
        if state == "gone" and place + 1 < len(runs) and runs[place + 1][0] == "come":
            last, come = place + 1, runs[place + 1][1]
        ahead = " ".join(runs[place - 1][1].split()[-_AROUND:]) if place else ""
        behind = " ".join(runs[last + 1][1].split()[:_AROUND]) if last + 1 < len(runs) else ""
        yield " ".join(f"{ahead} {gone} {behind}".split()), " ".join(f"{ahead} {come} {behind}".split())
