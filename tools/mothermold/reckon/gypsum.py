"""Gypsum: powder and water for a volume or from a weight of powder, how dry a mold is, and how warm it gets.

W/P is the water/powder ratio: grams of water for each 100 g of powder. Volumes of powder and water are added
(slurry volume per 100 g = 100/2.75 + W/P/0.998 ml); what hydration does to the volume is not, for the set body swells
outward while its matter shrinks, so a density balance never says how a mold grows. Hydration binds 1.5 water to each
hemihydrate: 1.5 * 18.015/145.14 = 18.618 g per 100 g, whatever the W/P (molar masses from the library periodictable,
the trade reference's section on gypsum chemistry; "18.6" in dental texts).

Not covered: what in the bag is not gypsum (10 % inert powder: 1.6 % of the dry weight), waste left in the bucket,
accelerators and retarders, setting expansion. The bag's own W/P wins.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction
from typing import Final

from mothermold.quantities.wording import plain_number
from mothermold.reckon.errors import ReckoningError

# g/ml. Hemihydrate is stated from 2.60 to 2.76 (trade reference, from memory); water as between 20 and 22 degC.
POWDER_DENSITY: Final = Fraction("2.75")
WATER_DENSITY: Final = Fraction("0.998")
# Grams of water that 100 g of hemihydrate bind.
GAUGING: Final = 100 * Fraction("1.5") * Fraction("18.015") / Fraction("145.14")
# Thicker than casting plaster (60 to 70) is ever mixed, by a wide margin: common practice, no source.
WETTEST: Final = 100
# Heat of hydration in J per g of hemihydrate, alpha and beta (computed from formation enthalpies), and heat
# capacities of gypsum and water in J/(g K): trade reference.
HEAT_ALPHA: Final = 118
HEAT_BETA: Final = 133
GYPSUM_CAPACITY: Final = Fraction("1.09")
WATER_CAPACITY: Final = Fraction("4.18")


@dataclass(frozen=True, slots=True)
class Slurry:
    """A mixed batch of gypsum and what becomes of it.

    Attributes:
        ratio: W/P, grams of water per 100 g of powder.
        powder: Grams.
        water: Grams.
        volume: Milliliters of slurry.
        wet_density: Of the slurry, g/ml.
        free_water: Grams that hydration does not bind and that have to dry out.
        dry: Grams when fully dry.
        dry_density: When fully dry in the same volume, g/ml.
        loss: Share of the weight of the slurry lost in drying.
    """

    ratio: Fraction
    powder: Fraction
    water: Fraction
    volume: Fraction
    wet_density: Fraction
    free_water: Fraction
    dry: Fraction
    dry_density: Fraction
    loss: Fraction


def slurry_from_powder(
    powder: Fraction,
    ratio: Fraction,
    powder_density: Fraction = POWDER_DENSITY,
    water_density: Fraction = WATER_DENSITY,
) -> Slurry:
    """What a weight of powder makes.

    Args:
        powder: Grams, above 0.
        ratio: W/P in g per 100 g, from 18.618 (below it some powder stays unset) to 100.
        powder_density: Of the solid powder without the air in it, g/ml.
        water_density: g/ml.

    Raises:
        ReckoningError: ``beyond-range`` where the ratio sets no mold, ``out-of-range`` where an amount is not above 0.
    """
    _refuse_ratio(ratio)
    _refuse_nothing(powder, powder_density, water_density)
    water = powder * ratio / 100
    volume = powder / powder_density + water / water_density
    bound = powder * GAUGING / 100
    wet, dry = powder + water, powder + bound
    return Slurry(ratio, powder, water, volume, wet / volume, water - bound, dry, dry / volume, (wet - dry) / wet)


def slurry_for_volume(
    volume: Fraction,
    ratio: Fraction,
    powder_density: Fraction = POWDER_DENSITY,
    water_density: Fraction = WATER_DENSITY,
) -> Slurry:
    """The powder and water that fill a volume, without anything for the bucket.

    Args:
        volume: Milliliters, above 0.
        ratio: As in ``slurry_from_powder``.
        powder_density: g/ml.
        water_density: g/ml.

    Raises:
        ReckoningError: As ``slurry_from_powder``.
    """
    _refuse_nothing(volume)
    per_gram = slurry_from_powder(Fraction(1), ratio, powder_density, water_density).volume
    return slurry_from_powder(volume / per_gram, ratio, powder_density, water_density)


def dry_target(at_demold: Fraction, ratio: Fraction) -> Fraction:
    """About how many grams a mold will weigh when fully dry: weight at demold * 118.618/(100 + W/P).

    Rough: it takes all of the weight for gypsum and water at the bag's ratio and nothing dried yet. The gate before
    sealing is two equal weighings (``is_dry``), never this number.

    Args:
        at_demold: Grams of the gypsum alone, without burlap, bolts and what else is in it.
        ratio: As in ``slurry_from_powder``.

    Raises:
        ReckoningError: As ``slurry_from_powder``.
    """
    _refuse_ratio(ratio)
    _refuse_nothing(at_demold)
    return at_demold * (100 + GAUGING) / (100 + ratio)


def is_dry(weighings: Sequence[tuple[date, Fraction]]) -> bool:
    """Whether a mold has stopped losing weight: the last weighing equals one at least a day before, and all since.

    The gate is constant mass, two equal weighings a day apart (trade reference). It says nothing where the mold was
    kept in a damp place between them.

    Args:
        weighings: Day and grams, in any order; those of one day in the order they were made.
    """
    told = sorted(weighings, key=lambda each: each[0])
    if not told:
        return False
    day_before = told[-1][0] - timedelta(days=1)
    earlier = [place for place, (day, _) in enumerate(told) if day <= day_before]
    return bool(earlier) and len({weight for _, weight in told[earlier[-1] :]}) == 1


def heat_rise(ratio: Fraction) -> tuple[Fraction, Fraction]:
    """By how many kelvin a thick mass may warm if no heat leaves it: for alpha and for beta hemihydrate.

    Formula: heat * 100 / (118.618 * 1.09 + free water * 4.18), a rough upper estimate of the middle of a thick mass.
    Hardening dental plaster reached 70 degC in a published burn case (S5). Never encase a hand, finger or limb.

    Args:
        ratio: As in ``slurry_from_powder``.

    Raises:
        ReckoningError: ``beyond-range`` where the ratio sets no mold.
    """
    _refuse_ratio(ratio)
    capacity = (100 + GAUGING) * GYPSUM_CAPACITY + (ratio - GAUGING) * WATER_CAPACITY
    return 100 * HEAT_ALPHA / capacity, 100 * HEAT_BETA / capacity


def _refuse_ratio(ratio: Fraction) -> None:
    if ratio < GAUGING:
        raise ReckoningError(
            "beyond-range",
            f"{plain_number(ratio)} g of water per 100 g is less than the {float(GAUGING):.3f} g the powder binds.",
            "Some of it would never set. Take the W/P from the bag, as 38 for a strong gypsum cement.",
        )
    if ratio > WETTEST:
        raise ReckoningError(
            "beyond-range",
            f"{plain_number(ratio)} g of water per 100 g sets to nothing a mold can be made of.",
            f"Take the W/P from the bag; casting plaster has 60 to 70, and over {WETTEST} is not worked out here.",
        )


def _refuse_nothing(*amounts: Fraction) -> None:
    if min(amounts) <= 0:
        raise ReckoningError("out-of-range", "An amount or a density here is nothing or less.", "Give numbers above 0.")
