"""What each piece of a build is today, and why: as it was graded, then what its last runs did to it, then its finish.

A grade is given when a piece comes out of its mold. What it is follows from the runs that used it since: worn, torn,
repaired, scrapped, used up in a test. A piece goes on a face only with its color on it, so one without paint is no spare
(common practice, no source). The build says where the color comes from: where a thing made from the piece is painted, a run
must have painted it; else the look's own sheets may color it on the face.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import date
from typing import Final, Literal

from mothermold.answers.recipes import recipe_at
from mothermold.model.build import Build
from mothermold.model.failure import Failure
from mothermold.model.names import RecipeRef
from mothermold.model.run import Kept, Run, UsedPiece, WentWrong
from mothermold.trade.vocabulary import ON_A_FACE
from mothermold.view.sums import entry_by_entry
from mothermold.view.view import View

What = Literal[
    "hero", "second", "spare", "not graded", "not painted", "test", "scrapped", "worn", "torn", "repaired", "used up"
]
_FIT: Final = frozenset({"hero", "second", "spare", "not graded", "repaired"})
_TEAR: Final = re.compile(r"(?<![a-z])(?:torn|tears?|tore|rips?|ripped)(?![a-z])")
_COLOR: Final = re.compile(r"(?<![a-z])(?:colou?r\w*|paint\w*)")


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece that exists or existed.

    Attributes:
        kept: What its casting said of it.
        run: The run it was cast in.
        thing: The thing of the build it is.
        what: What it is today.
        because: Why, in words.
        by: The run that says so, where another than its casting does.
        is_there: Whether it still lies somewhere.
        paint: How it stands with its color, in words.
        can_be_worn: Whether it is there, sound, and has its color or gets it on the face.
        lacks_paint: Whether it is there and sound, and only its color is missing.
    """

    kept: Kept
    run: Run
    thing: str
    what: What
    because: str
    by: Run | None = None
    is_there: bool = True
    paint: str = ""
    can_be_worn: bool = False
    lacks_paint: bool = False


def pieces_of(view: View, build: str | None, until: date | None = None) -> tuple[Piece, ...]:
    """Every piece of a build, in the order they were cast.

    Args:
        view: The edition; a run it does not hold is not known of.
        build: The build's name; None for what was cast for practice.
        until: As it was on this day; None for all that the book knows.
    """
    return view.once.of(("pieces", build, until), lambda: _pieces_of(view, build, until))


def _pieces_of(view: View, build: str | None, until: date | None) -> tuple[Piece, ...]:
    model = view.models(Build).get(build) if build is not None else None
    runs = [each for each in view.evidence.lineage.of_build(build) if until is None or each.started.date() <= until]
    colors = _Colors(view, model)
    return tuple(colors.finished(_after(view, _cast(view, run, kept), runs), runs) for run in runs for kept in run.kept)


def _cast(view: View, run: Run, kept: Kept) -> Piece:
    piece = Piece(kept, run, str(run.thing or ""), "not graded", "nobody graded it")
    if run.outcome == "scrapped":
        return replace(piece, what="scrapped", because="its casting was scrapped", is_there=False)
    if run.kind == "test":
        return replace(piece, what="test", because="it came from a test")
    if len(run.kept) == 1 and (tear := tear_in(view, run)):
        return replace(piece, what="torn", because=tear)
    return replace(piece, what=kept.grade, because="graded so when it was cast") if kept.grade else piece


def _after(view: View, piece: Piece, runs: Iterable[Run]) -> Piece:
    """The piece after the runs that used it, one by one: the last that changed it says what it is."""
    for run in runs:
        for used in run.used:
            if used.piece == piece.kept.piece:
                piece = _used(view, piece, run, used)
    return piece


def _used(view: View, piece: Piece, run: Run, used: UsedPiece) -> Piece:
    gone = used.then == "discarded"
    tear = tear_in(view, run) if len(run.used) == 1 else ""
    if used.then == "repaired":
        told: tuple[What, str] | None = "repaired", f"repaired; {tear}" if tear else "repaired"
    elif is_on_a_face(view, run):
        told = "worn", "worn" if used.then else "worn; what became of it nobody wrote down"
    elif run.kind == "test":
        told = "test", "used in a test"
    elif run.outcome == "scrapped" or (gone and tear):
        told, gone = ("scrapped", tear or "the work on it was scrapped"), True
    elif gone:
        told = "used up", "thrown away"
    else:
        told = ("torn", tear) if tear else None
    if told is None:
        return piece
    return replace(piece, what=told[0], because=told[1], by=run, is_there=not gone)


def is_on_a_face(view: View, run: Run) -> bool:
    """Whether a run put pieces on somebody, kept them there, or took them off."""
    stage = view.today(run.recipe.address).partition("/")[0] if run.recipe is not None else ""
    return run.day is not None or run.look is not None or stage in ON_A_FACE


def tear_in(view: View, run: Run) -> str:
    """What a run says of a tear in its only piece; nothing where it says none."""
    return next((told for entry in run.went_wrong for told in _torn(view, entry)), "")


@entry_by_entry("failure-titles")
def _failure_titles(view: View) -> dict[str, str]:
    """The title of every failure note that can be read: a page that shows a piece bears on no other word of it."""
    return {name: str(failure.title) for name, failure in view.models(Failure).items()}


def _torn(view: View, entry: WentWrong) -> Iterator[str]:
    title = (_failure_titles(view).get(str(entry.failure)) or "") if entry.failure is not None else ""
    called = title or str(entry.what or entry.failure or "")
    if _TEAR.search(f"{entry.failure or ''} {title} {entry.what or ''}".casefold()):
        yield called[:1].lower() + called[1:]


class _Colors:
    """Where the pieces of a build get their color."""

    def __init__(self, view: View, build: Build | None) -> None:
        self._view = view
        self._build = build

    def finished(self, piece: Piece, runs: Iterable[Run]) -> Piece:
        """The piece with what is known of its color; a spare without any is none."""
        by = next((run for run in reversed(list(runs)) if self._painted(run, piece)), None)
        has_color = by is not None or (not self._made_painted(piece.thing) and self._colored_on_face(piece.thing))
        if by is not None:
            paint = f"painted {by.started.date().isoformat()}"
        elif has_color:
            paint = "colored on the face"
        else:
            paint = "no run says that it is painted"
        fit = piece.is_there and piece.what in _FIT
        if piece.what == "spare" and not has_color:
            piece = replace(piece, what="not painted", because="no spare before it is painted")
        return replace(piece, paint=paint, can_be_worn=fit and has_color, lacks_paint=fit and not has_color)

    def _painted(self, run: Run, piece: Piece) -> bool:
        return (
            run.kind == "run"
            and run.outcome in ("good", "usable")
            and any(used.piece == piece.kept.piece for used in run.used)
            and not is_on_a_face(self._view, run)
            and self._paints(run.recipe)
        )

    def _paints(self, ref: RecipeRef | None) -> bool:
        recipe = recipe_at(self._view, ref)
        return recipe is not None and any(use.as_ == "paint" for step in recipe.steps for use in step.uses)

    def _made_painted(self, thing: str) -> bool:
        """Whether a thing, or one that is made from it, is painted as the build has it."""
        things = self._build.things if self._build is not None else ()
        reached = {thing}
        while more := {str(each.id) for each in things if reached & set(map(str, each.from_))} - reached:
            reached |= more
        return any(self._paints(each.recipe) for each in things if each.id in reached)

    def _colored_on_face(self, thing: str) -> bool:
        looks = self._build.looks if self._build is not None else ()
        worn = [look for look in looks if any(piece.thing == thing for piece in look.pieces)]
        sheets = [
            recipe for look in worn for ref in look.application if (recipe := recipe_at(self._view, ref)) is not None
        ]
        return any(
            _COLOR.search(f"{step.phase or ''} {step.title}".casefold()) or any(use.as_ == "paint" for use in step.uses)
            for recipe in sheets
            for step in recipe.steps
        )


_LETTERS: Final = re.compile(r"[^\W\d_]+")


def kind_in(label: str, kinds: Iterable[str]) -> str:
    """Which kind of piece a label means: named in full, or by the letters before its number, as ``BL-04`` is a left one.

    Args:
        label: The label.
        kinds: The kinds there are of its thing: ``left``, ``right``.

    Returns:
        The kind; empty where the label does not say, or where there is but one.
    """
    said, known = label.casefold(), set(kinds) - {""}
    letters = (_LETTERS.match(said) or [""])[0]
    named = [kind for kind in known if kind.casefold() in said]
    ends = [kind for kind in known if letters and letters.endswith(kind[:1].casefold())]
    told = next((found for found in (named, ends) if len(found) == 1), [""])
    return told[0] if len(known) > 1 else ""
