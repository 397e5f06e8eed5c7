"""What a course takes of each material: every recipe a session teaches, done once at each table; and what is to be bought for it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from mothermold.answers.packs_to_buy import PacksToBuy, Shopping
from mothermold.answers.recipes import pinned_recipe
from mothermold.answers.result import title_words
from mothermold.model.course import Course, Session
from mothermold.model.material import Material
from mothermold.model.names import RecipeRef
from mothermold.model.recipe import Recipe
from mothermold.quantities.wording import plain_number, weight_in_words
from mothermold.reckon.taking import Taken, doing_takes
from mothermold.view.view import View


@dataclass(frozen=True, slots=True)
class MaterialForClass:
    """A material the class uses up.

    Attributes:
        name: The material.
        title: What it is called.
        one: How much goes at one table, in words; of what is weighed once for the whole class, all of it.
        whole: How much goes at all tables together, in words.
        packs: What is in hand and what to buy; None where nothing is bought, and in an edition without lots and prices.
    """

    name: str
    title: str
    one: str
    whole: str
    packs: PacksToBuy | None


@dataclass(frozen=True, slots=True)
class ClassMaterials:
    """What a course takes.

    Attributes:
        taken: Of each material, for all tables together; and of which nobody can say how much.
        one: The same at one table.
        tables: At how many tables each recipe is done, where a session teaches it at the most.
        until: The last day of the course; None where no day is written.
        needs: What every table has at hand, as the recipes say it.
        unread: The recipes that cannot be read.
    """

    taken: Taken
    one: Taken
    tables: int
    until: date | None
    needs: tuple[str, ...]
    unread: tuple[RecipeRef, ...]


def class_materials(view: View, course: Course) -> ClassMaterials:
    """What a course takes, at the versions it pins.

    Args:
        view: The edition.
        course: A course of it.
    """
    materials: Mapping[str, Material] = view.models(Material)
    taken, one = Taken(), Taken()
    unread, needs = dict[RecipeRef, None](), dict[str, None]()
    for times, ref in _done(course):
        if (recipe := pinned_recipe(view, ref)) is None:
            unread[ref] = None
            continue
        _take(recipe, materials, Fraction(times), taken)
        _take(recipe, materials, Fraction(1), one)
        needs |= dict.fromkeys(map(str, recipe.needs))
    tables = max((times for times, _ref in _done(course)), default=1)
    until = max((each.day for each in course.sessions if each.day), default=None)
    return ClassMaterials(taken, one, tables, until, tuple(needs), tuple(unread))


def _done(course: Course) -> Iterator[tuple[int, RecipeRef]]:
    """At how many tables each recipe is done; where no session says what it teaches, all that is pinned, once by each student."""
    if any(session.covers for session in course.sessions):
        yield from ((tables_of(course, session), ref) for session in course.sessions for ref in session.covers)
    else:
        yield from ((tables_of(course, Session()), ref) for ref in course.pins)


def _take(recipe: Recipe, materials: Mapping[str, Material], times: Fraction, taken: Taken) -> None:
    doing = doing_takes(recipe, materials)
    taken.take(Taken(doing.each.amounts), times)
    # Every table has a mold and a face of its own; what is weighed once for a whole build is weighed once for the class.
    taken.take(Taken(doing.set_up.amounts), times)
    taken.take(Taken(doing.batches.amounts))
    # Several recipes may be silent on the same material, each in its own place.
    for name, why in {**doing.once.unknown, **doing.each.unknown}.items():
        before = taken.unknown.get(name)
        taken.unknown[name] = f"{before}; " * bool(before) + f"in {recipe.title} {why}"
    for jar, grams in doing.each.jars.items():
        taken.take(doing.pots[jar], grams * times)


def tables_of(course: Course, session: Session) -> int:
    """At how many places a session's recipes are done: its tables, else one for each student, else one."""
    return int(session.tables or course.students or 1)


def materials_for_class(view: View, told: ClassMaterials) -> tuple[list[MaterialForClass], list[str]]:
    """The materials by title, with what to buy where the edition is the owner's; and in sentences what is not counted, and why.

    Args:
        view: The edition.
        told: What the course takes.
    """
    titles = title_words(view)
    packs: dict[str, PacksToBuy] = {}
    unsure = [f"{titles.get(name, name)}: {why}." for name, why in told.taken.unknown.items()]
    unsure += [f"{ref} cannot be read, so what it takes is not in here." for ref in told.unread]
    if view.edition == "private":
        shopping = Shopping(view, told.taken, told.until, tuple(map(str, told.unread)))
        packs, unsure = {row.material: row for row in shopping.packs}, list(dict.fromkeys(shopping.unsure))
    rows = [
        MaterialForClass(
            name,
            titles.get(name, name),
            amounts_in_words(told.one.amounts.get(name, {})),
            amounts_in_words(units),
            packs.get(name),
        )
        for name, units in told.taken.amounts.items()
        if any(units.values())
    ]
    return sorted(rows, key=lambda each: each.title.casefold()), unsure


def amounts_in_words(units: Mapping[str, Fraction]) -> str:
    """How much of a material, each unit by itself: ``1.24 kg, 3 sheets``."""
    return ", ".join(_amount(unit, amount) for unit, amount in sorted(units.items()) if amount)


def _amount(unit: str, amount: Fraction) -> str:
    if unit == "g":
        return f"{plain_number(amount / 1000, 3)} kg" if amount >= 1000 else weight_in_words(amount)
    return f"{plain_number(amount, 3)} {unit.removesuffix('s') if amount == 1 else unit}"
