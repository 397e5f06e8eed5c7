"""A mix as the data a page carries: what the script needs to reckon the same batch as the command, exactly.

Fractions are written ``n/d``. Parts are told per gram of the mix, so a fill needs nothing but multiplication. Of a mix
in fixed amounts, and of one whose weight in all is not known, they are the amounts of its nominal batch.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import Any

from mothermold.model.material import Material
from mothermold.model.parts import Timed
from mothermold.model.recipe import Mix
from mothermold.model.settings import Scale
from mothermold.quantities import Quantity
from mothermold.reckon.batches import own_fill
from mothermold.reckon.errors import ReckoningError
from mothermold.reckon.lots import kit_words, kits_apart, last_day, lots_in_use, needs
from mothermold.reckon.mixes import Resolved, ResolvedPart
from mothermold.reckon.readings import maximum_words, over_maximum, readings
from mothermold.reckon.rounding import in_digits


def mix_data(resolved: Resolved, materials: Mapping[str, Material], titles: Mapping[str, str]) -> dict[str, Any]:
    """Everything of one mix that its batch rests on.

    Args:
        resolved: The mix in exact proportions.
        materials: The materials of this edition, for maxima and readings.
        titles: What materials and premixes are called.
    """
    mix = resolved.mix
    allowance = mix.allowance
    density = _density(resolved)
    per = Fraction(1) if resolved.fixed or not resolved.mass else resolved.mass
    parts = [_part(part, per, titles) for part in resolved.parts]
    flat = [_part(part, per, titles) for part in resolved.materials]
    known = [part.name for part in resolved.materials if part.name in materials]
    found: dict[str, Any] = {
        "id": mix.id,
        "title": mix.title or titles.get(mix.id, mix.id),
        "density": _exact(density),
        "percent": str(allowance.percent.value) if allowance and allowance.percent else "0",
        "left_in_cups": _grams(allowance.left_in_cups if allowance else None, density),
        "cups_said": _said(allowance.left_in_cups if allowance else None),
        "smallest_said": _said(allowance.smallest_batch if allowance else None),
        "smallest": _grams(allowance.smallest_batch if allowance else None, density),
        "largest": _grams(allowance.largest_batch if allowance else None, density),
        "fill": _exact(own_fill(mix)),
        "batch": _grams(mix.batch, density),
        "plain": allowance is None,
        "fixed": resolved.fixed,
        "unweighed": not resolved.fixed and resolved.mass is None,
        "lacking": list(resolved.lacking),
        "parts": parts,
        "materials": flat,
        "readings": [
            {"part": each.part, "of": each.of, "percent": in_digits(each.percent)}
            for each in readings(resolved, materials)
        ],
        "told": [
            {"code": "over-maximum", "words": maximum_words(titles.get(name, name), percent, limit)}
            for name, percent, limit in over_maximum(resolved, materials)
        ]
        + [
            {"code": "kit-lots-differ", "words": kit_words(titles.get(one, one), titles.get(other, other))}
            for one, other in kits_apart(known, materials)
        ],
        "lots": [
            {"name": name, "title": titles.get(name, name), "lot": str(lot.lot), "last": last.isoformat()}
            for name in known
            for lot in lots_in_use(materials[name])
            if (last := last_day(lot, materials[name])) is not None
        ],
    }
    found["left"] = [
        {
            "name": each.material,
            "title": titles.get(each.material, each.material),
            "amount": str(each.stock.amount),
            "unit": each.stock.unit,
            "share": _exact(each.nominal / per if each.nominal is not None else None),
            "unknown": list(each.stock.unknown),
            "premixes": list(each.through),
            "through": [titles.get(name, name) for name in each.through],
        }
        for each in needs(resolved, materials)
    ]
    if resolved.fixed:
        found |= {"mass": _exact(resolved.mass), "volume": _exact(resolved.volume)}
    return found | {key: _timed(timed) for key, timed in _times(mix) if timed is not None}


def scales_data(scales: Sequence[Scale]) -> list[dict[str, str]]:
    """The scales of the book, as the script takes them."""
    return [{"id": scale.id, "step": str(scale.step.value), "up_to": str(scale.up_to.value)} for scale in scales]


def as_block(data: Any) -> str:
    """Data as the text of a script element of JSON: compact, and nothing in it can end the element."""
    text = json.dumps(data, ensure_ascii=False, separators=(",", ":"))
    return text.replace("&", "\\u0026").replace("<", "\\u003c").replace(">", "\\u003e")


def _density(resolved: Resolved) -> Fraction | None:
    try:
        return resolved.density
    except ReckoningError:
        return None


def _said(amount: Quantity | None) -> str:
    """As written; nothing where nothing is."""
    return str(amount) if amount is not None and amount.value else ""


def _exact(value: Fraction | None) -> str | None:
    return None if value is None else str(value)


def _grams(amount: Quantity | None, density: Fraction | None) -> str | None:
    """Grams; a question mark where a volume was written and its density is not known."""
    if amount is None:
        return None
    if amount.dimension == "mass":
        return str(amount.value)
    return "?" if density is None else str(amount.value * density)


def _part(part: ResolvedPart, per: Fraction, titles: Mapping[str, str]) -> dict[str, Any]:
    return {
        "name": part.name,
        "title": titles.get(part.name, part.name),
        "premix": part.premix,
        "share": _exact(part.mass / per if part.mass is not None else None),
        "volume_share": _exact(part.volume / per if part.volume is not None else None),
        "outside": part.outside,
    }


def _times(mix: Mix) -> tuple[tuple[str, Timed | None], ...]:
    return ("pot_life", mix.pot_life), ("demold", mix.demold), ("full_cure", mix.full_cure)


def _timed(timed: Timed) -> dict[str, Any]:
    said = {
        "time": str(timed.time),
        "min": float(timed.time.value),
        "at": str(timed.at) if timed.at else None,
        "basis": timed.basis,
    }
    return {key: value for key, value in said.items() if value is not None}
