"""The sheet for the wall: whom to call, and the first acts for every kind of hurt; never of the public edition, which holds no numbers."""

from __future__ import annotations

from collections.abc import Iterator

from mothermold.ground.errors import refused
from mothermold.handouts.pen import Pen
from mothermold.handouts.prose import Block
from mothermold.handouts.sheaf import SheetLeaf, foot_of
from mothermold.pages.addresses import HURT
from mothermold.pages.hurt import numbers
from mothermold.pages.saying import joined, marked, quiet
from mothermold.trade.hurt import Hurt, hurts
from mothermold.view.view import View

SIZES = (12.0, 11.0, 10.0, 9.5, 9.0, 8.5, 8.0, 7.5)
SIDES = 2
"""The first acts on one side, all else on the other."""
GUIDANCE = "First aid by published guidance, its sources on that page of the book; not a diagnosis. A first-aid course, the maker's safety data sheet and local rules come first."


def wall_leaf(view: View, pen: Pen) -> SheetLeaf:
    """Whom to call in large letters, then each kind of hurt.

    Raises:
        RefusedError: ``not-for-the-public``.
    """
    if view.edition == "public":
        raise refused(
            "not-for-the-public", "The public edition holds no number to call, so it has no sheet for the wall.", "Type `--for class` or `--for private`."
        )  # fmt: skip
    told = numbers(view.settings.emergency)
    blocks = [pen.title("Somebody is hurt")]
    if told:
        large = [
            (title, marked("large", said) if key in ("call", "poison") else marked("strong", said))
            for key, title, said in told
        ]
        blocks.append(pen.framed(pen.labels(large), "loud"))
    else:
        blocks.append(
            pen.para(
                "Nobody has written the numbers of this place yet. Write them here, and into the book:", style="banner"
            )
        )
        blocks += pen.blanks(["Emergency number", "Poison center", "We are at", "Nearest emergency room"], across=1)
    rows = list(hurts().values())
    blocks.append(pen.heading("What to do first"))
    blocks.append(pen.columns([block for row in rows for block in _acts(pen, row)]))
    blocks.append({"is": "page"})
    blocks.append(pen.heading("Never, and when to call for help"))
    blocks.append(pen.columns([block for row in rows for block in _help(pen, row)], small=True))
    blocks.append(pen.para(quiet(GUIDANCE)))
    day = view.day
    called = f"Sheet for the wall{f', as of {day}' if day else ''}"
    return SheetLeaf("Somebody is hurt", called, foot_of(view, HURT[0]), blocks)


def _acts(pen: Pen, row: Hurt) -> Iterator[Block]:
    clock = (
        [pen.para(marked("strong", f"{row.clock.what}: {row.clock.minutes} minutes by the clock."))]
        if row.clock
        else []
    )
    yield pen.whole([pen.heading(row.title, level=3), *pen.points((act.words for act in row.acts), "numbered"), *clock])


def _help(pen: Pen, row: Hurt) -> Iterator[Block]:
    never = marked("strong", joined((each.words for each in row.never), " "), " ") if row.never else None
    told = pen.para(never, marked("strong", "Call: "), joined((each.words for each in row.call), " "))
    yield pen.whole([pen.heading(row.title, level=3), told])
