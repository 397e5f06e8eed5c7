"""What a look puts on skin and hair, which clearance of its wearer covers each product, and what was read of it before a day.

The gate (`patch_tests`), the plan and the sheet of a day ask here, so that none of them can call clear what another does not.
Silence is no all-clear: a product nobody read, a reading of which the days are not written, and a lot nobody tried are said.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from typing import Final, Literal

from mothermold.book.document import Document
from mothermold.model.build import Build, Clearance, Look
from mothermold.model.material import Material
from mothermold.model.names import RecipeRef
from mothermold.model.recipe import BODY_SURFACES
from mothermold.reckon.nesting import materials_used
from mothermold.trade.skin import PATCH_TEST_DAYS
from mothermold.view.ruling import Ruling

_ON_THE_BODY: Final = frozenset({"glue", "attach", "remove"})
_NOT_TESTED: Final = frozenset({"water", "disposable"})


@dataclass(frozen=True, slots=True)
class PatchWanted:
    """A patch test that is still to be put on or read before a look is worn.

    Attributes:
        wearer: Whose.
        products: What is to be tried.
        tested: When the patch was put on, where it is on already.
    """

    wearer: str
    products: tuple[str, ...]
    tested: date | None


@dataclass(frozen=True, slots=True)
class PatchOnRecord:
    """A patch test that a build says was clear.

    Attributes:
        wearer: Whose.
        products: What it covers.
        on: The day it was read; None where it was not read so late that it counts, or nobody wrote whether it was.
    """

    wearer: str
    products: frozenset[str]
    on: date | None


PatchReading = Literal["clear", "none", "not read", "too late", "too soon", "days not known"]
"""What is known of a product before a day. All but ``clear`` keep it off the skin."""


@dataclass(frozen=True, slots=True)
class ProductReading:
    """What was read of one product for one wearer before one day.

    Attributes:
        product: The material.
        reading: What is known.
        on: When it was read, the last time; None where it was not.
        lots: The lots that were tried; empty where nobody wrote one down.
    """

    product: str
    reading: PatchReading
    on: date | None
    lots: tuple[str, ...]


@dataclass(frozen=True)
class PatchCover:
    """What the clearances of a build cover.

    Attributes:
        build: The build.
        ruling: Knows the materials and the texts of versions.
    """

    build: Build
    ruling: Ruling

    @cached_property
    def covered(self) -> list[frozenset[str]]:
        """The products of each clearance: those it names, and all that its recipes bring on skin."""
        return [
            frozenset(
                [
                    *self.products(each.recipes.values()),
                    *map(str, each.products),
                    *(str(entry.material) for entry in each.lots),
                ]
            )
            for each in self.build.cleared
        ]

    def products(self, refs: Iterable[RecipeRef]) -> dict[str, None]:
        """The materials of recipes that come onto skin or hair, in order."""
        return products_on_a_body(self.ruling, refs)

    def covering(self, wearer: str, product: str) -> list[int]:
        """The clearances of a wearer that cover a product, by their places."""
        return [
            index
            for index, each in enumerate(self.build.cleared)
            if each.wearer == wearer and product in self.covered[index]
        ]

    def readings(self, look: Look, day: date) -> list[ProductReading]:
        """What was read, before a day, of everything a look brings on skin and hair; of a look without a wearer nothing was."""
        wearer = self.build.wearer_of(look)
        return [self._reading(wearer, product, day) for product in self.products(look.recipes.values())]

    def _reading(self, wearer: str | None, product: str, day: date) -> ProductReading:
        told = [self.build.cleared[index] for index in self.covering(wearer, product)] if wearer else []
        states = [(_state(each, day), each) for each in told]
        clear = [each for state, each in states if state == "clear"]
        if clear:
            last = max(each.on for each in clear if each.on is not None)
            return ProductReading(product, "clear", last, _tried(clear, product))
        # The nearest to clear says best what is missing.
        order: list[PatchReading] = ["days not known", "too late", "too soon", "not read"]
        state: PatchReading = next((state for state in order if any(state == each for each, _one in states)), "none")
        read = [each.on for each_state, each in states if each_state == state and each.on]
        return ProductReading(product, state, max(read, default=None), _tried(told, product))


def products_on_a_body(ruling: Ruling, refs: Iterable[RecipeRef]) -> dict[str, None]:
    """The materials of recipes that come onto skin or hair, in order.

    Args:
        ruling: Knows the materials and the texts of versions.
        refs: The recipes, in their versions.
    """
    found: dict[str, None] = {}
    for recipe in map(ruling.text, refs):
        if recipe is None:
            continue
        mixes = {str(mix.id): mix for mix in recipe.mixes}
        for use in (use for step in recipe.steps for use in step.uses):
            if not (set(use.on) & BODY_SURFACES or use.as_ in _ON_THE_BODY):
                continue
            names = materials_used(use, mixes)
            found |= dict.fromkeys(name for name in names if not _is_tool(ruling.materials, name))
    return found


def patches_on_record(build: Build, ruling: Ruling) -> Iterator[PatchOnRecord]:
    """The patch tests a build holds; one without both its days counts for nothing here, for silence is no all-clear.

    Args:
        build: The build.
        ruling: Knows the materials and the texts of versions.
    """
    for clearance, products in zip(build.cleared, PatchCover(build, ruling).covered, strict=True):
        days = days_between(clearance)
        counts = days is not None and days >= PATCH_TEST_DAYS
        yield PatchOnRecord(str(clearance.wearer), products, clearance.on if counts else None)


def _state(each: Clearance, day: date) -> PatchReading:
    if each.on is None:
        return "not read"
    if each.on >= day:
        return "too late"
    days = days_between(each)
    if days is None:
        return "days not known"
    return "clear" if days >= PATCH_TEST_DAYS else "too soon"


def _tried(clearances: Iterable[Clearance], product: str) -> tuple[str, ...]:
    lots = (str(entry.lot) for each in clearances for entry in each.lots if entry.material == product)
    return tuple(dict.fromkeys(lots))


def patch_tests_wanted(document: Document[Build], ruling: Ruling, by: date) -> dict[str, PatchWanted]:
    """By look what its wearer has no clear reading of when it is worn, a reading less than 48 h after the patch not counted.

    Args:
        document: The build.
        ruling: Knows the materials and the texts of versions.
        by: The day.
    """
    build = document.model
    cover, found = PatchCover(build, ruling), dict[str, PatchWanted]()
    for look in build.looks:
        wearer = build.wearer_of(look)
        if wearer is None:
            continue
        covering = {name: cover.covering(wearer, name) for name in cover.products(look.recipes.values())}
        missing = {
            name: at for name, at in covering.items() if not any(_is_read(build.cleared[each], by) for each in at)
        }
        on = [
            [each.tested for number in at if (each := build.cleared[number]).tested and each.tested <= by]
            for at in missing.values()
        ]
        if missing:
            found[str(look.id)] = PatchWanted(wearer, tuple(missing), max(map(max, on)) if all(on) else None)
    return found


def _is_read(clearance: Clearance, by: date) -> bool:
    days = days_between(clearance)
    return clearance.on is not None and clearance.on <= by and (days is None or days >= PATCH_TEST_DAYS)


def days_between(clearance: Clearance) -> int | None:
    """Days from putting a patch on to reading it; None where either is not written."""
    if clearance.tested is None or clearance.on is None:
        return None
    return (clearance.on - clearance.tested).days


def _is_tool(materials: Mapping[str, Material], name: str) -> bool:
    # What the book does not hold, or cannot read, says so itself.
    material = materials.get(name)
    return material is None or set(material.families) <= _NOT_TESTED
