"""The pages of a recipe: the one in use, and each version at its permanent address."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from mothermold.answers.molds import not_offered
from mothermold.answers.records import record_of, runs_of
from mothermold.answers.result import title_words
from mothermold.book.coming_off import lacks_way_off
from mothermold.book.document import Document
from mothermold.compare.change import FieldPath
from mothermold.compare.since import since_each
from mothermold.history.versions import Version, Versions, as_text
from mothermold.model.material import Material
from mothermold.model.recipe import Recipe
from mothermold.pages.addresses import Links, LinksOf, bench_page, page_of
from mothermold.pages.addresses import version_page as page_of_version
from mothermold.pages.bench import is_at_bench
from mothermold.pages.calculators import molds_for, page_block
from mothermold.pages.drawn.recipe import drawn_recipe
from mothermold.pages.evidence import watch_records
from mothermold.pages.learning import ABOUT_BANDS, learned_shown
from mothermold.pages.margin import since_notes
from mothermold.pages.mixes import mixes_shown
from mothermold.pages.page import Page, render
from mothermold.pages.pictures import side_by_side
from mothermold.pages.rules import along_recipe
from mothermold.pages.runs import entries
from mothermold.pages.steps import steps_shown
from mothermold.pages.strip import recipe_strips
from mothermold.pages.wording import recipe_rows, sheets_by_place
from mothermold.quantities.wording import minutes_in_words
from mothermold.reckon.times import elapsed_minutes, hands_on_minutes
from mothermold.trade.cautions import recipe_cautions, sheets
from mothermold.view.view import View


def recipe_page(view: View, address: str, linked: LinksOf = Links) -> Page:
    """The recipe's own page, with its version in use."""
    versions = view.versions(address)
    if versions is None or not versions.rows:
        document = view.on("recipe")[address]
        told: dict[str, Any] = {"document": document, "called": "recipe", "notices": view.touching({document.file})}
        return render(view, "unreadable.html", page_of("recipe", address), document.address, linked, **told)
    return _page(view, versions, versions.current or versions.rows[-1], linked, main=True)


def version_page(view: View, address: str, number: int, linked: LinksOf = Links) -> Page | None:
    """The page of one version; None where the edition holds none."""
    versions = view.versions(address)
    row = versions.get(number) if versions is not None and versions.address == address else None
    return _page(view, versions, row, linked, main=False) if versions and row else None


def _since(view: View, versions: Versions) -> Mapping[int, Mapping[FieldPath, int]]:
    """Since which number each field of each version says what it says."""
    texts = [(row.number, text) for row in versions.rows if (text := as_text(row.document))]
    return view.once.of(("since", versions.address), lambda: since_each(texts))


def _page(view: View, versions: Versions, row: Version, linked: LinksOf, *, main: bool) -> Page:
    address = versions.address
    page = page_of("recipe", address) if main else page_of_version(address, row.number)
    head = view.on("recipe").get(address) if main else None
    notices = [each for each in view.touching({head.file}) if each.file == head.file] if head is not None else []
    recipe = row.recipe
    title = recipe.title if recipe is not None else versions.address
    common: dict[str, Any] = {
        "linked": linked,
        "versions": versions,
        "row": row,
        "main": main,
        "notices": notices,
        "day": lambda moment: moment.astimezone(view.settings.zone).date().isoformat(),
        "state": lambda each: _state(view, each),
        "broken_head": head is not None and head.model is None,
        "as_it_is": _unlike(versions, head),
        "strips": recipe_strips(view, versions.address, None if main else row.number),
        "bench": bench_page(versions.address, row.number) if is_at_bench(view, versions, row) else None,
        "comparable": sum(1 for each in versions.rows if each.recipe is not None) > 1,
        "life": view.once.of(("life", versions.address), lambda: drawn_recipe(view, versions)),
        "record": lambda number: record_of(runs_of(view, versions.address, number)),
    }
    if recipe is None:
        return render(view, "recipe_as_text.html", page, title, **common)
    changed = _since(view, versions)[row.number]
    reasons = {each.number: each.why for each in versions.rows}
    said = row.document.said
    mix_sinces = since_notes([changed.get(("mixes", mix.id)) for mix in recipe.mixes], row.number, reasons)
    step_sinces = since_notes([changed.get(("steps", step.id)) for step in recipe.steps], row.number, reasons)
    mixes = mixes_shown(view, recipe, said.get("mixes") or [], mix_sinces)
    calculators = [each.calculator for each in mixes if each.calculator is not None]
    return render(
        view,
        "recipe.html",
        page,
        title,
        glossed=True,
        recipe=recipe,
        **common,
        glance=_glance(recipe, view, versions.address, row.number),
        mixes=mixes,
        batch_block=page_block(view, calculators, molds_for(view, versions.address) if calculators else ()),
        not_offered=not_offered(view, versions.address) if calculators else (),
        cautions=recipe_cautions(recipe, view.ruling.cautions(recipe)),
        sheets=sheets_by_place(sheets(recipe, view.models(Material))),
        told_rules=along_recipe(view, versions.address, recipe),
        steps=steps_shown(view, recipe, said.get("steps") or [], step_sinces),
        watched=watch_records(view, versions.address, row.number),
        titles=title_words(view),
        learned=learned_shown(view, versions, recipe),
        about_bands=ABOUT_BANDS,
        runs=entries(view, reversed(runs_of(view, versions.address, row.number))),
        mix_titles={mix.id: mix.title or mix.id for mix in recipe.mixes},
        step_titles={step.id: step.title for step in recipe.steps},
        side_by_side=side_by_side,
        without_way_off=lacks_way_off(recipe),
        rest=recipe_rows(view, row.document),
    )


def _unlike(versions: Versions, head: Document | None) -> Document | None:
    """The file of today where no version shows it: it cannot be read, or its number says something else."""
    if head is None or (head.model is not None and any(row.document.said == head.said for row in versions.rows)):
        return None
    return head


def _state(view: View, row: Version) -> str:
    """What a version is, since when, and whether the history holds it: ``locked, 2026-03-02``, ``draft, not saved yet``."""
    words = [str(row.status)]
    if row.moment:
        words.append(row.moment.astimezone(view.settings.zone).date().isoformat())
    if row.working_tree:
        words.append("changed since it was saved" if row.saved else "not saved yet")
    if row.amendments:
        count = len(row.amendments)
        words.append(f"amended {'once' if count == 1 else f'{count} times'}")
    return ", ".join(words)


def _glance(recipe: Recipe, view: View, address: str, number: int) -> list[tuple[str, str]]:
    rows = [
        ("Hands-on", minutes_in_words(hands_on_minutes(recipe))),
        ("From start to finish", minutes_in_words(elapsed_minutes(recipe))),
    ]
    if isinstance(recipe.yields, int):
        what = recipe.gives.what if recipe.gives and recipe.gives.what else "piece"
        rows.append(("One run makes", f"{recipe.yields} {what}"))
    elif recipe.yields:
        rows.append(("One run makes", ", ".join(f"{count} {kind}" for kind, count in recipe.yields)))
    people = [int(step.people) for step in recipe.steps if step.people]
    if people and max(people) > 1:
        rows.append(("Pairs of hands", f"up to {max(people)}"))
    rows.append(("Record of this version", str(record_of(runs_of(view, address, number)))))
    return rows
