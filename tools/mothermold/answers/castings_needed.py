"""How many castings of each worn thing a build still needs, from its days, its pieces and the record of its recipe."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from fractions import Fraction
from math import ceil

from mothermold.answers.pieces import Piece, kind_in, pieces_of
from mothermold.answers.recipes import recipe_at
from mothermold.answers.records import runs_of
from mothermold.model.build import Build, Look, Thing
from mothermold.model.recipe import Recipe
from mothermold.model.run import Run
from mothermold.reckon.castings import (
    ENOUGH_ON_RECORD,
    USUAL_CONFIDENCE,
    castings_after,
    castings_at_rate,
)
from mothermold.reckon.proportions import Tally
from mothermold.view.view import View

ANY_KIND = ""


@dataclass(frozen=True, slots=True)
class CastingsAsked:
    """What is told about castings.

    Attributes:
        rates: By thing the share of pieces that come out good; under no name the share of all others.
        confidence: How surely there shall be enough.
        today: Days after this one are still to come.
    """

    rates: Mapping[str, Fraction] = field(default_factory=dict)
    confidence: Fraction = USUAL_CONFIDENCE
    today: date | None = None


@dataclass(frozen=True, slots=True)
class KindNeed:
    """The pieces of one kind of a thing, as its left bands; of a thing without kinds all of them.

    Attributes:
        kind: The kind; empty for any.
        wanted: Good pieces the days to come want, spares included.
        kept: Pieces there are for them, painted or not.
        a_casting: Pieces one casting gives of it.
    """

    kind: str
    wanted: int
    kept: int
    a_casting: int

    @property
    def needed(self) -> int:
        """Good pieces still to be cast."""
        return max(self.wanted - self.kept, 0)


@dataclass(frozen=True, slots=True)
class CastingsNeeded:
    """The castings of one thing.

    Attributes:
        thing: The thing.
        recipe: Its recipe in the version the build pins; None where it cannot be read.
        kinds: What is needed of each kind.
        ready: Pieces that can be worn as they are.
        record: Pieces that came of the pinned version, and how many of them failed.
        castings: The castings these came of.
        told: The rate that was told; None where none was.
        confidence: How surely there shall be enough.
        by_record: Castings by the record alone; None where there is no record, or where no number of them would do.
        by_rate: Castings at the rate that was told, likewise.
    """

    thing: Thing
    recipe: Recipe | None
    kinds: tuple[KindNeed, ...]
    ready: int
    record: Tally
    castings: int
    told: Fraction | None
    confidence: Fraction
    by_record: int | None
    by_rate: int | None

    @property
    def needed(self) -> int:
        """Good pieces still to be cast, of all kinds."""
        return sum(each.needed for each in self.kinds)

    @property
    def wanted(self) -> int:
        """Good pieces the days to come want."""
        return sum(each.wanted for each in self.kinds)

    @property
    def kept(self) -> int:
        """Pieces there are for them."""
        return sum(each.kept for each in self.kinds)

    @property
    def a_casting(self) -> int:
        """Pieces one casting gives."""
        return max(sum(each.a_casting for each in self.kinds), 1)

    @property
    def rate(self) -> Fraction | None:
        """The share of good pieces that is reckoned with: as told, else as on record; None where neither is there."""
        if self.told is not None:
            return self.told
        return 1 - self.record.rate if self.record.runs else None

    @property
    def enough_on_record(self) -> bool:
        """Whether the record alone is enough to go by."""
        return self.castings >= ENOUGH_ON_RECORD

    @property
    def cast(self) -> int | None:
        """Castings to make; None where the record is too short and no rate was told, or where no number would do."""
        if not self.needed:
            return 0
        if self.told is not None:
            return self.by_rate
        return self.by_record if self.enough_on_record else None

    @property
    def reckoned_with(self) -> int:
        """Castings that materials are reckoned for: those to make; where that is not known by the record, else were all to come out good."""
        if self.cast is not None:
            return self.cast
        return self.by_record or max((ceil(each.needed / each.a_casting) for each in self.kinds), default=0)


def castings_needed(view: View, name: str, asked: CastingsAsked | None = None) -> tuple[CastingsNeeded, ...]:
    """The castings of each thing that a build's looks wear, in the order of the build.

    Args:
        view: The edition.
        name: The build.
        asked: What is told; without it the days after the book's last save, at 90 %, by the record.
    """
    asked = asked or CastingsAsked(today=view.day)
    build = view.models(Build)[name]
    wanted = _wanted(build, asked.today)
    worn = {cast_of(build, str(piece.thing)) for look in build.looks for piece in look.pieces}
    pieces = pieces_of(view, name)
    return tuple(
        _of_thing(
            view, thing, wanted.get(str(thing.id), {}), [each for each in pieces if each.thing == thing.id], asked
        )
        for thing in build.things
        if thing.id in worn
    )


def days_left(build: Build, look: Look, today: date | None) -> list[date]:
    """The days of a look that are still to come."""
    return sorted(day.day for day in build.days if day.look == look.id and (today is None or day.day > today))


def _wanted(build: Build, today: date | None) -> dict[str, Counter[str]]:
    """By thing and kind the good pieces that the days to come want, with whole sets to spare."""
    found: dict[str, Counter[str]] = {}
    for look in build.looks:
        days = len(days_left(build, look, today))
        for piece in look.pieces if days else ():
            count = (piece.count or 1) * (days + (look.spares or 0))
            found.setdefault(cast_of(build, str(piece.thing)), Counter())[str(piece.piece or ANY_KIND)] += count
    return found


def cast_of(build: Build, name: str) -> str:
    """The casting behind a thing: the thing itself, or what it was before it was washed and painted."""
    stages = {str(thing.id): thing.recipe.address.partition("/")[0] for thing in build.things}
    return next((each for each in build.behind(name) if stages.get(each) == "cast"), name)


def pieces_a_doing(recipe: Recipe | None) -> dict[str, int]:
    """The pieces one doing gives, by kind; one where nothing says it."""
    if recipe is None or recipe.yields is None:
        return {ANY_KIND: 1}
    return {ANY_KIND: recipe.yields} if isinstance(recipe.yields, int) else dict(recipe.yields)


def _of_thing(
    view: View, thing: Thing, wanted: Mapping[str, int], pieces: Sequence[Piece], asked: CastingsAsked
) -> CastingsNeeded:
    recipe = recipe_at(view, thing.recipe)
    gives = pieces_a_doing(recipe)
    record, castings = came_good(view, view.today(thing.recipe.address), thing.recipe.version, recipe)
    kinds = tuple(_kinds(wanted, gives, [each for each in pieces if each.can_be_worn or each.lacks_paint]))
    told = asked.rates.get(str(thing.id), asked.rates.get(""))
    good = record.runs - record.failed
    by_record = (
        [_castings(each, castings_after(each.needed, good, record.runs, asked.confidence)) for each in kinds]
        if record.runs
        else [None]
    )
    by_rate = (
        [_castings(each, castings_at_rate(each.needed, told, asked.confidence)) for each in kinds]
        if told is not None
        else [None]
    )
    ready = sum(each.can_be_worn for each in pieces)
    return CastingsNeeded(
        thing, recipe, kinds, ready, record, castings, told, asked.confidence, _most(by_record), _most(by_rate)
    )


def _most(castings: Sequence[int | None]) -> int | None:
    known = [each for each in castings if each is not None]
    return max(known, default=0) if len(known) == len(castings) else None


def _castings(kind: KindNeed, pieces: int | None) -> int | None:
    """So many castings give so many pieces of a kind."""
    return None if pieces is None else ceil(pieces / kind.a_casting)


def _kinds(wanted: Mapping[str, int], gives: Mapping[str, int], pieces: Sequence[Piece]) -> Iterator[KindNeed]:
    # A look that asks for no kind, or for one no casting gives, takes each kind alike.
    alike = sum(count for kind, count in wanted.items() if kind not in gives or kind == ANY_KIND)
    there = Counter(kind_in(str(each.kept.piece), gives) for each in pieces)
    whole = sum(gives.values())
    for kind, count in gives.items():
        # Of pieces nobody told apart each kind has its share.
        kept = there[kind] if kind == ANY_KIND else there[kind] + there[ANY_KIND] * count // whole
        named = 0 if kind == ANY_KIND else wanted.get(kind, 0)
        yield KindNeed(kind, named + ceil(Fraction(alike * count, whole)), kept, count)


def came_good(view: View, address: str, version: int | None, recipe: Recipe | None) -> tuple[Tally, int]:
    """The pieces of a version's castings and how many of them failed, and how many castings there were.

    First pulls and tests are left out.

    Args:
        view: The edition.
        address: The recipe, as it is called today.
        version: Its version; None for all of them.
        recipe: What that says; None where it cannot be read.
    """
    runs = [run for run in runs_of(view, address, version) if run.kind == "run" and run.outcome is not None]
    gives = sum(pieces_a_doing(recipe).values())
    return Tally(sum(gives - _good(run, gives) for run in runs), gives * len(runs)), len(runs)


def _good(run: Run, gives: int) -> int:
    """The good and usable pieces of a casting: those it kept, where it gives several and names them; else by how it ended."""
    if run.outcome == "scrapped":
        return 0
    return min(len(run.kept), gives) if run.kept and gives > 1 else gives
