"""What a difference leads to, both sides at the same fill.

One row is (what, before, after, unit). Cost joins by adding a function to ``CONSEQUENCES``.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from types import MappingProxyType
from typing import Final

from mothermold.answers.pours import pour_sentence, poured, wanted_at
from mothermold.model.material import Material
from mothermold.model.recipe import Mix, Recipe
from mothermold.quantities.wording import minutes_in_words
from mothermold.reckon.batches import own_fill, reckon_batch
from mothermold.reckon.errors import ReckoningError
from mothermold.reckon.mixes import resolve
from mothermold.reckon.times import elapsed_minutes, hands_on_minutes
from mothermold.trade.cautions import NO_STEP, Caution
from mothermold.trade.findings import Finding

StepCautions = Mapping[str, Sequence[Caution]]
COMMON_FILL: Final = Fraction(100)
"""Milliliters at which mixes are compared where neither side says what it fills."""


@dataclass(frozen=True, slots=True)
class Versus:
    """The two texts and what is needed to reckon with them.

    Attributes:
        before: The older side.
        after: The newer side.
        materials: Today's materials; old versions are reckoned with them too.
        fill: The fill both sides are compared at, in milliliters.
        broken: The rules found along each side.
        cautions: The cautions of each side, by step.
    """

    before: Recipe
    after: Recipe
    materials: Mapping[str, Material]
    fill: Fraction
    broken: tuple[Sequence[Finding], Sequence[Finding]]
    cautions: tuple[StepCautions, StepCautions]


@dataclass(frozen=True, slots=True)
class Consequence:
    """One consequence; None where a side has nothing of it. A rule or a caution has a title.

    ``sentence`` says it, where a figure on either side does not: a rule or caution that comes or goes, and what is
    in a pour through a premix.
    """

    what: str
    before: Fraction | None
    after: Fraction | None
    unit: str
    title: str = ""
    sentence: str = ""


def common_fill(before: Recipe, after: Recipe) -> Fraction:
    """The fill of the newer side, else of the older, else 100 ml."""
    for recipe in (after, before):
        for mix in recipe.mixes:
            if (fill := own_fill(mix)) is not None:
                return fill
    return COMMON_FILL


def consequences(sides: Versus) -> list[Consequence]:
    """All consequences, in order."""
    return [row for rows in CONSEQUENCES for row in rows(sides)]


_KINDS: Final = {"rule": "rule broken"}
_NAMES: Final = {"hands_on_min": "hands-on time", "elapsed_min": "from start to finish"}


def name_of(what: str, title: str = "", titles: Mapping[str, str] = MappingProxyType({})) -> str:
    """What a consequence is called, by its own title or with those of materials and mixes where they are given."""
    if what in _NAMES:
        return _NAMES[what]
    if title:
        return f"{_KINDS.get(what.partition(':')[0], what.partition(':')[0])}: {title}"
    kind, mix, part = what.split(":")
    if kind == "pour":
        return f"{titles.get(part, part)} in the pour of {titles.get(mix, mix)}"
    return f"{titles.get(part, part)} in {titles.get(mix, mix)}"


def figure(value: float | None, unit: str) -> str:
    """One side of a consequence in words."""
    if value is None:
        return "none"
    if unit == "steps":
        if value == 0:
            return "before there is a step"
        return "at 1 step" if value == 1 else f"at {value:.0f} steps"
    return minutes_in_words(value) if unit == "min" else f"{value:.1f} {unit}"


def _grams(sides: Versus) -> Iterator[Consequence]:
    old = {mix.id: mix for mix in sides.before.mixes}
    new = {mix.id: mix for mix in sides.after.mixes}
    for mix_id in dict.fromkeys((*old, *new)):
        fill = _fill(sides, old.get(mix_id), new.get(mix_id))
        left = _parts(sides.before, old.get(mix_id), fill, sides.materials)
        right = _parts(sides.after, new.get(mix_id), fill, sides.materials)
        for part in dict.fromkeys((*left, *right)):
            yield Consequence(f"grams:{mix_id}:{part}", left.get(part), right.get(part), "g")


def _fill(sides: Versus, old: Mix | None, new: Mix | None) -> Fraction:
    return next((fill for mix in (new, old) if mix and (fill := own_fill(mix))), sides.fill)


def _parts(
    recipe: Recipe, mix: Mix | None, fill: Fraction, materials: Mapping[str, Material]
) -> dict[str, Fraction | None]:
    if mix is None:
        return {}
    try:
        resolved = resolve(recipe.mixes, mix.id, materials)
        sheet = reckon_batch(resolved, wanted_at(resolved, fill), ())
    except ReckoningError:
        # Without a density there are no grams; the mix itself says so where it is asked for.
        return dict.fromkeys(part.name for part in mix.parts)
    return {line.name: line.grams for line in sheet.lines}


def _pours(sides: Versus) -> Iterator[Consequence]:
    """What comes into a pour through a premix, on either side."""
    old, new = ({mix.id: mix for mix in recipe.mixes} for recipe in (sides.before, sides.after))
    for mix_id in dict.fromkeys((*old, *new)):
        fill = _fill(sides, old.get(mix_id), new.get(mix_id))
        before, after = (
            poured(recipe, mix_id, fill, sides.materials) if mix_id in mine else {}
            for recipe, mine in ((sides.before, old), (sides.after, new))
        )
        for name in dict.fromkeys((*before, *after)):
            was, now = before.get(name), after.get(name)
            if (was and was.through) or (now and now.through):
                title = getattr(sides.materials.get(name), "title", name)
                yield Consequence(
                    f"pour:{mix_id}:{name}",
                    was.grams if was else None,
                    now.grams if now else None,
                    "g",
                    sentence=pour_sentence(title, was, now, sides.materials),
                )


def _hands_on(sides: Versus) -> Iterator[Consequence]:
    yield Consequence("hands_on_min", hands_on_minutes(sides.before), hands_on_minutes(sides.after), "min")


def _elapsed(sides: Versus) -> Iterator[Consequence]:
    yield Consequence("elapsed_min", elapsed_minutes(sides.before), elapsed_minutes(sides.after), "min")


def _rules(sides: Versus) -> Iterator[Consequence]:
    """At how many steps a rule is broken, accepted or not."""
    left, right = (Counter(each.rule.id for each in side if each.open) for side in sides.broken)
    yield from _counted("rule", left, right, {each.rule.id: each.rule.title for side in sides.broken for each in side})


def _cautions(sides: Versus) -> Iterator[Consequence]:
    """At how many steps a caution stands; at none where the recipe has no step yet."""
    left, right = (_at_steps(side) for side in sides.cautions)
    titles = {each.id: each.title for side in sides.cautions for found in side.values() for each in found}
    yield from _counted("caution", left, right, titles)


def _at_steps(side: StepCautions) -> Counter[str]:
    at = Counter({each.id: 0 for each in side.get(NO_STEP, ())})
    at.update(each.id for step, found in side.items() if step != NO_STEP for each in found)
    return at


# What is said of what only one side has: first where it came, then where it went.
_TURNED: Final = {
    "rule": ("Now breaks", "No longer breaks"),
    "caution": ("This version brings", "This version removes"),
}


def _counted(kind: str, left: Counter[str], right: Counter[str], titles: Mapping[str, str]) -> Iterator[Consequence]:
    for name in sorted({*left, *right}):
        before, after = (Fraction(side[name]) if name in side else None for side in (left, right))
        one_sided = (before is None) != (after is None)
        said = f"{_TURNED[kind][after is None]}: {titles[name]}." if one_sided else ""
        yield Consequence(f"{kind}:{name}", before, after, "steps", titles[name], said)


CONSEQUENCES: Final[tuple[Callable[[Versus], Iterator[Consequence]], ...]] = (
    _grams, _pours, _hands_on, _elapsed, _rules, _cautions,
)  # fmt: skip
