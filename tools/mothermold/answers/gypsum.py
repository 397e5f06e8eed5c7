"""Powder and water for gypsum, and about what a mold will weigh when it is dry."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Annotated, Any, Final

from mothermold.answers.amounts import missing, one_amount
from mothermold.answers.question import Typed, option, question
from mothermold.answers.result import Result, cautions_text, number, reckoning_refused
from mothermold.ground.errors import refused
from mothermold.quantities.wording import plain_number, weight_in_words
from mothermold.reckon import gypsum
from mothermold.reckon.errors import ReckoningError

EMPTY: Final[dict[str, Any]] = {
    "ratio": None, "powder_g": None, "water_g": None, "slurry_ml": None, "wet_density_g_ml": None, "free_water_g": None,
    "dry_g": None, "dry_density_g_ml": None, "loss_percent": None, "heat_rise_k": {"alpha": None, "beta": None},
    "demolded_g": None, "dry_target_g": None, "cautions": [],
}  # fmt: skip
HOT: Final = (
    "Setting gypsum burns skin: a hardening plaster reached 70 degC in a published burn case. Never encase a hand, a "
    "finger or a limb in it."
)
ROUGH: Final = "The dry weight is rough. The gate before sealing is two equal weighings a day apart, never this number."


@dataclass(frozen=True, slots=True)
class GypsumAsked:
    """What is asked, as typed; exactly one of the first three."""

    fill: Annotated[Typed, option("Q", "the volume to fill, like '2.5 l'")] = None
    powder: Annotated[Typed, option("Q", "or the powder there is, like '3 kg'")] = None
    demolded: Annotated[Typed, option("Q", "or a mold's weight just out of its box, for its dry weight")] = None
    ratio: Annotated[Typed, option("N", "grams of water per 100 g of powder, from the bag")] = None
    density: Annotated[Typed, option("Q", "of the solid powder; default: 2.75 g/ml")] = None
    water_density: Annotated[Typed, option("Q", "of the water; default: 0.998 g/ml")] = None


def _text(result: Result) -> str:
    data = result.data
    if data["dry_target_g"] is not None:
        said = f"Fully dry it will weigh about {weight_in_words(data['dry_target_g'])}, of {weight_in_words(data['demolded_g'])} now."
        return f"{said}\n{cautions_text(result)}"
    rise = data["heat_rise_k"]
    rows = [
        ("powder", weight_in_words(data["powder_g"])),
        ("water", weight_in_words(data["water_g"])),
        ("makes", f"{plain_number(data['slurry_ml'])} ml of slurry at {data['wet_density_g_ml']:.3f} g/ml"),
        ("has to dry out", f"{weight_in_words(data['free_water_g'])}, {data['loss_percent']:.1f} % of its weight"),
        ("fully dry", f"about {weight_in_words(data['dry_g'])}, {data['dry_density_g_ml']:.3f} g/ml"),
        ("warms by", f"up to about {rise['alpha']:.0f} to {rise['beta']:.0f} K deep in a thick mass (rough)"),
    ]
    said = "".join(f"  {name:<15} {words}\n" for name, words in rows)
    return f"Gypsum, {data['ratio']:g} g of water per 100 g of powder; nothing added for the bucket\n\n{said}{cautions_text(result)}"


@question("gypsum", empty=EMPTY, text=_text, page="sums.html")
def reckon_gypsum(asked: GypsumAsked) -> Result:
    """Powder, water and slurry, or the dry weight to expect.

    Raises:
        RefusedError: Something is missing, given twice, cannot be read, or sets no mold.
    """
    given = [f"`--{key}`" for key in ("fill", "powder", "demolded") if getattr(asked, key) is not None]
    if len(given) > 1:
        raise refused("two-fills", f"{' and '.join(given)} say two different amounts.", "Give only one of them.")
    if not given:
        raise missing("What is to be mixed or dried", "mothermold gypsum --fill '2.5 l' --ratio 38")
    if asked.ratio is None:
        raise missing("The water/powder ratio, as the bag states it,", "--ratio 38")
    ratio = one_amount("--ratio", asked.ratio, "number")
    powder_density = _density("--density", asked.density, gypsum.POWDER_DENSITY)
    water_density = _density("--water-density", asked.water_density, gypsum.WATER_DENSITY)
    try:
        if asked.demolded is not None:
            weight = one_amount("--demolded", asked.demolded, "mass")
            target = gypsum.dry_target(weight, ratio)
            told = {"ratio": number(ratio), "demolded_g": number(weight), "dry_target_g": number(target)}
            return Result({**EMPTY, **told, "cautions": [ROUGH]})
        if asked.fill is not None:
            fill = one_amount("--fill", asked.fill, "volume")
            slurry = gypsum.slurry_for_volume(fill, ratio, powder_density, water_density)
        else:
            powder = one_amount("--powder", str(asked.powder), "mass")
            slurry = gypsum.slurry_from_powder(powder, ratio, powder_density, water_density)
        alpha, beta = gypsum.heat_rise(ratio)
    except ReckoningError as problem:
        raise reckoning_refused(problem) from None
    return Result(
        {
            **EMPTY,
            "ratio": number(ratio),
            "powder_g": number(slurry.powder),
            "water_g": number(slurry.water),
            "slurry_ml": number(slurry.volume),
            "wet_density_g_ml": number(slurry.wet_density),
            "free_water_g": number(slurry.free_water),
            "dry_g": number(slurry.dry),
            "dry_density_g_ml": number(slurry.dry_density),
            "loss_percent": number(slurry.loss * 100),
            "heat_rise_k": {"alpha": number(alpha), "beta": number(beta)},
            "cautions": [HOT, ROUGH],
        }
    )


def _density(option: str, text: str | None, usual: Fraction) -> Fraction:
    return usual if text is None else one_amount(option, text, "density")
