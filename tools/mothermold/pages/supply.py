"""Whether a build has pieces enough for the days to come, as its page says it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date

from mothermold.answers.pieces import Piece
from mothermold.model.build import Build
from mothermold.pages.content import Block, Lead, Tag, Words
from mothermold.pages.saying import para, points, quiet, words
from mothermold.pages.wording import spoken


@dataclass(frozen=True, slots=True)
class Supply:
    """Pieces that can be worn against pieces the coming days need, for one thing of a look; ``bare`` ones lack their paint."""

    look: str
    thing: str
    have: int
    bare: int
    need: int
    days: int
    spares: int


def supplies(build: Build, pieces: Iterable[Piece], today: date | None) -> Iterator[Block]:
    """For each look with days to come: is there enough that can be worn for them and for the spares?"""
    if supply := _supply(build, pieces, today):
        yield para("For the days after ", today or "today", ", spare sets included.", style="quiet")
        yield points(map(_enough, supply), "plain")


def _enough(each: Supply) -> Words:
    tag = Tag(f"{each.need - each.have} short", "open") if each.have < each.need else Tag("enough", "good")
    bare = f" and {each.bare} without paint" if each.bare else ""
    days = f"{each.days} {'day' if each.days == 1 else 'days'} of the look “{spoken(each.look)}”"
    spares = f" and {each.spares} to spare" if each.spares else ""
    counted = f"{each.have} that can be worn{bare}, {each.need} needed for {days}{spares}"
    return words(tag, Lead("here", f"thing-{each.thing}", spoken(each.thing)), " ", quiet(counted))


def _supply(build: Build, pieces: Iterable[Piece], today: date | None) -> list[Supply]:
    have: Counter[str] = Counter()
    bare: Counter[str] = Counter()
    for piece in pieces:
        have[piece.thing] += piece.can_be_worn
        bare[piece.thing] += piece.lacks_paint
    found = []
    for look in build.looks:
        days = sum(1 for day in build.days if day.look == look.id and (today is None or day.day > today))
        if not days:
            continue
        spares = look.spares or 0
        counts: dict[str, int] = {}
        for part in look.pieces:
            counts[str(part.thing)] = counts.get(str(part.thing), 0) + int(part.count or 1)
        for thing, count in counts.items():
            need = count * (days + spares)
            found.append(Supply(str(look.id), thing, have[thing], bare[thing], need, days, spares))
    return found
