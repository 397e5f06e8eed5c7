"""What the temperature of a room, a mold or the materials means for a recipe: its steps, its pot lives, the cold.

A step's ``temperature`` is one of the room unless the step heats. A mold or materials that were measured themselves outrank
the room: the pot life runs in the materials, the cure in the mold. The browser says the same in the same words
(publish/theme/assets/bench-room.js).

A temperature written as one number is met within 3 K, half an hour's drift of a room (common practice, no source); a range
means its ends. A demold time is met within the same 3 K. A pot life is told of where the short end of its band leaves less than the hands-on work needs, and where the
band cannot be reckoned.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from mothermold.model.material import Material
from mothermold.model.parts import Timed
from mothermold.model.recipe import Mix, Recipe, Step
from mothermold.quantities import Quantity
from mothermold.quantities.wording import minutes_in_words, plain_number
from mothermold.reckon.cure import APART, COLDEST, WARMEST, at_temperature
from mothermold.reckon.errors import ReckoningError
from mothermold.reckon.nesting import materials_used
from mothermold.reckon.times import minutes_to_close
from mothermold.trade.habits import closes_the_mold
from mothermold.trade.rules import Rule

HEATERS: Final = frozenset({"oven", "heat-gun"})


@dataclass(frozen=True, slots=True)
class Noted:
    """Temperatures somebody noted, in degC; None where nobody did."""

    room: Fraction | None = None
    mold: Fraction | None = None
    material: Fraction | None = None

    def each(self) -> list[tuple[str, Fraction]]:
        """Those noted, each with what it is of."""
        named = (("the room", self.room), ("the mold", self.mold), ("the material", self.material))
        return [(what, value) for what, value in named if value is not None]

    def of_mold(self) -> tuple[str, Fraction] | None:
        """The mold's, else the room's."""
        return self._first("the mold", self.mold)

    def of_material(self) -> tuple[str, Fraction] | None:
        """The materials', else the room's."""
        return self._first("the material", self.material)

    def _first(self, what: str, value: Fraction | None) -> tuple[str, Fraction] | None:
        if value is not None:
            return what, value
        return ("the room", self.room) if self.room is not None else None


@dataclass(frozen=True, slots=True)
class StepLimit:
    """A step that says in which room it is done."""

    step: Step
    asks: Quantity

    @property
    def low(self) -> Fraction:
        """The coldest it may be, in degC."""
        return self.asks.low - self._slack

    @property
    def high(self) -> Fraction:
        """The warmest it may be, in degC."""
        return self.asks.high + self._slack

    @property
    def _slack(self) -> int:
        return APART if self.asks.low == self.asks.high else 0

    def broken_by(self, noted: Noted) -> list[tuple[str, Fraction]]:
        """What was noted outside it; of equal temperatures the first."""
        found: dict[Fraction, str] = {}
        for what, value in noted.each():
            if not self.low <= value <= self.high:
                found.setdefault(value, what)
        return [(what, value) for value, what in found.items()]


@dataclass(frozen=True, slots=True)
class ColdLimit:
    """A step whose material a rule forbids in the cold."""

    step: Step
    material: str
    rule: Rule
    under: int


@dataclass(frozen=True, slots=True)
class Closing:
    """A mix, and the time from part B to the closed mold; None where the recipe does not say it."""

    mix: Mix
    minutes: Fraction | None
    starts: bool


@dataclass(frozen=True, slots=True)
class Limits:
    """Everything in a recipe that a temperature can break."""

    steps: tuple[StepLimit, ...]
    cold: tuple[ColdLimit, ...]
    closing: tuple[Closing, ...]


def limits_of(recipe: Recipe, materials: Mapping[str, Material], rules: Mapping[str, Rule]) -> Limits:
    """What a recipe's steps and mixes ask of the temperature.

    Args:
        recipe: The text.
        materials: Today's materials by name.
        rules: Every rule; those that look at the cold are taken.
    """
    return Limits(
        tuple(StepLimit(step, step.temperature) for step in recipe.steps if step.temperature and _is_of_room(step)),
        tuple(_cold(recipe, materials, [rule for rule in rules.values() if rule.used.colder_than is not None])),
        tuple(closing_of(recipe, mix) for mix in recipe.mixes),
    )


def closing_of(recipe: Recipe, mix: Mix) -> Closing:
    """How long one works with a mix until it is where it stays."""
    life = mix.pot_life.time.low if mix.pot_life else None
    started = any(step.starts == mix.id for step in recipe.steps)
    return Closing(mix, minutes_to_close(recipe, mix.id, life, closes_the_mold), started)


def _is_of_room(step: Step) -> bool:
    asks = step.temperature
    return asks is not None and not HEATERS & set(step.with_) and asks.low >= COLDEST and asks.high <= WARMEST


def _cold(recipe: Recipe, materials: Mapping[str, Material], rules: Sequence[Rule]) -> Iterator[ColdLimit]:
    mixes: dict[str, Mix] = {mix.id: mix for mix in recipe.mixes}
    for step in recipe.steps:
        for rule in rules:
            used = rule.used
            if HEATERS & set(step.with_) or (used.stages and recipe.stage not in used.stages):
                continue
            names = [
                name
                for use in step.uses
                if str(use.as_) in used.roles
                for name in materials_used(use, mixes)
                if name in materials and used.families & set(materials[name].families)
            ]
            if names and used.colder_than is not None:
                yield ColdLimit(step, names[0], rule, used.colder_than)


def step_words(called: str, asks: Quantity, what: str, value: Fraction, verb: str) -> str:
    """That a step is done in another temperature than it says."""
    return f"{_capital(what)} {verb} {plain_number(value)} degC, and {called} is written for {asks}."


def cold_words(called: str, material: str, limit: ColdLimit, noted: Noted, verb: str) -> str | None:
    """That something is used in the cold; None where what counts is warm enough, or nothing is noted."""
    found = [each for each in (noted.of_mold(), noted.of_material()) if each is not None and each[1] < limit.under]
    if not found:
        return None
    what, value = min(found, key=lambda each: each[1])
    return (
        f"{_capital(what)} {verb} {plain_number(value)} degC, and {material} is used at {called}: "
        f"under {limit.under} degC {limit.rule.happens}."
    )


@dataclass(frozen=True, slots=True)
class Close:
    """What is said of a pot life: which notice, and its sentence."""

    code: str
    words: str


def closing_words(called: str, closing: Closing, noted: Noted) -> Close | None:
    """Whether a mix can be closed in the short end of its pot life; None where it can, or nothing has to be said.

    Without a temperature the pot life counts as written, and that none is written is told only of a mix whose clock a
    step starts.
    """
    life, need, today = closing.mix.pot_life, closing.minutes, noted.of_material()
    where = f" at {plain_number(today[1])} degC" if today else ""
    if life is None:
        if not today and not closing.starts:
            return None
        return Close(
            "pot-life-not-known", f"{called} has no pot life written: how long it can be poured{where} is not known."
        )
    if today and life.at is None:
        words = f"The pot life of {called}, {life.time}, says no temperature: what it is{where} is not known."
        return Close("pot-life-not-known", words)
    try:
        short = _short(life, today[1] if today else None)
    except ReckoningError:
        assert today is not None
        return Close(
            "pot-life-not-known", f"{_far_words(called, life, today, 'is')}: that is too far apart to work out."
        )
    if need is None:
        if not today:
            return None
        words = (
            f"From B to closed {called} has no time written: whether the {minutes_in_words(short)} of its pot life"
            f"{where} are enough is not known."
        )
        return Close("pot-life-not-known", words)
    if float(need) <= short:
        return None
    where = where or (f" at {life.at}" if life.at is not None else "")
    words = (
        f"From B to closed the steps take {minutes_in_words(need)}; the pot life may end after "
        f"{minutes_in_words(short)}{where}."
    )
    return Close("pot-life-too-short", words)


def _short(life: Timed, today: Fraction | None) -> float:
    if today is None or life.at is None:
        return float(life.time.low)
    return at_temperature((life.time.low, life.time.high), (life.at.low, life.at.high), today).short


def outlasted_words(called: str, closing: Closing, noted: Noted) -> str | None:
    """What the temperature of a run did to a pot life; None where there was time, or as little where it is written for."""
    life, today = closing.mix.pot_life, noted.of_material()
    if life is None or life.at is None or today is None or closing.minutes is None:
        return None
    head = _far_words(called, life, today, "was")
    try:
        short = _short(life, today[1])
    except ReckoningError:
        return f"{head}: that is too far apart to work out."
    if not short < closing.minutes <= life.time.low:
        return None  # steps longer than the written pot life are the recipe's matter, in any room
    return (
        f"{head}: it may have ended after {minutes_in_words(short)}, and from B to closed the steps take "
        f"{minutes_in_words(closing.minutes)}."
    )


def too_soon_words(called: str, mix: Mix, waited: Quantity, noted: Noted) -> str | None:
    """That a mold was opened before the long end of the demold time in its cold; None where it was not, or is not known."""
    timed, today = mix.demold, noted.of_mold()
    if timed is None or timed.at is None or today is None or today[1] >= timed.at.low - APART:
        return None
    try:
        long = at_temperature((timed.time.low, timed.time.high), (timed.at.low, timed.at.high), today[1]).long
    except ReckoningError:
        return None
    if float(waited.high) >= long:
        return None
    return (
        f"{_capital(today[0])} was {plain_number(today[1])} degC, the demold time of {called} is written for {timed.at}: "
        f"it may take {minutes_in_words(long)}, and {waited} were waited."
    )


def _far_words(called: str, life: Timed, today: tuple[str, Fraction], verb: str) -> str:
    return (
        f"{_capital(today[0])} {verb} {plain_number(today[1])} degC, the pot life of {called} is written for {life.at}"
    )


def _capital(text: str) -> str:
    return text[0].upper() + text[1:]
