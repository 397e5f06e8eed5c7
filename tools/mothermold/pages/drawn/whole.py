"""A build as a picture: its things and sheets as cards in their stages, lines along what each is made from, and its weeks."""

from __future__ import annotations

from calendar import month_abbr
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Final

from mothermold.answers.molds import GONE, molds_in
from mothermold.book.document import Document
from mothermold.model.build import STAGES_WORN, Build, Look, Thing
from mothermold.model.mold import Mold
from mothermold.model.names import RecipeRef, RunRef
from mothermold.model.pictures import Pictures
from mothermold.model.run import Run
from mothermold.pages.content import Lead
from mothermold.pages.drawn.across import across, card_width
from mothermold.pages.drawn.cards import TEXT, CardLine, CardPart, CardPicture, DrawnCard, SetCard, set_card
from mothermold.pages.drawn.down import WIDE, down
from mothermold.pages.drawn.flow import Flow, FlowLine, FlowNode
from mothermold.pages.drawn.lettering import width
from mothermold.pages.drawn.marks import key_of, mark_of
from mothermold.pages.drawn.weeks import Weeks, weeks
from mothermold.pages.pictures import alt_words
from mothermold.pages.pinned import pinned_title
from mothermold.pages.runs import entries
from mothermold.pages.wording import spoken
from mothermold.trade.vocabulary import STAGES
from mothermold.view.showing import ShownPhoto
from mothermold.view.view import View

FRAME: Final = 1118.0
"""How wide the picture is from left to right, where its stages leave it so."""
_HEAD: Final = 34.0
_MOST_MOLDS: Final = 2
_CARD_SHAPE: Final = (4, 3)
_LOW: Final = 110.0
"""How tall a picture is at most from top to bottom, on a phone: more would push the next card out of sight."""
_WORN: Final = {"application": "on", "wear": "through the day", "removal": "off"}


@dataclass(frozen=True, slots=True)
class DrawnFlow:
    """The cards and lines in one direction.

    Attributes:
        way: ``across`` or ``down``.
        flow: Where everything stands.
        cards: Each card with its words, in the order in which they are read.
    """

    way: str
    flow: Flow
    cards: tuple[SetCard, ...]


@dataclass(frozen=True, slots=True)
class DrawnBuild:
    """The picture of a build.

    Attributes:
        stages: The names of the stages, in their order.
        ways: The cards and lines from left to right, and from top to bottom.
        weeks: The calendar; None where nothing was done and no day is set.
        key: The shapes in it, each with its outline.
        broken: Whether a line is broken.
        chairs: Whether a day in the chair is marked.
    """

    stages: tuple[str, ...]
    ways: tuple[DrawnFlow, ...]
    weeks: Weeks | None
    key: Sequence[tuple[str, str]]
    broken: bool
    chairs: bool


def card_picture(view: View, shown: Iterable[Pictures]) -> CardPicture | None:
    """The last photo of the first of these that has one the edition may show; all are cut to one shape, so that cards stay low."""
    for photo in (photo for each in shown for photo in reversed(each)):
        if isinstance(view.picture(photo.file), ShownPhoto):
            return CardPicture(photo.file, *_CARD_SHAPE, alt_words(photo))
    return None


def drawn_build(view: View, document: Document[Build], runs: Sequence[Run]) -> DrawnBuild | None:
    """The picture of a build; None where it makes nothing.

    Args:
        view: The edition.
        document: The build.
        runs: The runs done for it, oldest first.
    """
    build = document.model
    molds = _molds(view, document, runs)
    cards = [*_things(view, build, runs, molds), *_sheets(view, build, runs)]
    if not cards:
        return None
    lines = [*_from(build, molds), *_onto(view, build)]
    known = _stages(view, [stage for stage, _card in cards])
    names = [each.capitalize() for each in known]
    numbered = [replace(card, stage=known.index(stage)) for stage, card in cards]
    counts = [sum(1 for each in numbered if each.stage == stage) for stage in range(len(names))]
    marks = [mark_of(each) for each in entries(view, runs)]
    wide = card_width(counts, FRAME)
    side = [set_card(each, wide) for each in numbered]
    long = [set_card(each, float(WIDE), _LOW) for each in numbered]
    # The name of an empty stage stands upright in it.
    heads = [_HEAD if count else max(_HEAD, 16 + width(name, TEXT)) for name, count in zip(names, counts, strict=True)]
    days = [day.day for day in build.days]
    return DrawnBuild(
        tuple(names),
        (
            DrawnFlow("across", across(_nodes(side), lines, heads, wide), _in_order(side)),
            DrawnFlow("down", down(_nodes(long), lines, len(names)), _in_order(long)),
        ),
        weeks(marks, days),
        key_of(marks),
        any(each.broken for each in lines),
        bool(days),
    )


def _nodes(cards: Sequence[SetCard]) -> list[FlowNode]:
    return [
        FlowNode(each.card.name, each.card.stage, each.tall, each.parts[0].y + each.parts[0].tall) for each in cards
    ]


def _in_order(cards: Sequence[SetCard]) -> tuple[SetCard, ...]:
    return tuple(sorted(cards, key=lambda each: each.card.stage))


def _stage(view: View, recipe: RecipeRef) -> str:
    return view.today(recipe.address).partition("/")[0]


def _stages(view: View, met: Sequence[str]) -> list[str]:
    """The stages every build goes through, and of a book's own those something stands in."""
    known = [each for each in view.words.stages if each in STAGES or each in met]
    return [*known, *dict.fromkeys(each for each in met if each not in known)]


# What stands on the cards.


def _things(
    view: View, build: Build, runs: Sequence[Run], molds: Mapping[str, Mapping[str, Mold]]
) -> Iterator[tuple[str, DrawnCard]]:
    for thing in build.things:
        mine = [run for run in runs if run.thing == thing.id and run.kind != "test"]
        mold = molds.get(str(thing.id), {})
        yield (
            _stage(view, thing.recipe),
            DrawnCard(
                f"thing {thing.id}",
                0,
                spoken(thing.id),
                Lead("reference", str(thing.recipe)),
                _said(view, thing.recipe, mine),
                tuple(_feet(mold)),
                card_picture(view, [thing.photos, *(run.photos for run in reversed(mine)), *_of_molds(mold)]),
            ),
        )


def _sheets(view: View, build: Build, runs: Sequence[Run]) -> Iterator[tuple[str, DrawnCard]]:
    """How each look goes on, is kept and comes off."""
    for look in build.looks:
        for (stage, number), recipe in look.recipes.items():
            mine = [
                run
                for run in runs
                if run.look == look.id and run.recipe and view.today(run.recipe.address) == view.today(recipe.address)
            ]
            title = f"{spoken(look.id)}: {_WORN[stage]}"
            yield (
                stage,
                DrawnCard(
                    _sheet(look, stage, number),
                    0,
                    title,
                    Lead("reference", str(recipe)),
                    _said(view, recipe, mine),
                    style="worn",
                ),
            )


def _sheet(look: Look, stage: str, number: int) -> str:
    return f"look {look.id} {stage} {number}"


def _said(view: View, recipe: RecipeRef, runs: Sequence[Run]) -> tuple[CardLine, ...]:
    """Which recipe and version, and how the last run ended."""
    version = f"v{recipe.version} " if recipe.version else ""
    called = CardLine(f"{version}{pinned_title(view, recipe)}", "recipe", 3)
    if not runs:
        return (called, CardLine("no run yet", "none"))
    (last,) = entries(view, runs[-1:])
    mark = mark_of(last)
    ended = f"{last.ending} {month_abbr[mark.day.month]} {mark.day.day}"
    return (called, CardLine(ended, "wrong" if mark.went_wrong else "outcome", 2, mark.outline))


def _usable_first(molds: Mapping[str, Mold]) -> list[str]:
    return sorted(molds, key=lambda name: (molds[name].state in GONE, name))


def _of_molds(molds: Mapping[str, Mold]) -> Iterator[Pictures]:
    yield from (molds[name].photos for name in _usable_first(molds))


def _feet(molds: Mapping[str, Mold]) -> Iterator[CardPart]:
    """The molds that were made of a thing, those that can be used first."""
    order = _usable_first(molds)
    for name in order[:_MOST_MOLDS]:
        mold = molds[name]
        more = len(order) - _MOST_MOLDS if name == order[:_MOST_MOLDS][-1] else 0
        state = f"{mold.state or 'state not noted'}{f'; {more} more' if more > 0 else ''}"
        lines = (CardLine(str(mold.title), "mold"), CardLine(state, "gone" if mold.state in GONE else "state"))
        yield CardPart(Lead("mold", name), lines, "gone" if mold.state in GONE else "")


def _molds(view: View, document: Document[Build], runs: Sequence[Run]) -> dict[str, dict[str, Mold]]:
    """The molds of each thing, by their names: by the run that made each, else by what was cast in it."""
    build = document.model
    made_by = {str(run.id): str(run.thing) for run in runs if run.thing}
    found: dict[str, dict[str, Mold]] = {}
    for name in molds_in(view).get(document.address, ()):
        mold = view.models(Mold)[name]
        thing = made_by.get(str(mold.made)) if isinstance(mold.made, RunRef) else None
        thing = thing or _cast_from(view, build, {str(run.thing) for run in runs if run.mold == name})
        if thing:
            found.setdefault(thing, {})[name] = mold
    return found


def _cast_from(view: View, build: Build, cast: set[str]) -> str | None:
    """The one mold that things are cast in, where they name only one."""
    by_id = {str(thing.id): thing for thing in build.things}
    molds = {
        str(name)
        for each in cast & by_id.keys()
        for name in by_id[each].from_
        if str(name) in by_id and _stage(view, by_id[str(name)].recipe) == "mold"
    }
    return molds.pop() if len(molds) == 1 else None


# The lines between them.


def _from(build: Build, molds: Mapping[str, Mapping[str, Mold]]) -> Iterator[FlowLine]:
    """Lines along what each thing is made from; broken where all molds of that are."""
    gone = {thing for thing, held in molds.items() if all(mold.state in GONE for mold in held.values())}
    for thing in build.things:
        for name in thing.from_:
            yield FlowLine(f"thing {name}", f"thing {thing.id}", str(name) in gone)


def _onto(view: View, build: Build) -> Iterator[FlowLine]:
    """Lines from the pieces of each look through how it goes on to how it comes off."""
    for look in build.looks:
        sheets = [_sheet(look, stage, number) for stage in STAGES_WORN for number in range(len(getattr(look, stage)))]
        if sheets:
            for name in dict.fromkeys(str(piece.thing) for piece in look.pieces):
                for thing in _finished(view, build, name):
                    yield FlowLine(f"thing {thing.id}", sheets[0])
        for before, after in pairwise(sheets):
            yield FlowLine(before, after)


def _finished(view: View, build: Build, name: str) -> list[Thing]:
    """What of a worn thing goes onto the face: itself, or what its finishing makes of it."""
    finishing = [each for each in build.things if _stage(view, each.recipe) == "finish"]
    after = [each for each in finishing if name in build.behind(str(each.id))]
    last = [each for each in after if not any(each.id in other.from_ for other in after)]
    return last or [each for each in build.things if each.id == name]
