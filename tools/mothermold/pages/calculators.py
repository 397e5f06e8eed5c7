"""The batch calculators of recipe, version and mold pages: three sizes that stand there, and the data of the form.

A page gets only what its edition shows: the view's recipes, materials, molds and runs.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any, Final

from mothermold.answers.molds import GONE, is_offered, molds_of
from mothermold.answers.records import LastCasting, last_casting
from mothermold.answers.result import title_words
from mothermold.model.material import Material
from mothermold.model.mold import Mold
from mothermold.model.recipe import Mix, Recipe
from mothermold.model.run import Run
from mothermold.model.settings import Scale
from mothermold.pages.batching import as_block, mix_data, scales_data
from mothermold.pages.room_data import closing_told
from mothermold.pages.wording import spoken
from mothermold.quantities import Quantity
from mothermold.reckon.batches import Sheet, Wanted, own_fill, reckon_batch
from mothermold.reckon.errors import ReckoningError
from mothermold.reckon.mixes import Resolved, resolve
from mothermold.reckon.rounding import in_digits
from mothermold.view.sums import entry_by_entry
from mothermold.view.view import View

_SIZES: Final = (("Half", Fraction(1, 2)), ("As written", Fraction(1)), ("Double", Fraction(2)))
_COUNTS: Final = ("One casting", "Two castings", "Three castings")


@dataclass(frozen=True, slots=True)
class Calculator:
    """A mix that can be scaled, as a page offers it.

    Attributes:
        id: How the script finds its data.
        title: What the mix is called.
        parts: Its parts by their titles, in pouring order.
        sizes: Three batches, each with its words; empty where the mix says no size.
        data: What the script reckons with.
    """

    id: str
    title: str
    parts: Sequence[str]
    sizes: Sequence[tuple[str, Sheet]]
    data: Mapping[str, Any]


def calculator(
    resolved: Resolved,
    materials: Mapping[str, Material],
    titles: Mapping[str, str],
    scales: Sequence[Scale],
    closing: Sequence[Mapping[str, str]] = (),
) -> Calculator | None:
    """The calculator of a mix on its recipe's page; None for fixed amounts, which are not scaled.

    Args:
        resolved: The mix.
        materials: The materials of the edition.
        titles: What materials and mixes are called.
        scales: The scales of the book.
        closing: What is said of its pot life in any room.
    """
    if resolved.fixed or resolved.mass is None:
        return None
    data = mix_data(resolved, materials, titles) | {"closing": list(closing)}
    return _calculator(resolved.mix.id, data, _three_sizes(resolved, scales))


@dataclass(frozen=True, slots=True)
class MoldMix:
    """A mix as the page of a mold offers it.

    Attributes:
        address: The recipe's address.
        recipe: The recipe as now in use.
        calculator: The mix for this mold.
        casting: What it goes by, where the mold's cavity is not on record.
    """

    address: str
    recipe: Recipe
    calculator: Calculator
    casting: LastCasting | None


def mold_mixes(view: View, name: str, document: Mold, runs: Iterable[Run]) -> list[MoldMix]:
    """What is mixed for a mold: of each recipe cast in it, as now in use, the mixes that fill.

    Args:
        view: The edition.
        name: The mold's name.
        document: The mold.
        runs: The runs done in it.

    Returns:
        The mixes; none for a mold out of use, and of a recipe none where neither the cavity nor a good casting by it is known.
    """
    if document.state in GONE:
        return []
    cavity = document.cavity.volume if document.cavity else None
    found: list[MoldMix] = []
    for address in dict.fromkeys(run.recipe.address for run in runs if run.recipe is not None):
        versions = view.versions(address)
        recipe = versions.current.recipe if versions is not None and versions.current is not None else None
        if versions is None or recipe is None or any(each.address == versions.address for each in found):
            continue
        casting = last_casting(view, name, versions.address) if cavity is None else None
        if cavity is not None:
            start = {"mode": "fill", "text": str(cavity)}
        elif casting is not None:
            start = {"mode": "piece", "text": str(casting.weight)}
        else:
            continue
        piece = casting.weight.value if casting is not None else None
        titles = title_words(view) | {mix.id: mix.title or spoken(mix.id) for mix in recipe.mixes}
        for mix in _filling(recipe):
            resolved = _resolved(recipe, mix, view.models(Material))
            if resolved is None or resolved.fixed or resolved.mass is None:
                continue
            place = f"{versions.address}-{mix.id}".replace("/", "-")
            closing = closing_told(recipe, mix, titles[mix.id])
            data = mix_data(resolved, view.models(Material), titles) | {"start": start, "closing": closing}
            sizes = _castings(resolved, cavity.value if cavity else None, piece, view.settings.scales)
            found.append(MoldMix(versions.address, recipe, _calculator(place, data, sizes), casting))
    return found


def molds_for(view: View, address: str) -> list[tuple[str, Quantity]]:
    """The molds a recipe's things are cast in that can be cast in today and whose cavity was measured."""
    return [
        (str(mold.title), mold.cavity.volume)
        for _name, mold in sorted(molds_of(view, address).items())
        if mold.cavity is not None and is_offered(mold)
    ]


def page_block(
    view: View, calculators: Sequence[Calculator], molds: Sequence[tuple[str, Quantity]] = (), *, clays: bool = True
) -> str:
    """The one block of data a page with calculators carries; nothing where there is none."""
    if not calculators:
        return ""
    data = {
        "scales": scales_data(view.settings.scales),
        "molds": [[title, str(volume), str(volume.value)] for title, volume in molds],
        "clays": list(_clays(view).values()) if clays else [],
        "mixes": {each.id: _lean(each.data) for each in calculators},
    }
    return as_block(data)


def _lean(data: Mapping[str, Any]) -> dict[str, Any]:
    """Without what the page says already, without a second list of the same parts, and without what is empty."""
    left_out = {"readings", "pot_life", "demold", "full_cure"}
    if not any(part["premix"] for part in data["parts"]):
        left_out.add("materials")
    kept = {key: value for key, value in data.items() if key not in left_out and _says(value)}
    lists = {
        key: [{name: value for name, value in part.items() if _says(value)} for part in kept[key]]
        for key in ("parts", "materials")
        if key in kept
    }
    return kept | lists


def _says(value: Any) -> bool:
    return value not in (None, False, "", [])


def _calculator(name: str, data: Mapping[str, Any], sizes: Sequence[tuple[str, Sheet]]) -> Calculator:
    return Calculator(name, str(data["title"]), [str(part["title"]) for part in data["parts"]], sizes, data)


def _resolved(recipe: Recipe, mix: Mix, materials: Mapping[str, Material]) -> Resolved | None:
    try:
        return resolve(recipe.mixes, mix.id, materials)
    except ReckoningError:
        return None


def _filling(recipe: Recipe) -> list[Mix]:
    inside = {part.mix for mix in recipe.mixes for part in mix.parts}
    return [mix for mix in recipe.mixes if mix.id not in inside and own_fill(mix) is not None]


def _three_sizes(resolved: Resolved, scales: Sequence[Scale]) -> list[tuple[str, Sheet]]:
    mix = resolved.mix
    fill, batch = own_fill(mix), mix.batch
    found = []
    for word, factor in _SIZES:
        if fill is not None:
            sized, wanted, words = resolved, Wanted(fill=fill * factor), f"{word}, {in_digits(fill * factor, 4)} ml"
        elif batch is not None:
            value = batch.value * factor
            unit = "g" if batch.dimension == "mass" else "ml"
            amount = Quantity(batch.dimension, value, value, "")
            sized = replace(resolved, mix=mix.model_copy(update={"batch": amount}))
            wanted, words = Wanted(), f"{word}, {in_digits(value, 4)} {unit}"
        else:
            return []
        sheet = _sheet(sized, wanted, scales)
        if sheet is None:
            return []
        found.append((words, sheet))
    return found


def _castings(
    resolved: Resolved, cavity: Fraction | None, casting: Fraction | None, scales: Sequence[Scale]
) -> list[tuple[str, Sheet]]:
    found = []
    for count, word in enumerate(_COUNTS, start=1):
        wanted = Wanted(fill=cavity, piece=None if cavity is not None else casting, castings=count)
        sheet = _sheet(resolved, wanted, scales)
        if sheet is None:
            return []
        found.append((word, sheet))
    return found


def _sheet(resolved: Resolved, wanted: Wanted, scales: Sequence[Scale]) -> Sheet | None:
    try:
        return reckon_batch(resolved, wanted, scales)
    except ReckoningError:
        return None


@entry_by_entry("clays")
def _clays(view: View) -> dict[str, list[str]]:
    """The clays a cavity can be weighed with: what each is called, and its density."""
    return {
        name: [material.title, str(material.density.value)]
        for name, material in view.models(Material).items()
        if material.density is not None and any(str(family).startswith("clay") for family in material.families)
    }
