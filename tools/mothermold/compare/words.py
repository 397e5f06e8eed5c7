"""Prose compared word by word."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
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


_ALIKE: Final = 0.5
"""From which likeness on two lines are one line reworded. Our own choice."""


def line_changes(before: Sequence[str], after: Sequence[str]) -> list[tuple[str | None, str | None]]:
    """Lines compared with each other: pairs of a line as it was and as it is, None where it came or went."""
    import difflib  # noqa: PLC0415 - only where lines changed

    gone = [line for line in before if line not in after]
    found: list[tuple[str | None, str | None]] = []
    for line in after:
        if line in before:
            continue
        near = max(gone, key=lambda each: difflib.SequenceMatcher(None, each, line).ratio(), default=None)
        if near is not None and difflib.SequenceMatcher(None, near, line).ratio() >= _ALIKE:
            gone.remove(near)
            found.append((near, line))
        else:
            found.append((None, line))
    return [*found, *((line, None) for line in gone)]
