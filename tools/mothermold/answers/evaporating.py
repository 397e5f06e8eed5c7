"""What evaporates in each step of a recipe, what may and is not known, and what is known to give off nothing."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from fractions import Fraction

from mothermold.book.document import Document
from mothermold.ground.notices import Notice
from mothermold.model.material import Material
from mothermold.model.recipe import Mix, Recipe, Step, Use
from mothermold.model.walk import KeyPath
from mothermold.quantities import Quantity
from mothermold.quantities.wording import plain_number
from mothermold.reckon.batches import Wanted, reckon_batch
from mothermold.reckon.errors import ReckoningError
from mothermold.reckon.mixes import Resolved, resolve
from mothermold.reckon.nesting import materials_inside
from mothermold.trade.substances import Substance, substance_of
from mothermold.trade.vapors import GivesOff, gives_off
from mothermold.trade.vocabulary import family_words


@dataclass(frozen=True, slots=True)
class Usual:
    """That the usual value of a family stands for a material's own, in place of its maker's."""

    material: str
    family: GivesOff

    @property
    def words(self) -> str:
        """The same in words, with what is reckoned and on what it rests."""
        told = self.family
        return (
            f"`{self.material}`: not its maker's figure but usual for {family_words(told.family)}, {told.share} of its weight, "
            f"worked out at {plain_number(told.percent[1])} % ({told.words}; {told.source})"
        )


@dataclass(slots=True)
class Evaporating:
    """What evaporates in one step: grams of a substance over some minutes.

    Attributes:
        step: The step.
        name: What it is called.
        substance: What is known of it; None where the table has nothing.
        grams: How much.
        minutes: Over how long.
        usual: Where it is a family's usual value, of which materials; empty where the makers told it.
    """

    step: str
    name: str
    substance: Substance | None
    grams: float
    minutes: float
    usual: list[Usual] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class NotKnown:
    """That a material may evaporate and is not in the estimate: in which step (None where no step uses it), and why."""

    step: str | None
    material: str
    why: str


class Air:
    """What a recipe gives off.

    Args:
        document: The recipe's document, for the places of notices.
        recipe: The recipe.
        materials: The book's materials by name.
        minutes: Over how long it evaporates; None for the step's own work.

    Attributes:
        found: What evaporates, step by step; what a maker tells and what is usual for a family stay apart.
        not_known: What may evaporate and is not in the estimate.
        nothing: The materials known to give off nothing, with the families this rests on.
        notices: What is said about it.
    """

    def __init__(
        self, document: Document, recipe: Recipe, materials: Mapping[str, Material], minutes: Fraction | None
    ) -> None:
        self.document, self.recipe, self.materials, self.minutes = document, recipe, materials, minutes
        self.found: list[Evaporating] = []
        self.not_known: list[NotKnown] = []
        self.nothing: dict[str, tuple[GivesOff, ...]] = {}
        self.notices: list[Notice] = []
        for index, step in enumerate(recipe.steps):
            self._step(step, index)
        self._unused()

    def _step(self, step: Step, index: int) -> None:
        here: dict[tuple[str, bool], Evaporating] = {}
        for place, use in enumerate(step.uses):
            for name, mass in _used(self.recipe, use, self.materials):
                for called, known, share, usual in self._of(name, step, ("steps", index, "uses", place)):
                    if mass is None:
                        self._unknown_amount(name, step, ("steps", index, "uses", place))
                        break
                    # One substance under two names in two materials is one substance in the air.
                    row = here.setdefault(
                        (called, usual is not None), Evaporating(str(step.id), called, known, 0.0, 0.0)
                    )
                    row.grams += float(mass) * share
                    row.usual += [usual] if usual is not None and usual not in row.usual else []
        if not here:
            return
        lasts = _work_minutes(step) if self.minutes is None else self.minutes
        if self.minutes is None and not lasts:
            self.notices.append(_no_time(self.document, index))
        for row in here.values():
            row.minutes = float(lasts)
            if row.substance is None:
                self.notices.append(_no_figures(self.document, row.name, index))
                self._leave_out(NotKnown(row.step, row.name, "no figures for it are at hand"))
            self.found.append(row)

    def _of(self, name: str, step: Step, path: KeyPath) -> Iterator[tuple[str, Substance | None, float, Usual | None]]:
        """What a material gives off: what it is called, the substance, the share of its weight, and whose usual value it is."""
        material = self.materials.get(name)
        if material is None:
            self._doubtful(name, step, path, "the book says nothing about this material")
            return
        for vapor in material.vapor:
            share = float(vapor.share.value) if vapor.share is not None else 1.0
            known = substance_of(str(vapor.cas) if vapor.cas else None, str(vapor.substance))
            yield known.name if known is not None else str(vapor.substance), known, share, None
        for each in gives_off(material.families) if not material.vapor else ():
            if each.kind == "nothing":
                self.nothing[name] = gives_off(material.families)
            elif each.kind == "differs":
                self._doubtful(name, step, path, f"{family_words(each.family)}: {each.words}")
            elif each.substance is not None:
                yield each.substance.name, each.substance, each.percent[1] / 100, Usual(name, each)

    def _leave_out(self, row: NotKnown) -> None:
        if row not in self.not_known:
            self.not_known.append(row)

    def _doubtful(self, name: str, step: Step, path: KeyPath, why: str) -> None:
        if all(row.material != name or row.why != why for row in self.not_known):
            self.notices.append(_not_known(self.document, name, why, path))
        self._leave_out(NotKnown(str(step.id), name, why))

    def _unknown_amount(self, name: str, step: Step, path: KeyPath) -> None:
        self.notices.append(_unknown_amount(self.document, name, path))
        self._leave_out(NotKnown(str(step.id), name, "how much of it is used is not known"))

    def _unused(self) -> None:
        """What stands in a mix that no step uses: it may be in the air, and nothing says when."""
        mixes: dict[str, Mix] = {mix.id: mix for mix in self.recipe.mixes}
        inside = {str(part.mix) for mix in mixes.values() for part in mix.parts if part.mix}
        used = {str(use.mix) for step in self.recipe.steps for use in step.uses if use.mix}
        for index, mix in enumerate(self.recipe.mixes):
            if mix.id in used or mix.id in inside:
                continue
            why = f"no step says that it uses the mix `{mix.id}`"
            for name in materials_inside(mix.id, mixes):
                material = self.materials.get(name)
                told = gives_off(material.families) if material is not None else ()
                if material is not None and not material.vapor and all(each.kind == "nothing" for each in told):
                    continue
                self.notices.append(_not_known(self.document, name, why, ("mixes", index)))
                self._leave_out(NotKnown(None, name, why))


def _work_minutes(step: Step) -> Fraction:
    """Hands and coats of a step, a range by its shorter end, which peaks higher; the wait after the last coat is no work."""
    total = step.hands_on.low if step.hands_on is not None else Fraction(0)
    for coats in (step.coats, *(use.coats for use in step.uses)):
        if coats is not None and coats.between is not None:
            total += (coats.count - 1) * coats.between.low
    return total


def _used(recipe: Recipe, use: Use, materials: Mapping[str, Material]) -> list[tuple[str, Fraction | None]]:
    """The materials of a use with their grams; None where no amount or density says how many."""
    if use.material:
        return [(str(use.material), _grams(use.amount, materials.get(str(use.material))))]
    if not use.mix:
        return []
    try:
        resolved = resolve(recipe.mixes, str(use.mix), materials)
        whole = reckon_batch(resolved, Wanted(), ()).mass
        of_mix = resolved.total_mass
    except ReckoningError:
        whole = of_mix = None
        resolved = None
    share = use.share.value if use.share is not None else Fraction(1)
    if use.amount is not None and resolved is not None:
        whole, share = _weight(use.amount, resolved), Fraction(1)
    if resolved is None or not whole or not of_mix:
        inside = materials_inside(str(use.mix), {str(mix.id): mix for mix in recipe.mixes})
        return [(name, None) for name in inside]
    return [
        (part.name, None if part.mass is None else part.mass / of_mix * whole * share) for part in resolved.materials
    ]


def _weight(amount: Quantity, of: Resolved) -> Fraction | None:
    """Grams of an amount of a mix; None where it is counted, or a density is missing."""
    if amount.dimension == "mass":
        return amount.value
    try:
        return amount.value * of.density if amount.dimension == "volume" else None
    except ReckoningError:
        return None


def _grams(amount: Quantity | None, material: Material | None) -> Fraction | None:
    if amount is None or material is None:
        return None
    if amount.dimension == "mass":
        return amount.value
    if amount.dimension == "volume" and material.density is not None:
        return amount.value * material.density.value
    if amount.dimension == "drops" and material.drop is not None:
        return amount.value * material.drop.value
    return None


def _unknown_amount(document: Document, name: str, path: KeyPath) -> Notice:
    return document.notice(
        "vapor-untold",
        f"How much of `{name}` is used here is not known, so its vapor is not in the estimate.",
        "Type its `amount:`, and its density in the material.",
        path,
        severity="warning",
    )


def _no_time(document: Document, index: int) -> Notice:
    return document.notice(
        "vapor-untold",
        "The step does not say how long its work takes, so all of it is taken to evaporate at once.",
        "Type its `hands_on:`, or ask with `--minutes 20`.",
        ("steps", index, "id"),
        severity="advice",
    )


def _no_figures(document: Document, name: str, index: int) -> Notice:
    return document.notice(
        "vapor-unknown",
        f"For `{name}` no figures are at hand, so only its grams are given.",
        "See the maker's sheet; type its CAS number as `cas:` in the material's `vapor:`.",
        ("steps", index, "id"),
        severity="warning",
    )


def _not_known(document: Document, name: str, why: str, path: KeyPath) -> Notice:
    return document.notice(
        "vapor-unknown",
        f"What `{name}` gives off is not known, so it is not in the estimate ({why}).",
        "See the maker's sheet; type what evaporates as `vapor: {substance: acetone, cas: 67-64-1, share: 60 %}` in the material.",
        path,
        severity="warning",
    )
