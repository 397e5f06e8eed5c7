"""Why a build cannot be planned at all, before anything of it is worked out: circles, and more than any shop could do."""

from __future__ import annotations

from datetime import date
from typing import Final

from mothermold.model.build import Build
from mothermold.reckon.critical_path import in_order_of

FEWER: Final = "Write fewer days, spares or pieces in the build; what lies years apart is a build of its own."
MOST_SITTINGS: Final = 1500
_MOST_PIECES: Final = 300
_MOST_DAYS: Final = 1500


def unplannable(build: Build, today: date) -> tuple[str, str] | None:
    """Why a build cannot be planned, and what to do about it; None where it can.

    Args:
        build: The build.
        today: Days before it are past.
    """
    names = [str(each.id) for each in build.things]
    after = {
        str(each.id): [str(name) for name in dict.fromkeys(each.from_) if str(name) in names] for each in build.things
    }
    try:
        in_order_of(dict.fromkeys(names), after)
    except ValueError:
        return (
            "its things are made from each other in a circle",
            "Look at `from:` of its things: what comes first is made from nothing later.",
        )
    days = [each for each in build.days if each.day >= today]
    if days and (max(each.day for each in days) - min(each.day for each in days)).days > _MOST_DAYS:
        return "its days lie years apart", FEWER
    pieces = sum(
        (len(mine) + (look.spares or 0)) * sum(each.count or 1 for each in look.pieces)
        for look in build.looks
        if (mine := [each for each in days if each.look == look.id])
    )
    if pieces > _MOST_PIECES:
        return f"its looks want {pieces} pieces", FEWER
    return None
