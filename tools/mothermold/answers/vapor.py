"""Vapor of a recipe's steps in a room, against the limits that issuers name: an estimate, and never a clearance."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass
from fractions import Fraction
from typing import Any, Final

from mothermold.answers.amounts import missing, one_amount
from mothermold.answers.recipes import find_version, readable
from mothermold.answers.result import Result, refused
from mothermold.book.document import Document
from mothermold.ground.notices import Notice
from mothermold.model.material import Material
from mothermold.model.recipe import Recipe, Step, Use
from mothermold.quantities import Quantity
from mothermold.reckon.batches import Wanted, reckon_batch
from mothermold.reckon.errors import ReckoningError
from mothermold.reckon.mixes import Resolved, resolve
from mothermold.reckon.nesting import materials_inside
from mothermold.reckon.vapor import NEAR, Pulse, in_ppm, lel_share, mixture
from mothermold.trade.substances import Substance, substance_of
from mothermold.view.view import View

EMPTY: dict[str, Any] = {"recipe": None, "version": None, "steps": [], "mixtures": [], "day": [], "cautions": []}
ESTIMATE: Final = "A model estimate of the room's average, with the air well mixed; whoever leans over the work breathes 3 to 10 times as much."
BURNS: Final = "However small the share of the lower explosive limit, at the cup and the spray it can burn."
NO_CLEARANCE: Final = "It covers no isocyanate, no dust and no skin, and it is no clearance: the maker's sheet, local rules and licensed practice decide."
LONG: Final = ("PEL 8 h", "REL 10 h")
"""The kinds of limit an 8 hour average is held against; all others are held against the peak."""
_BURNING_SHARE: Final = 10.0


@dataclass(frozen=True, slots=True)
class Asked:
    """What is asked, as typed."""

    room: str | None = None
    changes: str | None = None
    minutes: str | None = None


@dataclass(frozen=True, slots=True)
class Evaporating:
    """What evaporates in one step: grams of a substance over some minutes."""

    step: str
    name: str
    substance: Substance | None
    grams: float
    minutes: float


def reckon_vapor(view: View, recipe: str, asked: Asked) -> Result:
    """The vapor of each step of a recipe, each in a room that was clean before.

    Args:
        view: The book.
        recipe: Address, with ``@version`` where not the current one is meant.
        asked: The room, its air changes an hour, and over how many minutes it evaporates where not the step's time counts.

    Raises:
        RefusedError: Something asked for is not there or cannot be read.
    """
    if asked.room is None:
        raise missing("The room", f"mothermold vapor {recipe} --room '42 m3' --changes 3")
    if asked.changes is None:
        raise missing("How often an hour the room's air is changed", "--changes 3")
    room = one_amount("--room", asked.room, "volume") / 1_000_000
    if room < 1:
        raise refused(
            "out-of-range", f"--room: `{asked.room}` is no room.", "Give length times width times height, as `42 m3`."
        )
    changes = _at_least_nothing("--changes", asked.changes)
    minutes = None if asked.minutes is None else _at_least_nothing("--minutes", asked.minutes)
    versions, row = find_version(view, recipe)
    document = readable(versions, row)
    assert isinstance(document.model, Recipe)
    notices: list[Notice] = []
    found = list(_evaporating(document, document.model, view.materials(), minutes, notices))
    steps = [_row(each, float(room), float(changes)) for each in found]
    mixtures, day = _mixtures(steps), _day(steps)
    notices += _loud(steps, mixtures, day, document)
    data = {
        "recipe": versions.address,
        "version": row.number,
        "steps": steps,
        "mixtures": mixtures,
        "day": day,
        "cautions": [ESTIMATE, BURNS, NO_CLEARANCE],
    }
    return Result(data, (*view.touching({document.file}), *notices))


def _at_least_nothing(option: str, text: str) -> Fraction:
    if text.strip() in ("0", "0.0"):
        return Fraction(0)
    return one_amount(option, text, "number")


def _evaporating(
    document: Document,
    recipe: Recipe,
    materials: Mapping[str, Material],
    minutes: Fraction | None,
    notices: list[Notice],
) -> Iterator[Evaporating]:
    for index, step in enumerate(recipe.steps):
        grams: dict[str, tuple[Substance | None, float]] = {}
        for place, use in enumerate(step.uses):
            path = ("steps", index, "uses", place)
            for name, mass in _used(recipe, use, materials):
                material = materials.get(name)
                for vapor in material.vapor if material is not None else ():
                    if mass is None:
                        notices.append(_unknown_amount(document, name, path))
                        break
                    share = float(vapor.share.value) if vapor.share is not None else 1.0
                    known = substance_of(str(vapor.cas) if vapor.cas else None, str(vapor.substance))
                    # One substance under two names in two materials is one substance in the air.
                    called = known.name if known is not None else str(vapor.substance)
                    grams[called] = (known, grams.get(called, (known, 0.0))[1] + float(mass) * share)
        if not grams:
            continue
        lasts = _work_minutes(step) if minutes is None else minutes
        if minutes is None and not lasts:
            notices.append(_no_time(document, index))
        for name, (substance, weight) in grams.items():
            if substance is None:
                notices.append(_no_figures(document, name, index))
            yield Evaporating(str(step.id), name, substance, weight, float(lasts))


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


def _row(each: Evaporating, room: float, changes: float) -> dict[str, Any]:
    pulse = Pulse(each.grams, each.minutes, room, changes)
    mass = each.substance.molar_mass if each.substance else None
    peak = in_ppm(pulse.peak(), mass) if mass else None
    average = in_ppm(pulse.average(), mass) if mass else None
    lel = each.substance.lel if each.substance else None
    return {
        "step": each.step,
        "substance": each.name,
        "grams": each.grams,
        "minutes": each.minutes,
        "peak_ppm": peak,
        "near_ppm": [peak * times for times in NEAR] if peak is not None else None,
        "twa_8h_ppm": average,
        "limits": [asdict(limit) for limit in (each.substance.limits if each.substance else ())],
        "lel_percent": lel_share(peak, lel) if peak is not None and lel else None,
    }


def _mixtures(steps: Sequence[Mapping[str, Any]]) -> list[dict[str, Any]]:
    """For each step with several substances the sum of average over limit, by kind of long limit."""
    found = []
    for step in dict.fromkeys(row["step"] for row in steps):
        for kind in LONG:
            shares = [
                (row["twa_8h_ppm"], limit["ppm"])
                for row in steps
                for limit in row["limits"]
                if row["step"] == step and limit["kind"] == kind and row["twa_8h_ppm"] is not None
            ]
            if len(shares) > 1:
                found.append({"step": step, "kind": kind, "sum": mixture(shares)})
    return found


def _day(steps: Sequence[Mapping[str, Any]]) -> list[dict[str, Any]]:
    """The sum of all steps' averages: what it comes to at most where all are done within 8 hours."""
    names = dict.fromkeys(row["substance"] for row in steps if row["twa_8h_ppm"] is not None)
    return [
        {"substance": name, "twa_8h_ppm": sum(row["twa_8h_ppm"] for row in steps if row["substance"] == name)}
        for name in names
    ]


def _loud(
    steps: Sequence[Mapping[str, Any]],
    mixtures: Sequence[Mapping[str, Any]],
    day: Sequence[Mapping[str, Any]],
    document: Document,
) -> Iterator[Notice]:
    for mixed in mixtures:
        if mixed["sum"] > 1:
            what = f"At `{mixed['step']}` the substances together come to {mixed['sum']:.1f} times what the {mixed['kind']} limits allow."
            yield _above(what, document)
    for each in day:
        single = [row for row in steps if row["substance"] == each["substance"]]
        over = [
            limit
            for limit in single[0]["limits"]
            if limit["kind"] in LONG and max(row["twa_8h_ppm"] for row in single) <= limit["ppm"] < each["twa_8h_ppm"]
        ]
        if over:
            # No step is above it; that all of them in one day are is said once.
            what = f"All steps in one day come to {each['twa_8h_ppm']:.0f} ppm of {each['substance']} over 8 h, above the {_named(over)}."
            yield _above(what, document)
    for row in steps:
        over = [
            limit
            for limit in row["limits"]
            if row["peak_ppm"] is not None
            and limit["ppm"] < (row["twa_8h_ppm"] if limit["kind"] in LONG else row["peak_ppm"])
        ]
        if over:
            what = f"At `{row['step']}` the room's estimate of {row['substance']} is above the {_named(over)}."
            yield _above(what, document)
        if row["lel_percent"] is not None and row["lel_percent"] >= _BURNING_SHARE:
            yield Notice(
                "vapor-can-burn",
                "warning",
                f"At `{row['step']}` the room's average alone comes to {row['lel_percent']:.0f} % of the lower explosive limit.",
                "Stop here: no flame, no switch, air first, and ask whoever is qualified where you work.",
                file=document.file,
            )


def _above(what: str, document: Document) -> Notice:
    advice = "Move more air, take less at once, or work where an extraction takes it away."
    return Notice("vapor-above-limit", "warning", what, advice, file=document.file)


def _named(limits: Sequence[Mapping[str, Any]]) -> str:
    return " and ".join(f"{limit['issuer']} {limit['kind']} of {limit_words(limit)}" for limit in limits)


def limit_words(limit: Mapping[str, Any]) -> str:
    """A limit in the unit its issuer names it in."""
    return (
        f"{limit['ppm']:g} ppm"
        if limit["mg_m3"] is None
        else f"{limit['mg_m3']:g} mg/m3 (about {limit['ppm']:.0f} ppm)"
    )


def _unknown_amount(document: Document, name: str, path: tuple[str | int, ...]) -> Notice:
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
        "The step does not say how long its work takes, so all of it is reckoned at once.",
        "Type its `hands_on:`, or ask with `--minutes 20`.",
        ("steps", index, "id"),
        severity="advice",
    )


def _no_figures(document: Document, name: str, index: int) -> Notice:
    return document.notice(
        "vapor-unknown",
        f"For `{name}` no figures are at hand, so only its grams are told.",
        "Look on the maker's sheet; type its CAS number as `cas:` in the material's `vapor:`.",
        ("steps", index, "id"),
        severity="warning",
    )
