"""What a class uses up: of each material what one run of every recipe takes, times students or tables, and what is in hand.

It adds up what the recipes say, with their own allowance and nothing on top; what they do not say is listed, and never counted as none.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Final

from mothermold.handouts.pen import TICK
from mothermold.handouts.prose import Block, Letters
from mothermold.handouts.recipe_text import RecipeOnPaper
from mothermold.model.course import Course
from mothermold.model.material import Material
from mothermold.pages.saying import Loose, marked, quiet
from mothermold.quantities import Quantity
from mothermold.quantities.wording import plain_number, weight_in_words
from mothermold.reckon.batches import Wanted, reckon_batch
from mothermold.reckon.errors import ReckoningError
from mothermold.reckon.lots import stock
from mothermold.reckon.mixes import resolve
from mothermold.view.view import View

_COUNTED: Final = re.compile(r"(\d+(?:\.\d+)?) (\D+)")


@dataclass(slots=True)
class UsedUp:
    """How much of a material one run of each recipe takes.

    Attributes:
        grams: By weight.
        milliliters: By volume, where no density makes grams of it.
        counted: What is counted: how many of what, as ``sheet``.
        by_eye: As written, what nobody weighs or counts.
    """

    grams: Fraction = Fraction(0)
    milliliters: Fraction = Fraction(0)
    counted: dict[str, Fraction] = field(default_factory=dict)
    by_eye: list[str] = field(default_factory=list)

    def add(self, text: str) -> None:
        """Adds what is neither weighed nor measured, as written."""
        if (found := _COUNTED.fullmatch(text)) is None:
            self.by_eye.append(text)
        else:
            what = found[2].removesuffix("s")
            self.counted[what] = self.counted.get(what, Fraction(0)) + Fraction(found[1])

    def words(self, times: int) -> str:
        """So many times as much, in words."""
        told = [_weight(self.grams * times)] if self.grams else []
        told += [f"{plain_number(self.milliliters * times, 3)} ml"] if self.milliliters else []
        told += [f"{plain_number(n * times)} {what}{'' if n * times == 1 else 's'}" for what, n in self.counted.items()]
        return " + ".join(told + [f"{times} × {each}" for each in self.by_eye])


def _weight(grams: Fraction) -> str:
    return f"{float(grams / 1000):.1f} kg" if grams >= 10_000 else weight_in_words(grams)


def buying_blocks(view: View, course: Course, texts: Sequence[RecipeOnPaper]) -> Iterator[Block]:
    """The list of a course, below its title."""
    sums: dict[str, UsedUp] = {}
    unknown: list[str] = []
    for text in texts:
        _mixes(view, text, sums, unknown)
        _uses(view, text, sums, unknown)
    pen = texts[0].pen if texts else None
    if pen is None:
        return
    tables = max((int(session.tables) for session in course.sessions if session.tables), default=0)
    counts = {"One run": 1} | ({f"{course.students} students": int(course.students)} if course.students else {}) | ({f"{tables} tables": tables} if tables else {})  # fmt: skip
    yield pen.para(
        "One run of each recipe of the course, and as many as there are students or tables. Nothing is added for what goes wrong."
    )
    if not course.students:
        yield pen.para("The course does not say how many students there are.", style="banner")
    # Lots are in the owner's edition alone.
    owns = view.edition == "private"
    titles, materials = texts[0].titles, view.models(Material)
    rows: list[list[Loose | Letters]] = [
        [TICK, marked("strong", titles.get(name, name)), *(each.words(times) for times in counts.values()), *([_in_hand(materials.get(name))] if owns else ())]
        for name, each in sorted(sums.items(), key=lambda item: titles.get(item[0], item[0]).casefold())
    ]  # fmt: skip
    yield pen.heading("Materials")
    yield from pen.table(
        {"": "tick", "Material": "wide"} | dict.fromkeys(counts, "sum") | ({"In hand": "number"} if owns else {}), rows
    )
    if unknown:
        yield pen.heading("Not counted, because nobody wrote how much")
        yield from pen.points(dict.fromkeys(unknown))
    needs = dict.fromkeys(str(need) for text in texts for need in text.recipe.needs)
    if needs:
        yield pen.heading("At hand at every table")
        yield from pen.points(needs, "ticks")
    yield pen.para(quiet("Prices and packs stand in the materials; the makers' safety sheets are bought along."))


def _mixes(view: View, text: RecipeOnPaper, sums: dict[str, UsedUp], unknown: list[str]) -> None:
    """What the mixes take that go into no other, at the size the recipe writes."""
    recipe, materials = text.recipe, view.models(Material)
    inside = {str(part.mix) for mix in recipe.mixes for part in mix.parts if part.mix}
    for mix in recipe.mixes:
        if mix.id in inside:
            continue
        try:
            resolved = resolve(recipe.mixes, mix.id, materials)
            sheet = reckon_batch(resolved, Wanted(), view.settings.scales, flat=True)
        except ReckoningError as problem:
            unknown.append(f"{text.titles[mix.id]} of {recipe.title}: {problem.message}")
            continue
        for line in sheet.lines:
            found = sums.setdefault(line.name, UsedUp())
            if line.grams is not None:
                found.grams += line.grams
            if line.outside:
                found.add(line.outside)


def _uses(view: View, text: RecipeOnPaper, sums: dict[str, UsedUp], unknown: list[str]) -> None:
    """What the steps take of materials themselves."""
    for step in text.recipe.steps:
        for use in step.uses:
            if not use.material:
                continue
            name = str(use.material)
            material = view.models(Material).get(name)
            amount = use.amount
            if not isinstance(amount, Quantity):
                unknown.append(f"{text.titles.get(name, name)}, in {text.recipe.title}: {step.title}")
                continue
            found = sums.setdefault(name, UsedUp())
            if amount.dimension == "mass":
                found.grams += amount.high
            elif amount.dimension == "volume" and material is not None and material.density is not None:
                found.grams += amount.high * material.density.value
            elif amount.dimension == "volume":
                found.milliliters += amount.high
            else:
                found.add(str(amount))


def _in_hand(material: Material | None) -> str:
    """What the lots in use hold; only the owner's edition knows of lots."""
    held = stock(material) if material is not None and material.lots else None
    if held is None:
        return "not known"
    more = " and more" if held.unknown or held.closed else ""
    left = _weight(held.amount) if held.unit == "g" else f"{plain_number(held.amount, 4)} ml"
    return f"{left}{more}"
