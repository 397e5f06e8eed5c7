"""What stands in the margin: since which version something is as it is, and why."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

Reasons = Mapping[int, str | None]
"""Why each version was made."""


@dataclass(frozen=True, slots=True)
class SinceRow:
    """A note in the margin.

    Attributes:
        version: The version that last changed the thing.
        why: Its reason; nothing where the page says it above.
        words: What is said instead of the reason.
    """

    version: int
    why: str | None
    words: str


def since_notes(changed: Sequence[int | None], number: int, reasons: Reasons) -> list[SinceRow | None]:
    """The notes of things that stand one below the other.

    Args:
        changed: The version that last changed each; None for what is as it was in the first.
        number: The version shown: its own reason stands at the head of the page.
        reasons: The reasons of all versions.
    """
    told: set[int] = set()
    notes: list[SinceRow | None] = []
    for version in changed:
        if version is None:
            notes.append(None)
            continue
        why = reasons.get(version)
        if version == number:
            notes.append(SinceRow(version, None, "new or changed in this version"))
        elif version in told:
            notes.append(SinceRow(version, None, "as above"))
        else:
            notes.append(SinceRow(version, why, "" if why else "no reason is written"))
            told.add(version)
    return notes
