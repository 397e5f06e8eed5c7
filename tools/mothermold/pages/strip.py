"""Where one is: the way of a build past a recipe, a run or a mold, from the head cast to the removal, with what comes before and after."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial

from mothermold.answers.day_sheet import days_of
from mothermold.book.document import Document
from mothermold.book.files import build_of
from mothermold.model.build import STAGES_WORN, Build
from mothermold.model.mold import Mold
from mothermold.model.names import RecipeRef, RunRef
from mothermold.model.run import Run
from mothermold.pages.wording import spoken
from mothermold.view.sums import entry_by_entry
from mothermold.view.view import View


@dataclass(frozen=True, slots=True)
class Stop:
    """Something that is made, put on or taken off on the way.

    Attributes:
        words: What it is called there: its stage, where nothing else of the way is of that stage.
        recipe: The recipe version it is done by.
        here: Whether the page is about it.
    """

    words: str
    recipe: RecipeRef
    here: bool


@dataclass(frozen=True, slots=True)
class BuildStrip:
    """A way through a build.

    Attributes:
        build: The build's name.
        title: Its title.
        stops: What is passed, in order.
        before: What it is made from, where there is something.
        after: What is made from it, likewise.
        days: The days in the chair, where the page is about what is put on, kept or taken off there; the owner's alone.
    """

    build: str
    title: str
    stops: Sequence[Stop]
    before: Stop | None
    after: Stop | None
    days: Sequence[str] = ()


@dataclass(frozen=True, slots=True)
class _WayPlace:
    """A thing of a build, or a sheet of one of its looks: its recipe, and the places it comes from."""

    name: str
    recipe: RecipeRef
    origins: tuple[str, ...]

    @property
    def stage(self) -> str:
        return self.recipe.address.partition("/")[0]


def recipe_strips(view: View, address: str, version: int | None = None) -> list[BuildStrip]:
    """Where a recipe stands, in each build that uses it.

    Args:
        view: The edition.
        address: The recipe.
        version: The version that is meant; any unless given.
    """

    def here(place: _WayPlace) -> bool:
        return view.today(place.recipe.address) == address and version in (None, place.recipe.version)

    builds = view.models(Build)
    found = (_strip(view, name, builds[name], here) for name in _using(view).get(address, ()))
    return [each for each in found if each is not None]


def document_strips(view: View, document: Document) -> list[BuildStrip]:
    """Where a run or a mold stands in the build it was done for; nothing for what belongs to none.

    Args:
        view: The edition.
        document: The document, of any kind.
    """
    name, model = build_of(document.file), document.model
    build = view.models(Build).get(name) if name is not None else None
    if name is None or build is None or not isinstance(model, Run | Mold):
        return []
    here = (
        partial(_is_of_run, view, model) if isinstance(model, Run) else _of_mold(view, document.address, model, build)
    )
    strip = _strip(view, name, build, here)
    return [strip] if strip is not None else []


def piece_strips(view: View, name: str, thing: str, runs: Iterable[Run]) -> list[BuildStrip]:
    """Where a piece stands in its build: at the last that was made of it.

    Args:
        view: The edition.
        name: The build.
        thing: The thing it was cast as.
        runs: The runs that cast it and used it, oldest first.
    """
    build = view.models(Build).get(name)
    if build is None:
        return []
    places = {place.name for place in _places(build)}
    at = next((str(run.thing) for run in reversed(list(runs)) if str(run.thing) in places), thing)
    strip = _strip(view, name, build, lambda place: place.name == at)
    return [strip] if strip is not None else []


@entry_by_entry("builds-of-recipe")
def _using(view: View) -> dict[str, list[str]]:
    """The builds that use each recipe, by the address it has today."""
    found: dict[str, dict[str, None]] = {}
    for name, build in sorted(view.models(Build).items()):
        for place in _places(build):
            found.setdefault(view.today(place.recipe.address), {})[name] = None
    return {address: list(names) for address, names in found.items()}


def _is_of_run(view: View, run: Run, place: _WayPlace) -> bool:
    if run.thing is not None:
        return place.name == run.thing
    return run.recipe is not None and view.today(place.recipe.address) == view.today(run.recipe.address)


def _of_mold(view: View, name: str, mold: Mold, build: Build) -> Callable[[_WayPlace], bool]:
    """A mold is the thing its run made, else what the things cast in it are made from."""
    made = view.models(Run).get(str(mold.made)) if isinstance(mold.made, RunRef) else None
    if made is not None:
        return partial(_is_of_run, view, made)
    cast = {str(run.thing) for run in view.evidence.lineage.in_mold(name) if run.thing is not None}
    origins = {origin for thing in build.things if thing.id in cast for origin in thing.from_}
    return lambda place: place.name in origins and place.stage == "mold"


def _strip(view: View, name: str, build: Build, here: Callable[[_WayPlace], bool]) -> BuildStrip | None:
    places = list(_places(build))
    mine = [place for place in places if here(place)]
    if not mine:
        return None
    way = _in_order(view, _way(places, mine))
    stages = Counter(place.stage for place in way)
    stops = {
        place.name: Stop(place.stage if stages[place.stage] == 1 else spoken(place.name), place.recipe, place in mine)
        for place in way
    }
    in_chair = any(place.stage in STAGES_WORN for place in mine)
    before = [stops[place.name] for place in way if any(place.name in each.origins for each in mine)]
    after = [stops[place.name] for place in way if any(each.name in place.origins for each in mine)]
    return BuildStrip(
        name,
        build.title,
        tuple(stops.values()),
        before[-1] if before else None,
        after[0] if after else None,
        tuple(each.isoformat() for each in days_of(build)) if view.edition == "private" and in_chair else (),
    )


def _places(build: Build) -> Iterator[_WayPlace]:
    """The things, then what is done with each look: the first sheet takes its pieces, each other one follows."""
    made_of = {origin for thing in build.things for origin in thing.from_}
    yield from (_WayPlace(thing.id, thing.recipe, tuple(thing.from_)) for thing in build.things)
    for look in build.looks:
        pieces = {str(piece.thing) for piece in look.pieces}
        # What goes on is the last that was made of a piece: washed, painted, with its hair in.
        ends = {thing.id for thing in build.things if thing.id not in made_of and _roots(build, thing.id) & pieces}
        before = tuple(sorted(ends | (pieces - made_of)))
        for place, recipe in look.recipes.items():
            name = f"{look.called(place).removeprefix('the ')}{f' ({spoken(look.id)})' if len(build.looks) > 1 else ''}"
            yield _WayPlace(name, recipe, before)
            before = (name,)


def _roots(build: Build, name: str) -> set[str]:
    origins = {str(thing.id): thing.from_ for thing in build.things}
    found, left = set[str](), [name]
    while left:
        each = left.pop()
        if each not in found:
            found.add(each)
            left += map(str, origins.get(each, ()))
    return found


def _way(places: Sequence[_WayPlace], mine: Sequence[_WayPlace]) -> list[_WayPlace]:
    """What these come from and what comes from them, near or far."""
    by_name = {place.name: place for place in places}
    behind = _reached(mine, lambda place: (by_name[name] for name in place.origins if name in by_name))
    ahead = _reached(mine, lambda place: (each for each in places if place.name in each.origins))
    return [place for place in places if place.name in behind | ahead]


def _reached(mine: Sequence[_WayPlace], onward: Callable[[_WayPlace], Iterable[_WayPlace]]) -> set[str]:
    found, left = set[str](), list(mine)
    while left:
        place = left.pop()
        if place.name not in found:
            found.add(place.name)
            left += onward(place)
    return found


def _in_order(view: View, way: Sequence[_WayPlace]) -> list[_WayPlace]:
    """What comes from something stands behind it; what is free to stand anywhere goes by its stage."""
    order = {stage: number for number, stage in enumerate(view.words.stages)}
    left = sorted(way, key=lambda place: order.get(place.stage, len(order)))
    found: list[_WayPlace] = []
    while left:
        waiting = {place.name for place in left}
        # Things that are made of each other in a circle stay in the order of their stages.
        place = next((each for each in left if waiting.isdisjoint(each.origins)), left[0])
        left.remove(place)
        found.append(place)
    return found
