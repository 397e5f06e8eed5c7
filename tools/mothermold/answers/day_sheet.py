"""The sheet of a day in the chair: one answer, which the page of the day and the day sheet on paper both show.

What is lacking is said where the answer would stand: a piece that is not there, a product nobody read a patch of, a lot nobody
tried, a morning nobody asked about. Silence is never an all-clear.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

from mothermold.answers.day_clock import DayClock, LookClock, day_clock
from mothermold.answers.day_colors import ZoneColors, colors_of
from mothermold.answers.day_glues import GluedOn, WayBack, glued_on, way_back
from mothermold.answers.day_pack import BagLayer, bag_of
from mothermold.answers.piece_life import PieceSet, sets_of
from mothermold.book.document import Document
from mothermold.model.build import STAGES_WORN, Build, Look, WornDay
from mothermold.model.material import Material
from mothermold.model.run import MorningAfter, Run
from mothermold.reckon.lots import lots_in_use
from mothermold.view.mornings import cleared_since, looks_of, morning_after, worn_before
from mothermold.view.patch_cover import PatchCover, ProductReading
from mothermold.view.view import View

Lots = Literal["tried", "not tried", "not known"]


@dataclass(frozen=True, slots=True)
class Clear:
    """What is known of a product for this wearer, before this day.

    Attributes:
        read: What was read of it.
        in_hand: The lots one reaches for today.
        lots: Whether those were tried; ``not known`` where either side does not say.
    """

    read: ProductReading
    in_hand: tuple[str, ...]
    lots: Lots

    @property
    def is_clear(self) -> bool:
        """Whether it may go on: read and clear in time, with the very lot in hand."""
        return self.read.reading == "clear" and self.lots == "tried"


@dataclass(frozen=True, slots=True)
class Before:
    """The last day the same face was worn.

    Attributes:
        day: When.
        runs: What was done that day.
        morning: What was said on the morning after; None where nobody said anything.
        is_cleared_since: Whether a patch test was read between that day and this one.
    """

    day: date
    runs: tuple[Run, ...]
    morning: MorningAfter | None
    is_cleared_since: bool


@dataclass(frozen=True, slots=True)
class LookDay:
    """A look on a day.

    Attributes:
        day: The day as the build has it.
        look: The look.
        wearer: Who wears it; empty where nobody said.
        artists: The role codes of those who did it the last time.
        clock: Its times.
        glues: Its glues in gluing order.
        back: The same in reverse, each with what takes it off.
        pieces: The set for the day; None where the day is past.
        spare: The sets to spare.
        clear: What is known of each product that comes on skin or hair.
        bag: What is packed.
        colors: The palette by zone.
        before: The last day the wearer was in the chair, as runs say; None where none does.
        untold: The last day the wearer is in the chair before, by the build, where no run tells of it; None where there is none.
    """

    day: WornDay
    look: Look
    wearer: str
    artists: tuple[str, ...]
    clock: LookClock
    glues: tuple[GluedOn, ...]
    back: tuple[WayBack, ...]
    pieces: PieceSet | None
    spare: tuple[PieceSet, ...]
    clear: tuple[Clear, ...]
    bag: tuple[BagLayer, ...]
    colors: tuple[ZoneColors, ...]
    before: Before | None
    untold: date | None


@dataclass(frozen=True, slots=True)
class DaySheet:
    """A day of a build in the chair.

    Attributes:
        name: The build's name.
        build: The build.
        day: When.
        clock: All looks by the clock.
        looks: Each look.
        runs: What was done that day so far, oldest first.
        earlier: The day in the chair before it.
        later: The day in the chair after it.
    """

    name: str
    build: Build
    day: date
    clock: DayClock
    looks: tuple[LookDay, ...]
    runs: tuple[Run, ...]
    earlier: date | None
    later: date | None


def days_of(build: Build) -> list[date]:
    """The days in the chair, in order; those of looks that are not there left out."""
    looks = {str(each.id) for each in build.looks}
    return sorted({each.day for each in build.days if str(each.look) in looks})


def coming_days(build: Build, today: date | None) -> list[date]:
    """The days in the chair still to come, this one among them; all where nobody knows which day it is."""
    return [each for each in days_of(build) if today is None or each >= today]


def day_sheet(view: View, document: Document[Build], day: date) -> DaySheet:
    """The sheet of a day.

    Args:
        view: The edition; what it does not hold is not on the sheet.
        document: The build.
        day: One of ``days_of``.
    """
    name = document.address
    runs = view.evidence.lineage.of_build(name)
    build = as_done(view, document.model, [each for each in runs if _is_of(each, day)])
    looks = {str(each.id): each for each in build.looks}
    worn = [each for each in build.days if each.day == day and str(each.look) in looks]
    clock = day_clock(view, build, worn)
    # What stood ready before the day: what was worn on it is told by its runs.
    sets = sets_of(view, name, build, day)
    told = {each.day.look: each for each in clock.looks}
    days = days_of(build)
    return DaySheet(
        name,
        document.model,
        day,
        clock,
        tuple(_look(view, build, each, told[each.look], runs=runs, sets=sets) for each in worn),
        tuple(each for each in runs if _is_of(each, day)),
        max((each for each in days if each < day), default=None),
        min((each for each in days if each > day), default=None),
    )


def as_done(view: View, build: Build, runs: Sequence[Run]) -> Build:
    """A build whose looks name the versions that were done on a day, where runs say so: a look may have been changed since."""
    done = {view.today(run.recipe.address): run.recipe for run in runs if run.recipe is not None}
    if not done:
        return build
    looks = tuple(
        each.model_copy(
            update={
                stage: tuple(done.get(view.today(ref.address), ref) for ref in getattr(each, stage))
                for stage in STAGES_WORN
            }
        )
        for each in build.looks
    )
    return build.model_copy(update={"looks": looks})


def _is_of(run: Run, day: date) -> bool:
    return run.day == day and run.kind != "test"


def _look(
    view: View, build: Build, day: WornDay, clock: LookClock, *, runs: Sequence[Run], sets: Sequence[PieceSet]
) -> LookDay:
    look = next(each for each in build.looks if each.id == day.look)
    wearer, glues = build.wearer_of(look) or "", glued_on(view, look)
    mine = [each for each in runs if each.look == look.id and each.day and each.day < day.day]
    artists = dict.fromkeys(str(code) for run in mine[-6:] for code in run.who)
    return LookDay(
        day,
        look,
        str(wearer),
        tuple(artists),
        clock,
        tuple(glues),
        tuple(way_back(glues)),
        next((each for each in sets if each.look == look.id and each.day == day.day), None),
        tuple(each for each in sets if each.look == look.id and each.day is None),
        tuple(_clear(view, PatchCover(build, view.ruling), look, day.day)),
        tuple(bag_of(view, look)),
        tuple(colors_of(view, build, look, runs, day.day)),
        _before(build, runs, str(wearer), day.day) if wearer else None,
        _untold(build, runs, str(wearer), day.day) if wearer else None,
    )


def _clear(view: View, cover: PatchCover, look: Look, day: date) -> Iterator[Clear]:
    for read in cover.readings(look, day):
        material = view.models(Material).get(read.product)
        in_hand = tuple(str(lot.lot) for lot in lots_in_use(material)) if material is not None else ()
        # One reaches for the lot that was tried; that the shelf holds another too is said beside it.
        known = bool(in_hand and read.lots)
        lots: Lots = "not known" if not known else "tried" if set(in_hand) & set(read.lots) else "not tried"
        yield Clear(read, in_hand, lots)


def _before(build: Build, runs: Sequence[Run], wearer: str, day: date) -> Before | None:
    last = worn_before(build, runs, wearer, day)
    if last is None:
        return None
    looks = looks_of(build, wearer)
    mine = tuple(each for each in runs if _is_of(each, last) and str(each.look) in looks)
    return Before(last, mine, morning_after(runs, looks, last), cleared_since(build, wearer, last, day))


def _untold(build: Build, runs: Sequence[Run], wearer: str, day: date) -> date | None:
    looks = looks_of(build, wearer)
    last = max((each.day for each in build.days if str(each.look) in looks and each.day < day), default=None)
    told = last is not None and any(each.day == last and str(each.look) in looks for each in runs)
    return None if told else last


def next_morning(day: date) -> date:
    """The day after."""
    return day + timedelta(days=1)
