"""When a book last changed for the readers of an edition: a save of what they may not read is no news to them, nor its day."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

from mothermold.book.files import Place, place_of
from mothermold.history.log import Commit

if TYPE_CHECKING:
    from mothermold.view.contents import Collector


def newest_shown(held: Collector) -> datetime | None:
    """The time of the newest save that changed a document as an edition shows it; None where none did.

    Args:
        held: What the edition holds.
    """
    line = (commit for commit in held.history.log.commits if commit.first_parent)
    return next((commit.moment for commit in line if any(_tells(held, commit, file) for file in commit.changed)), None)


def _tells(held: Collector, commit: Commit, file: str) -> bool:
    place = place_of(file)
    if not isinstance(place, Place):
        return False
    if place.address in held.book.documents.on(place.kind) and place.address not in held.shown.on(place.kind):
        # What it once was to everybody is nobody's business while it is the owner's alone.
        return False
    saved = [each for each in held.history.log.of(file) if each[0].first_parent]
    at = next(number for number, each in enumerate(saved) if each[0] is commit)
    before = saved[at + 1][1] if at + 1 < len(saved) else None
    return _said(held, place, file, saved[at][1]) != _said(held, place, file, before)


def _said(held: Collector, place: Place, file: str, blob: str | None) -> object:
    """What a saved text says in the edition."""
    if blob is None:
        return None
    shown = held.as_shown(held.history.parsed(blob, place.address, file, place.kind))
    return shown.said if shown is not None else None
