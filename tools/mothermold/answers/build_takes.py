"""What a build still takes: its castings, their finish, the things not made yet, and the days on the face; and what each doing takes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from fractions import Fraction
from math import ceil

from mothermold.answers.castings_needed import CastingsNeeded, days_left, pieces_a_doing
from mothermold.answers.molds import is_offered, molds_in, molds_of
from mothermold.answers.recipes import recipe_at
from mothermold.answers.records import last_casting
from mothermold.answers.stock import jars_of
from mothermold.model.build import Build, Thing
from mothermold.model.material import Material
from mothermold.model.mold import Mold
from mothermold.model.names import RecipeRef
from mothermold.model.recipe import Recipe
from mothermold.reckon.batches import Wanted
from mothermold.reckon.taking import DoingTakes, Taken, doing_takes
from mothermold.view.learning import learned_of
from mothermold.view.view import View


@dataclass
class BuildTakes:
    """What a build still takes.

    Attributes:
        taken: In all; what stands in jars is taken off already.
        first: By material the first of the days to come it is for; the same for all that is cast.
        until: The last of the days to come; None where there is none.
        to_make: The things that are not made yet.
        unread: The recipes that cannot be read.
    """

    taken: Taken = field(default_factory=Taken)
    first: date | None = None
    until: date | None = None
    to_make: tuple[str, ...] = ()
    unread: tuple[str, ...] = ()


class Kitchen:
    """The recipes of a build, each with what a doing of it takes.

    Args:
        view: The edition.
        name: The build.
    """

    def __init__(self, view: View, name: str) -> None:
        self.view, self.name = view, name
        self.build = view.models(Build)[name]
        self.materials: Mapping[str, Material] = view.models(Material)
        self._doings: dict[tuple[str, str], DoingTakes | None] = {}
        self._recipes: dict[str, Recipe | None] = {}

    def recipe(self, ref: RecipeRef) -> Recipe | None:
        """A recipe in the version that is named; None where it cannot be read."""
        key = str(ref)
        if key not in self._recipes:
            self._recipes[key] = recipe_at(self.view, ref)
        return self._recipes[key]

    def doing(self, ref: RecipeRef, thing: str = "") -> DoingTakes | None:
        """What one doing of a recipe takes, for a thing as its mold holds it; None where the recipe cannot be read."""
        key = str(ref), thing
        if key not in self._doings:
            recipe = self.recipe(ref)
            address = self.view.today(ref.address)
            # The molds known of for what is made before a casting are not the ones it is poured into.
            fill = self._fill(address) if thing and address.startswith("cast/") else None
            self._doings[key] = doing_takes(recipe, self.materials, fill) if recipe is not None else None
        return self._doings[key]

    def learned_hands(self, ref: RecipeRef) -> dict[str, Fraction]:
        """The hands-on minutes of a recipe's steps as runs had them, of those with runs enough for a band."""
        recipe = self.recipe(ref)
        told = learned_of(self.view, self.view.today(ref.address), recipe) if recipe is not None else None
        observed = told.observed if told is not None else ()
        return {each.of: each.middle for each in observed if each.what == "hands-on" and each.band is not None}

    def _fill(self, address: str) -> Wanted | None:
        """What the build's own mold takes: as measured, else as its last good casting weighed; None where nothing says it."""
        molds = self.view.models(Mold)
        mine = [name for name in molds_of(self.view, address) if name in molds_in(self.view).get(self.name, ())]
        mine = [name for name in mine if is_offered(molds[name])]
        measured = [cavity.volume.value for name in mine if (cavity := molds[name].cavity) is not None]
        if measured:
            # Of several the largest: it is enough for each.
            return Wanted(fill=max(measured))
        weighed = [each.weight.value for name in mine if (each := last_casting(self.view, name, address)) is not None]
        return Wanted(piece=max(weighed)) if weighed else None

    def downstream(self, thing: str) -> Iterator[Thing]:
        """What is made from a casting before it is worn: the washed, the painted, the haired one."""
        for each in self.build.things:
            if (
                each.id != thing
                and thing in self.build.behind(str(each.id))
                and each.recipe.address.startswith("finish/")
            ):
                yield each

    def upstream(self, thing: str) -> Iterator[Thing]:
        """What a casting is made from: its mold, the sculpture, the head."""
        behind = set(self.build.behind(thing)[1:])
        return (each for each in self.build.things if each.id in behind)


def build_takes(kitchen: Kitchen, castings: Sequence[CastingsNeeded], today: date | None) -> BuildTakes:
    """What a build still takes.

    Args:
        kitchen: The build.
        castings: The castings it needs.
        today: Days after this one are still to come.
    """
    build, found = kitchen.build, BuildTakes()
    comers = [day for look in build.looks for day in days_left(build, look, today)]
    found.first, found.until = min(comers, default=None), max(comers, default=None)
    errands = [*_castings(kitchen, castings), *_sheets(kitchen, today)]
    if comers or not build.days:
        things = list(_to_make(kitchen, castings))
        found.to_make = tuple(str(each.id) for each in things)
        errands += [(each.recipe, str(each.id), Fraction(1), True) for each in things]
    jars: dict[tuple[str, str], tuple[Fraction, Taken]] = {}
    unread: dict[str, None] = {}
    for ref, thing, times, anew in errands:
        doing = kitchen.doing(ref, thing)
        if doing is None:
            unread[str(ref)] = None
            continue
        found.taken.take(Taken(doing.each.amounts, unknown=doing.each.unknown), times)
        if anew and times:
            found.taken.take(doing.once)
        for mix, grams in doing.each.jars.items():
            key = kitchen.view.today(ref.address), mix
            jars[key] = (jars.get(key, (Fraction(0), Taken()))[0] + grams * times, doing.pots[mix])
    stand = jars_of(kitchen.view, kitchen.name)
    for key, (grams, pot) in jars.items():
        left = stand[key].left if key in stand else Fraction(0)
        found.taken.take(pot, max(grams - left, Fraction(0)))
    found.unread = tuple(unread)
    return found


Errand = tuple[RecipeRef, str, Fraction, bool]
"""A recipe, the thing it is done for, how often, and whether what is taken once is still to be taken."""


def _castings(kitchen: Kitchen, castings: Sequence[CastingsNeeded]) -> Iterator[Errand]:
    done = _made(kitchen)
    for each in castings:
        name = str(each.thing.id)
        if each.reckoned_with:
            yield each.thing.recipe, name, Fraction(each.reckoned_with), name not in done
        unfinished = max(each.wanted - each.ready, 0)
        for thing in kitchen.downstream(name):
            gives = sum(pieces_a_doing(kitchen.recipe(thing.recipe)).values())
            yield thing.recipe, str(thing.id), Fraction(ceil(Fraction(unfinished, gives))), str(thing.id) not in done


def _sheets(kitchen: Kitchen, today: date | None) -> Iterator[Errand]:
    for look in kitchen.build.looks:
        if days := days_left(kitchen.build, look, today):
            for ref in look.recipes.values():
                yield ref, "", Fraction(len(days)), True


def _to_make(kitchen: Kitchen, castings: Sequence[CastingsNeeded]) -> Iterator[Thing]:
    done, worn = _made(kitchen), {str(each.thing.id) for each in castings}
    finished = {str(thing.id) for name in worn for thing in kitchen.downstream(name)}
    return (each for each in kitchen.build.things if str(each.id) not in done | worn | finished)


def _made(kitchen: Kitchen) -> set[str]:
    """The things some run made or is making, and what these are made from; a scrapped one made nothing."""
    runs = kitchen.view.evidence.lineage.of_build(kitchen.name)
    made = {str(run.thing) for run in runs if run.kind == "run" and run.outcome != "scrapped" and run.thing is not None}
    return {behind for name in made for behind in kitchen.build.behind(name)}
