"""The page of a material: where it is used, what it can do to somebody, its lots."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import partial
from itertools import starmap
from typing import Final

from mothermold.answers.result import title_words
from mothermold.book.document import Document
from mothermold.model.material import Keeps, Lot, Material, Pack, SafetySheet, Vapor
from mothermold.model.recipe import Recipe
from mothermold.model.walk import KeyPath
from mothermold.pages.buying import in_lots
from mothermold.pages.content import Content, Labels, Lead, Row, Sign, Widget, Words
from mothermold.pages.saying import (
    Loose,
    cells,
    framed,
    joined,
    labels,
    listed,
    marked,
    numbered,
    para,
    points,
    quiet,
    said,
    section,
    tabled,
    words,
)
from mothermold.pages.wording import spoken
from mothermold.quantities.wording import percent_words
from mothermold.reckon.lots import last_day
from mothermold.trade.cautions import material_cautions
from mothermold.trade.vapors import GivesOff, gives_off
from mothermold.trade.vocabulary import family_words
from mothermold.view.sums import entry_by_entry
from mothermold.view.view import View


def content(view: View, document: Document[Material]) -> Content:
    """What the page of a material shows."""
    material = document.model
    cautions = material_cautions(material)
    evaporates = joined(starmap(_vapor, numbered(material.vapor, "vapor")), "; ")
    usual = () if material.vapor else map(_usual, gives_off(material.families))
    kit = listed(material.kit, ", ", "kit")
    packs = joined((_pack(at, pack, view.settings.currency) for at, pack in numbered(material.packs, "packs")), "; ")
    return Content(
        material.title,
        words("Material"),
        listed(map(family_words, material.families), ", ", "families"),
        (
            section("sheet", "", _sheet(material.sds or SafetySheet())),
            section("cautions", "", Widget("cautions", cautions) if cautions else None),
            section("glance", "", _glance(material, title_words(view))),
            section("touch", "", para(Lead("touch", document.address, "What it may touch"))),
            section("vapor", "", para(framed("Evaporates: ", evaporates, ".")), *map(para, usual)),
            section("kit", "", para(framed("Bought and matched with ", kit, "."))),
            tabled("lots", "Lots", _LOTS, material.lots, partial(_lot, material)),
            section("stock", "", points(in_lots(view, document.address), "plain")),
            section("packs", "", para(framed("Packs: ", packs, "."), style="quiet")),
            section("used", "Used in", points(_used(view, document.address), "plain")),
        ),
    )


_LOTS: Final = {"Lot": "", "Came": "day", "Opened": "day", "Use by": "day", "Left": ""}
_WHOLE: Final = {"the-rest": "the rest", "total": "the total"}
_FIRST: Final = "comes first, with local rules and licensed practice."


def _sheet(sheet: SafetySheet) -> Sign:
    lead = marked("strong", "Maker's safety data sheet:")
    if sheet.where:
        told = said("sds", where=sheet.where, dated=sheet.dated and (", dated ", sheet.dated))
        return Sign("sheet", "watch", words(lead, " ", told, f". It {_FIRST}"))
    dated = said("sds", dated=sheet.dated and ("; it is dated ", sheet.dated))
    return Sign(
        "sheet", "watch", words(lead, " nobody noted where it hangs", dated, f". Read it before use; it {_FIRST}")
    )


def _glance(material: Material, titles: Mapping[str, str]) -> Labels:
    keeps, most = material.keeps or Keeps(), material.maximum
    of = (titles.get(name) or _WHOLE.get(name, spoken(name)) for name in most.of) if most else ()
    percent = said("maximum", percent=(percent_words(most.percent), " of ") if most else None)
    return labels(
        ("Density", said(density=material.density)),
        ("A drop", said(drop=material.drop)),
        ("Maker's maximum", framed(percent, listed(of, " + ", "maximum", "of"))),
        ("Keeps unopened", said("keeps", closed=keeps.closed)),
        ("Keeps once opened", said("keeps", opened=keeps.opened)),
        style="glance",
    )


def _vapor(at: KeyPath, vapor: Vapor) -> Words:
    return said(
        *at,
        substance=vapor.substance,
        cas=vapor.cas and f" (CAS {vapor.cas})",
        share=vapor.share and f", {percent_words(vapor.share)} of it",
    )


def _usual(each: GivesOff) -> str:
    """What evaporates by the trade's own table, for a material that does not say it."""
    family, substance = family_words(each.family), each.substance
    if each.kind == "usual" and substance:
        return (
            f"Evaporates, going by what is usual for {family} and not by its maker's figure: {substance.name} (CAS "
            f"{substance.cas}), {each.share} of it ({each.words}; {each.source}). The maker's sheet decides."
        )
    known = each.kind == "nothing"
    return "" if known else f"What evaporates from it is not known ({family}: {each.words}). The maker's sheet says it."


def _pack(at: KeyPath, pack: Pack, currency: str | None) -> Words:
    return said(*at, size=pack.size, price=pack.price and (" at ", pack.price, currency and f" {currency}"))


def _lot(material: Material, at: KeyPath, lot: Lot) -> Row:
    last, keeps = last_day(lot, material), material.keeps
    why: Loose = None
    if last != lot.use_by and keeps:
        why = (" ", quiet(keeps.opened, " from opening", lot.use_by and ("; unopened it is ", lot.use_by)))
    use_by = said(*at, use_by=(last, why)) if lot.use_by else words(last, why)
    came = said(*at, got=lot.got, held=lot.held and (" ", quiet(lot.held)))
    left = said(*at, left=lot.left, weighed=lot.weighed and (" ", quiet("weighed ", lot.weighed)))
    return Row((*cells(at, lot, "lot"), came, *cells(at, lot, "opened"), use_by, left))


def _used(view: View, name: str) -> Iterator[Loose]:
    for address, title, places in _uses(view).get(name, ()):
        yield Lead("recipe", address, title), " ", quiet(", ".join(places))


@entry_by_entry("uses")
def _uses(view: View) -> dict[str, list[tuple[str, str, list[str]]]]:
    """By material the recipes that use it, as their files say it, each with its title, and where in them."""
    found: dict[str, list[tuple[str, str, list[str]]]] = {}
    for address, document in sorted(view.on("recipe").items()):
        title, used = view.made.of(f"recipe/{address}: uses", partial(_places, document))
        for name, places in used.items():
            found.setdefault(name, []).append((address, title, places))
    return found


def _places(document: Document) -> tuple[str, dict[str, list[str]]]:
    """The title of a recipe, and the mixes and steps in which it uses each material, by their titles."""
    recipe, found = document.model, dict[str, list[str]]()
    if not isinstance(recipe, Recipe):
        return document.address, {}
    mixes = [(part.material, mix.title or mix.id) for mix in recipe.mixes for part in mix.parts]
    steps = [(use.material, step.title) for step in recipe.steps for use in step.uses]
    for material, place in (*mixes, *steps):
        if material is not None:
            found.setdefault(str(material), []).append(str(place))
    return recipe.title, found
