"""How many castings a build still needs: the pieces its looks wear on the days ahead, with spares, less those in hand.

Plain counts: how many of them will fail is no matter of this module. A look is worn anew each day; what a run yields of each kind
counts, and a piece that was cast and can still be worn, painted or not, is in hand.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from mothermold.answers.pieces import Piece, kind_in, pieces_of
from mothermold.model.build import Build, Look, Thing, WornDay
from mothermold.model.names import RecipeRef
from mothermold.view.view import View

SINGLE_STAGES = frozenset({"lifecast", "sculpt", "core", "mold"})
"""What is made at these stages is made once and serves all pieces."""


@dataclass(frozen=True, slots=True)
class WantedPiece:
    """A piece that will be worn, or a spare of it.

    Attributes:
        thing: The thing of the build a look names.
        kind: Which of its kinds; empty where it has none.
        look: The look.
        day: The day it must be ready for.
        is_spare: Whether it is for the case that another fails.
    """

    thing: str
    kind: str
    look: str
    day: WornDay
    is_spare: bool = False


@dataclass(frozen=True, slots=True)
class Castings:
    """What is needed of a thing that is cast.

    Attributes:
        thing: The thing that is cast, from which the worn one is made where it is not the same.
        wanted: What it is for, the earliest first.
        in_hand: Pieces that exist and can be worn, as they go to what is wanted; None where one must be cast.
        casting: For each that is wanted, of which casting it comes, from 0; None where it is in hand.
        yields: How many of each kind a casting gives.
    """

    thing: str
    wanted: tuple[WantedPiece, ...]
    in_hand: tuple[Piece | None, ...]
    casting: tuple[int | None, ...]
    yields: Mapping[str, int]

    @property
    def to_cast(self) -> int:
        """How many castings are to be made, if all of them come good."""
        return len({each for each in self.casting if each is not None})


def castings_needed(
    view: View, name: str, today: date, spares: Mapping[str, int] | None = None
) -> tuple[Castings, ...]:
    """The castings a build needs from a day on.

    Args:
        view: The book.
        name: The build.
        today: Days before it are past, and runs after it are not known.
        spares: Other numbers of spare sets than the looks say, by look.
    """
    build = view.models(Build)[name]
    by_root: dict[str, list[WantedPiece]] = defaultdict(list)
    for wanted in wanted_pieces(build, today, spares or {}, worn_days(view, name, today)):
        for root in roots_of(build, wanted.thing):
            by_root[root].append(wanted)
    pieces = [each for each in pieces_of(view, name, today) if each.can_be_worn or each.lacks_paint]
    things = {str(each.id): each for each in build.things}
    return tuple(
        _castings(view, things[root], wanted, [each for each in pieces if each.thing == root])
        for root, wanted in by_root.items()
    )


def worn_days(view: View, name: str, today: date) -> frozenset[tuple[date, str]]:
    """The days a look was worn already, by runs of its recipes."""
    runs = view.evidence.lineage.of_build(name)
    return frozenset(
        (each.day, str(each.look)) for each in runs if each.day and each.look and each.outcome and each.day <= today
    )


def wanted_pieces(
    build: Build, today: date, spares: Mapping[str, int], worn: frozenset[tuple[date, str]]
) -> list[WantedPiece]:
    """Every piece the days ahead wear and the spares, the earliest first."""
    found: list[WantedPiece] = []
    for look in build.looks:
        days = sorted(
            (
                each
                for each in build.days
                if each.look == look.id and each.day >= today and (each.day, str(look.id)) not in worn
            ),
            key=lambda each: each.day,
        )
        if not days:
            continue
        found += [each for day in days for each in _set(look, day)]
        # Spares are for the run of days: a camera test alone needs none (common practice, no source).
        first = next((day for day in days if day.what == "shoot"), days[0])
        extra = spares.get(str(look.id), look.spares or 0)
        found += [each for _ in range(extra) for each in _set(look, first, is_spare=True)]
    return sorted(found, key=lambda each: (each.day.day, each.is_spare))


def _set(look: Look, day: WornDay, *, is_spare: bool = False) -> Iterator[WantedPiece]:
    for piece in look.pieces:
        for _ in range(piece.count or 1):
            yield WantedPiece(str(piece.thing), str(piece.piece or ""), str(look.id), day, is_spare)


def stage_of(ref: RecipeRef) -> str:
    """The stage a recipe belongs to."""
    return ref.address.partition("/")[0]


def is_per_piece(thing: Thing) -> bool:
    """Whether a thing is made anew for each piece, as far as its stage says."""
    return stage_of(thing.recipe) not in SINGLE_STAGES


def roots_of(build: Build, name: str) -> list[str]:
    """The castings a worn thing begins with: itself, or what it is made from piece by piece."""
    things = {str(each.id): each for each in build.things}
    if name not in things:
        return []
    chain = [each for each in build.behind(name) if each in things and (each == name or is_per_piece(things[each]))]
    return [each for each in chain if not any(str(other) in chain for other in things[each].from_)]


def chain_of(build: Build, name: str) -> list[str]:
    """What is made for each piece of a worn thing: what it is made from piece by piece, and what is made of it after."""
    things = {str(each.id): each for each in build.things}
    chain = {each for each in build.behind(name) if each in things and (each == name or is_per_piece(things[each]))}
    while more := {key for key, each in things.items() if chain & set(map(str, each.from_))} - chain:
        chain |= more
    return [key for key in things if key in chain]


def _castings(view: View, thing: Thing, wanted: Sequence[WantedPiece], pieces: Sequence[Piece]) -> Castings:
    recipe = view.ruling.text(thing.recipe)
    told = recipe.yields if recipe is not None and recipe.yields is not None else 1
    yields = {"": told} if isinstance(told, int) else dict(told)
    kinds = [each for each in yields if each]
    left: dict[str, list[Piece]] = defaultdict(list)
    for piece in pieces:
        # Where a label does not tell, it is of the kind there are fewest of.
        fewest = min(kinds, key=lambda each: len(left[each]), default="")
        left[kind_in(str(piece.kept.piece), kinds) or fewest].append(piece)
    count, in_hand, casting = dict.fromkeys(yields, 0), list[Piece | None](), list[int | None]()
    for each in wanted:
        kind = each.kind if each.kind in yields else next(iter(yields))
        if left[kind]:
            in_hand.append(left[kind].pop(0))
            casting.append(None)
        else:
            in_hand.append(None)
            casting.append(count[kind] // yields[kind])
            count[kind] += 1
    return Castings(str(thing.id), tuple(wanted), tuple(in_hand), tuple(casting), yields)
