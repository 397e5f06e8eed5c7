"""What a recipe's own numbers say against each other: too much of a part, too little time to pour, a time for another temperature.

``check`` asks it of every recipe, `mix` of the batch at hand; the sums are those of ``reckon``.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import suppress
from fractions import Fraction
from typing import Final

from mothermold.model.material import Material
from mothermold.model.parts import Timed
from mothermold.model.recipe import Mix, Recipe, Step
from mothermold.model.walk import KeyPath
from mothermold.quantities import Quantity
from mothermold.quantities.wording import minutes_in_words, plain_number
from mothermold.reckon.cure import APART, at_temperature
from mothermold.reckon.errors import ReckoningError
from mothermold.reckon.lots import kit_lacking
from mothermold.reckon.mixes import Resolved, resolve
from mothermold.reckon.nesting import materials_inside
from mothermold.reckon.readings import maximum_words, over_maximum
from mothermold.reckon.times import minutes_to_close
from mothermold.trade.habit_reading import Slip
from mothermold.trade.habits import closes_the_mold

SETTING: Final = frozenset(
    {
        "platinum-silicone", "tin-silicone", "polyurethane-resin", "polyurethane-rubber", "polyester-resin", "epoxy", "acrylic-resin",
        "alginate", "gypsum-cement", "gypsum-plaster", "foam-latex",
    }
)  # fmt: skip
"""Families that set once they are mixed, whether anybody watches the clock or not."""

_SOONER: Final = (
    "Cool the parts and the room, take a slower gel or a retarder its maker names, or mix smaller portions."
)
_PORTIONS: Final = "Mix and pour each portion by itself, cool the parts and the room, or take a slower gel."


def find_pour_slips(recipe: Recipe, materials: Mapping[str, Material]) -> Iterator[Slip]:
    """What of a recipe cannot be right as it is written.

    Args:
        recipe: The recipe; it may be a draft, and what cannot be reckoned yet is left out.
        materials: The book's materials by name.
    """
    for mix in _poured(recipe):
        # A formula that is not finished is told elsewhere.
        with suppress(ReckoningError):
            yield from too_much(recipe, resolve(recipe.mixes, mix.id, materials), materials)
    for mix in recipe.mixes:
        yield from sets_too_soon(recipe, mix)
    for index, step in enumerate(recipe.steps):
        yield from _outside_temperature(recipe, step, index)


def too_much(recipe: Recipe, resolved: Resolved, materials: Mapping[str, Material]) -> Iterator[Slip]:
    """Each part of a mix that goes beyond its maker's maximum, through all premixes.

    Args:
        recipe: The recipe of the mix.
        resolved: The mix in exact proportions.
        materials: The book's materials by name.
    """
    parts = resolved.mix.parts
    for name, percent, limit in over_maximum(resolved, materials):
        path = _place(recipe, resolved.mix)
        own = next((index for index, part in enumerate(parts) if part.material == name), None)
        yield Slip(
            "over-maximum",
            maximum_words(f"`{name}`", percent, limit),
            "Lower it, or ask the maker's data sheet again.",
            path if own is None else (*path, "parts", own),
        )


def sets_too_soon(recipe: Recipe, mix: Mix, room: Fraction | None = None, portions: int = 1) -> Iterator[Slip]:
    """Whether work from part B to closed takes longer than the short end of the pot life.

    Args:
        recipe: The recipe of the mix.
        mix: The mix.
        room: Today's temperature in degC, where it is known; else the pot life as written.
        portions: Into how many cups it is mixed.

    Raises:
        ReckoningError: The room is beyond what the rule for other temperatures is used for.
    """
    if mix.pot_life is None:
        return
    time, at = mix.pot_life.time, mix.pot_life.at
    need = minutes_to_close(recipe, mix.id, time.low, closes_the_mold)
    short, where = float(time.low), f" at {at}" if at is not None else ""
    if room is not None and at is not None:
        short = at_temperature((time.low, time.high), (at.low, at.high), room).short
        where = f" at {plain_number(room)} degC"
    if need is not None and float(need) > short:
        yield Slip(
            "pot-life-too-short",
            f"From B to closed the steps take {minutes_in_words(need)}; the pot life may end after {minutes_in_words(short)}{where}.",
            f"{_SOONER if portions == 1 else _PORTIONS} What is done before B meets A is a step of its own, without `starts:`.",
            (*_place(recipe, mix), "pot_life"),
        )


def lacks_pot_life(recipe: Recipe, mix: Mix, materials: Mapping[str, Material]) -> bool:
    """Whether a mix sets and nothing says how long it can be poured; a premix, and a part that waits for its other, does not set."""
    if mix.pot_life is not None or mix not in _poured(recipe):
        return False
    names = materials_inside(mix.id, {each.id: each for each in recipe.mixes})
    known = [materials[name] for name in names if name in materials]
    return any(SETTING & set(each.families) for each in known) and not kit_lacking(names, materials)


def _poured(recipe: Recipe) -> list[Mix]:
    """The mixes that go into no other one."""
    inside = {part.mix for mix in recipe.mixes for part in mix.parts}
    return [mix for mix in recipe.mixes if mix.id not in inside]


def _outside_temperature(recipe: Recipe, step: Step, index: int) -> Iterator[Slip]:
    """A step at a temperature for which the time it goes by is not written; drift of a room does not count."""
    if step.temperature is None:
        return
    for mix, what, timed in _goes_by(recipe, step):
        if timed is None or timed.at is None or _gap(step.temperature, timed.at) <= APART:
            continue
        yield Slip(
            "outside-temperature",
            f"`{step.id}` is done at {step.temperature}, and the {what} of `{mix.id}` is written for {timed.at}.",
            f"Type the temperature that is meant, or the {what} at {step.temperature} in the mix, from the label or a timed cup.",
            ("steps", index, "temperature"),
        )
        return


def _goes_by(recipe: Recipe, step: Step) -> Iterator[tuple[Mix, str, Timed | None]]:
    used = {step.starts, *(use.mix for use in step.uses)}
    for mix in recipe.mixes:
        # An oven's temperature is that of the waiting; what goes into it is mixed and poured outside.
        if mix.id in used and "oven" not in step.with_:
            yield mix, "pot life", mix.pot_life
        if step.wait is not None and mix.id == step.wait.demold:
            yield mix, "demold time", mix.demold
        if step.wait is not None and mix.id == step.wait.full_cure:
            yield mix, "full cure", mix.full_cure


def _gap(one: Quantity, other: Quantity) -> Fraction:
    return max(one.low - other.high, other.low - one.high, Fraction(0))


def _place(recipe: Recipe, mix: Mix) -> KeyPath:
    return ("mixes", next(index for index, each in enumerate(recipe.mixes) if each.id == mix.id))
