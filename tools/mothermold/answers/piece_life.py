"""The life of a piece out of the runs that cast it and used it, what it still lacks, and the sets it makes for the days to come.

A thing made from another is the same piece further on: a face is washed, then painted, then haired, as the build has it. What
a run did to a piece is therefore the thing the run made. Nothing is taken for done that no run says.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Final

from mothermold.answers.pieces import Piece, is_on_a_face, kind_in, pieces_of, tear_in
from mothermold.model.build import Build, Look, LookPiece, Thing
from mothermold.model.run import Run, UsedPiece
from mothermold.view.view import View

_BESIDE: Final = {"removal": "taken off", "wear": "through the day"}
"""What is done to what is worn already, by the stage."""


@dataclass(frozen=True, slots=True)
class LifeEvent:
    """Something that happened to a piece.

    Attributes:
        run: The run that says so.
        did: What was done, in a word or two.
        then: What became of it, in words; empty where nobody wrote it down.
    """

    run: Run
    did: str
    then: str = ""


@dataclass(frozen=True, slots=True)
class PieceLife:
    """A piece with all that happened to it.

    Attributes:
        piece: The piece.
        events: What happened, oldest first; the first is its casting.
        wearer: Whom it fits; empty where nobody said.
        lacks: What is to be done to it before it is worn, in order; nothing of a piece that is never worn any more.
        is_fit: Whether it is there and sound.
    """

    piece: Piece
    events: tuple[LifeEvent, ...]
    wearer: str
    lacks: tuple[str, ...]
    is_fit: bool

    @property
    def label(self) -> str:
        """Its label."""
        return str(self.piece.kept.piece)

    @property
    def is_ready(self) -> bool:
        """Whether it could be put on now."""
        return self.is_fit and not self.lacks


@dataclass(frozen=True, slots=True)
class PlaceInSet:
    """A place in a set: which thing, of which kind, and the piece that is there for it; None where there is none."""

    thing: str
    kind: str
    life: PieceLife | None


@dataclass(frozen=True, slots=True)
class PieceSet:
    """The pieces for one day, or one set to spare.

    Attributes:
        look: The look.
        wearer: Who wears it.
        day: The day; None for a set to spare.
        parts: Its places, in gluing order.
    """

    look: str
    wearer: str
    day: date | None
    parts: tuple[PlaceInSet, ...]

    @property
    def is_ready(self) -> bool:
        """Whether every piece of it is there and could be put on."""
        return all(part.life is not None and part.life.is_ready for part in self.parts)


def lives_of(view: View, build: str | None) -> tuple[PieceLife, ...]:
    """The life of every piece of a build, in the order they were cast.

    Args:
        view: The edition; a run it does not hold is not known of.
        build: The build's name; None for what was cast for practice.
    """
    return view.once.of(("lives", build), lambda: _lives_of(view, build))


def _lives_of(view: View, build: str | None) -> tuple[PieceLife, ...]:
    model = view.models(Build).get(build) if build is not None else None
    runs = view.evidence.lineage.of_build(build)
    return tuple(_life(view, model, piece, runs) for piece in pieces_of(view, build))


def _life(view: View, build: Build | None, piece: Piece, runs: Iterable[Run]) -> PieceLife:
    events, done = [LifeEvent(piece.run, "cast", str(piece.kept.grade or ""))], set[str]()
    for run in runs:
        for used in run.used:
            if used.piece == piece.kept.piece and run is not piece.run:
                made = _made(view, build, piece.thing, run)
                events.append(LifeEvent(run, _did(view, build, piece.thing, run, made), _then(view, run, used)))
                done |= {made} if made and run.kind == "run" and run.outcome in ("good", "usable") else set()
    is_fit = piece.can_be_worn or piece.lacks_paint
    lacks = [_word(piece.thing, each) for each in _onward(build, piece.thing) if each not in done]
    if piece.lacks_paint and not lacks:
        lacks = ["color"]
    return PieceLife(piece, tuple(events), _wearer(build, piece.thing), tuple(lacks) if is_fit else (), is_fit)


def _did(view: View, build: Build | None, thing: str, run: Run, made: str) -> str:
    """What a run did to a piece of a thing."""
    if is_on_a_face(view, run):
        return _on_a_face(view, build, run)
    if run.kind == "test":
        return "used in a test"
    spoilt = ", and spoilt" if run.outcome == "scrapped" else ""
    return f"{_word(thing, made) if made else 'worked on'}{spoilt}"


def _then(view: View, run: Run, used: UsedPiece) -> str:
    """What became of it."""
    torn = tear_in(view, run) if len(run.used) == 1 else ""
    said = "thrown away" if used.then == "discarded" else used.then or ""
    return ", ".join(filter(None, (torn, said)))


def _on_a_face(view: View, build: Build | None, run: Run) -> str:
    stage = view.today(run.recipe.address).partition("/")[0] if run.recipe is not None else ""
    if stage in _BESIDE:
        return _BESIDE[stage]
    what = next((day.what for day in build.days if day.day == run.day), None) if build is not None and run.day else None
    return "fitted" if what == "fitting" else f"worn, {what}" if what else "worn"


def _made(view: View, build: Build | None, thing: str, run: Run) -> str:
    """The thing a run made of a piece: as it says, else the only one on the way of the piece that is made by its recipe."""
    onward = _onward(build, thing)
    if run.thing is not None:
        return str(run.thing) if run.thing in onward else ""
    if run.recipe is None or build is None:
        return ""
    address = view.today(run.recipe.address)
    found = [str(each.id) for each in build.things if each.id in onward and view.today(each.recipe.address) == address]
    return found[0] if len(found) == 1 else ""


def _onward(build: Build | None, thing: str) -> list[str]:
    """What is made of a thing without another thing in it, in order: the same piece, further on."""
    things: Sequence[Thing] = build.things if build is not None else ()
    found = [thing]
    for _each in things:
        more = [str(each.id) for each in things if list(each.from_) == [found[-1]] and each.id not in found]
        if len(more) != 1:
            break
        found += more
    return found[1:]


def _word(thing: str, further: str) -> str:
    """What was done, from the names of two things: from ``face`` to ``face-painted`` it was painted."""
    return further.removeprefix(f"{thing}-").replace("-", " ")


def _wearer(build: Build | None, thing: str) -> str:
    if build is None:
        return ""
    of_thing = next((each.wearer for each in build.things if each.id == thing), None)
    return str(of_thing or (build.wearers[0] if len(build.wearers) == 1 else "") or "")


# Sets.


def sets_of(view: View, name: str, build: Build, today: date | None) -> list[PieceSet]:
    """The set of each day to come, then the sets to spare: each piece stands in one, first where its casting says for which day.

    Args:
        view: The edition.
        name: The build's name.
        build: The build.
        today: The day it is; None where nobody knows, and then every day is to come.
    """
    lives = lives_of(view, name)
    begun = {run.day for run in view.evidence.lineage.of_build(name)}
    coming = sorted(
        (
            each
            for each in build.days
            if today is None or each.day > today or (each.day == today and today not in begun)
        ),
        key=lambda each: each.day,
    )
    looks = {str(look.id): look for look in build.looks}
    wanted: list[tuple[Look, date | None]] = [(looks[day.look], day.day) for day in coming if day.look in looks]
    for name_of_look in dict.fromkeys(str(look.id) for look, _day in wanted):
        wanted += [(looks[name_of_look], None)] * (looks[name_of_look].spares or 0)
    left = [life for life in lives if life.is_fit]
    days = {day for _look, day in wanted if day is not None}
    found = []
    for look, day in wanted:
        parts = []
        for place in look.pieces:
            kinds = {str(each.piece) for each in look.pieces if each.thing == place.thing and each.piece}
            for _count in range(int(place.count or 1)):
                life = _best(left, place, kinds, day, days)
                if life is not None:
                    left.remove(life)
                parts.append(PlaceInSet(str(place.thing), str(place.piece or ""), life))
        found.append(PieceSet(str(look.id), str(build.wearer_of(look) or ""), day, tuple(parts)))
    return found


_GRADES: Final = ("hero", "second", "spare")


def _best(
    left: Iterable[PieceLife], place: LookPiece, kinds: Iterable[str], day: date | None, days: Iterable[date]
) -> PieceLife | None:
    """The piece for a place: the one that was cast for the day, else the one that lacks least; none that is for another day."""

    def order(life: PieceLife) -> tuple[bool, int, int, str]:
        grade = str(life.piece.kept.grade or "")
        return life.piece.kept.day != day, len(life.lacks), _GRADES.index(grade) if grade in _GRADES else 3, life.label

    others = {each for each in days if each != day}
    fits = (
        life
        for life in left
        if life.piece.thing == place.thing
        and life.piece.kept.day not in others
        and kind_in(life.label, kinds) in ("", str(place.piece or ""))
    )
    return min(fits, key=order, default=None)
