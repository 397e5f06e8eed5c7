"""The bench view: one step a screen for wet hands, with everything its script needs carried in the page.

Pages are made for the version in use, for the draft beside it, and for every version a build or a course pins.
"""

from __future__ import annotations

import contextlib
import zlib
from collections import ChainMap
from collections.abc import Collection, Mapping, Sequence
from functools import partial
from typing import Any, Final

from mothermold.answers.molds import is_offered, molds_in, molds_of, not_offered, things_made
from mothermold.answers.records import last_casting
from mothermold.answers.result import number, title_words
from mothermold.book.coming_off import lacks_way_off
from mothermold.book.files import build_of
from mothermold.ground.notices import Notice
from mothermold.history.versions import Version, Versions
from mothermold.model.build import Build
from mothermold.model.failure import Failure
from mothermold.model.material import Material
from mothermold.model.mold import Mold
from mothermold.model.parts import Coats, Timed
from mothermold.model.recipe import Mix, MixPart, Recipe
from mothermold.model.run import Run
from mothermold.pages.addresses import Links, LinksOf, bench_page, page_of
from mothermold.pages.batching import as_block, mix_data, scales_data
from mothermold.pages.page import Page, render
from mothermold.pages.pinned import pinned_versions
from mothermold.pages.room_data import room_data
from mothermold.pages.rules import along_recipe
from mothermold.pages.steps import steps_shown
from mothermold.pages.wording import SHOWN, Rows, rows_of, sheets_by_place
from mothermold.reckon.errors import ReckoningError
from mothermold.reckon.lots import last_day, lots_in_use
from mothermold.reckon.mixes import resolve
from mothermold.reckon.nesting import mixes_inside
from mothermold.reckon.work import WorkStep, work_of
from mothermold.trade.cautions import recipe_cautions, sheets
from mothermold.view.view import View

BOOK_FILE: Final = "assets/bench-book.js"
"""What all bench pages share: rescues, and which runs are in the book."""
_IN_BATCH: Final = ("density", "allowance.left_in_cups", "allowance.smallest_batch", "allowance.largest_batch")


def bench_rows(view: View, versions: Versions) -> list[Version]:
    """The versions of a recipe someone may work by: the one in use, the newest draft, and what is pinned."""
    pinned = pinned_versions(view, versions.address)
    current, newest = versions.current, versions.rows[-1] if versions.rows else None
    return [
        row
        for row in versions.rows
        if (row is current or row.number in pinned or (row is newest and row.status == "draft"))
        and row.recipe is not None
        and row.recipe.steps
    ]


def is_at_bench(view: View, versions: Versions, row: Version) -> bool:
    """Whether someone may work by a version: whether it is one of ``bench_rows``."""
    return any(each is row for each in bench_rows(view, versions))


def bench_at(view: View, address: str, number: int) -> Page | None:
    """The bench view of a version; None where nobody works by it."""
    versions = view.versions(address)
    row = versions.get(number) if versions is not None and versions.address == address else None
    return bench_view(view, address, row) if versions and row and is_at_bench(view, versions, row) else None


def bench_view(view: View, address: str, row: Version, linked: LinksOf = Links) -> Page:
    """The bench view of one version, one of ``bench_rows``."""
    recipe = row.recipe
    assert recipe is not None
    data = bench_data(view, address, row.number, recipe)
    said = row.document.said
    return render(
        view,
        "bench.html",
        bench_page(address, row.number),
        f"{recipe.title}, at the bench",
        linked,
        recipe=recipe,
        address=address,
        row=row,
        cautions=recipe_cautions(recipe, view.ruling.cautions(recipe)),
        sheets=sheets_by_place(sheets(recipe, view.models(Material))),
        told_rules=along_recipe(view, address, recipe),
        steps=steps_shown(view, recipe, said.get("steps") or [], [None] * len(recipe.steps)),
        mixed=_mixed(recipe, said.get("mixes") or []),
        rest=rows_of(said, (*SHOWN[Recipe], "format", "visibility", "formerly")),
        mix_titles={mix.id: mix.title or mix.id for mix in recipe.mixes},
        step_titles={step.id: step.title for step in recipe.steps},
        titles=title_words(view),
        not_offered=not_offered(view, address),
        notices=_told(view, row.document.file, recipe),
        without_way_off=lacks_way_off(recipe),
        data=data,
        data_json=as_block(data),
    )


def _mixed(recipe: Recipe, as_said: Sequence[Mapping[str, Any]]) -> dict[str, Rows]:
    """What is said of the mixes of each step, and is in neither the batch nor the clocks of its screen."""
    mixes = {str(mix.id): mix for mix in recipe.mixes}
    rows: dict[str, Rows] = {
        str(mix.id): [
            (f"{mix.title or mix.id}: {key}", value)
            for group, shown in (
                (said, (*SHOWN[Mix], *_IN_BATCH)),
                *((each, SHOWN[MixPart]) for each in said["parts"]),
            )
            for key, value in rows_of(group, shown)
        ]
        for mix, said in zip(recipe.mixes, as_said, strict=True)
    }
    used = {step.id: mixes_inside([str(use.mix) for use in step.uses if use.mix], mixes) for step in recipe.steps}
    return {step: [row for name in names for row in rows.get(name, ())] for step, names in used.items()}


def _told(view: View, file: str, recipe: Recipe) -> list[Notice]:
    """What is said of the recipe's file and of the materials of its mixes, as `mix` says it."""
    used = {str(part.material) for mix in recipe.mixes for part in mix.parts if part.material}
    every = view.on("material")
    files = {file, *(every[name].file for name in used if name in every)}
    return [notice for notice in view.touching(files) if notice.file is not None]


def bench_data(view: View, address: str, version: int, recipe: Recipe) -> dict[str, Any]:
    """What the script of a bench view needs."""
    titles = title_words(view)
    return {
        "recipe": f"{address}@{version}",
        "name": address.rpartition("/")[2],
        "title": recipe.title,
        "makes": bool(recipe.gives) or recipe.stage == "cast",
        "zone": view.settings.time_zone,
        "scales": scales_data(view.settings.scales),
        "steps": [_step(each) for each in work_of(recipe).steps],
        "mixes": _mixes(view, recipe, titles),
        "times": {mix.id: _times(mix) for mix in recipe.mixes},
        "molds": _molds(view, address),
        "things": [
            {"build": name, "title": f"{view.models(Build)[name].title}: {thing.replace('-', ' ')}", "thing": thing}
            for name, thing, _sources in things_made(view).get(address, ())
        ],
        "lots": _lots(view, recipe, titles),
        "stuff": [
            {"material": each.material, "title": each.title, "where": each.where}
            for each in sheets(recipe, view.models(Material))
        ],
        "room": room_data(recipe, view.models(Material), view.ruling.rules, titles),
    }


def _mixes(view: View, recipe: Recipe, titles: ChainMap[str, str]) -> list[dict[str, Any]]:
    """The mixes that can be reckoned; one that cannot says so on the recipe's page."""
    materials = view.models(Material)
    called = titles | {mix.id: mix.title or mix.id for mix in recipe.mixes}
    found = []
    for mix in recipe.mixes:
        with contextlib.suppress(ReckoningError):
            found.append(mix_data(resolve(recipe.mixes, mix.id, materials), materials, called))
    return found


def _step(work: WorkStep) -> dict[str, Any]:
    step = work.step
    return {
        "id": str(step.id),
        "title": step.title,
        "starts": str(step.starts) if step.starts else None,
        "mixes": list(dict.fromkeys(str(use.mix) for use in step.uses if use.mix)),
        "watch": [str(name) for name in step.watch],
        "materials": sorted(work.materials),
        "timers": _timers(work),
    }


def _timers(work: WorkStep) -> list[dict[str, Any]]:
    """The waits a step asks for, as timers to offer: name, minutes, and the mix whose demold or cure it is."""
    found: list[dict[str, Any]] = []
    step, minutes = work.step, number(work.waits)
    coats: list[Coats] = [each for each in (step.coats, *(use.coats for use in step.uses)) if each is not None]
    for each in coats:
        if each.between is not None:
            found.append({"name": "Next coat", "minutes": number(each.between.value)})
        if each.last is not None:
            found.append({"name": "After the last coat", "minutes": number(each.last.value)})
    if step.wait is not None and minutes:
        mix = work.mixes.get(step.wait.demold or step.wait.full_cure or "")
        what = "Demold" if step.wait.demold else "Full cure" if step.wait.full_cure else step.title
        found.append({"name": what, "minutes": minutes, "mix": mix.id if mix else None})
    elif step.wait is None and step.until is not None and step.until.usual is not None:
        found.append({"name": f"Look again: {step.title}", "minutes": minutes})
    return found


def _times(mix: Mix) -> dict[str, Any]:
    said = {"pot_life": mix.pot_life, "demold": mix.demold, "full_cure": mix.full_cure}
    return {"title": mix.title or mix.id, "by": str(mix.by), "fills": mix.fills is not None} | {
        key: _timed(each) for key, each in said.items() if each is not None
    }


def _timed(timed: Timed) -> dict[str, Any]:
    at = timed.at
    return {
        "low": number(timed.time.low),
        "high": number(timed.time.high),
        "words": str(timed.time),
        "at": [number(at.low), number(at.high)] if at is not None else None,
    }


def _molds(view: View, address: str) -> list[dict[str, Any]]:
    """Molds this recipe is cast in or that were made for it, the used ones first; each with what is known of its cavity.

    Where none of them can be cast in today, those of the builds that make it.
    """
    meant = {name: mold for name, mold in molds_of(view, address).items() if is_offered(mold)}
    if not meant:
        makers = {name for name, _thing, _sources in things_made(view).get(address, ())}
        names = sorted(name for build in makers for name in molds_in(view).get(build, ()))
        meant = {name: mold for name in names if is_offered(mold := view.models(Mold)[name])}
    found = []
    for name, mold in meant.items():
        casting = last_casting(view, name, address) if mold.cavity is None else None
        found.append(
            {
                "id": name,
                "title": mold.title,
                "build": build_of(view.on("mold")[name].file),
                "fill": number(mold.cavity.volume.value) if mold.cavity else None,
                "piece": number(casting.weight.value) if casting else None,
            }
        )
    return found


def _lots(view: View, recipe: Recipe, titles: ChainMap[str, str]) -> list[dict[str, Any]]:
    """The lots in use of what the recipe uses, each with its last day."""
    names = dict.fromkeys(str(part.material) for mix in recipe.mixes for part in mix.parts if part.material)
    names |= dict.fromkeys(str(use.material) for step in recipe.steps for use in step.uses if use.material)
    materials = view.models(Material)
    found = []
    for name in names:
        material = materials.get(name)
        lots = lots_in_use(material) if material is not None else ()
        if material is None or not lots:
            continue
        found.append(
            {
                "material": name,
                "title": titles.get(name, name),
                "kit": [str(other) for other in material.kit if str(other) in names],
                "lots": [
                    {
                        "lot": str(lot.lot),
                        "last": last.isoformat() if (last := last_day(lot, material)) else None,
                        "got": lot.got.isoformat() if lot.got else None,
                    }
                    for lot in lots
                ],
            }
        )
    return found


def bench_book(view: View, recipes: Collection[str] | None = None) -> str:
    """The script all bench pages share: every failure with what to do now, and the runs the book already has.

    Args:
        view: The edition.
        recipes: The recipes whose runs are told; all unless given.
    """
    runs = [view.made.of(f"run/{name}: sum", partial(_sum, view, name)) for name in view.evidence.lineage.names]
    failures = [
        view.made.of(f"failure/{name}: at the bench", partial(_at_bench, view, name))
        for name in sorted(view.on("failure"))
    ]
    data = {
        "book": view.settings.title,
        "failures": list(filter(None, failures)),
        "runs": {name: told for recipe, name, told in runs if recipes is None or recipe in recipes},
    }
    return f"window.mothermoldBook = {as_block(data)};\n"


def _sum(view: View, name: str) -> list[Any]:
    """The recipe of a run, its id and its checksum (CRC-32, ISO 3309), so that a device knows whether it was taken in whole."""
    document = view.of(Run)[name]
    run = document.model
    return [run.recipe.address if run.recipe else None, str(run.id), zlib.crc32(document.text.encode("utf-8"))]


def _at_bench(view: View, name: str) -> dict[str, Any] | None:
    """What the bench shows of a failure."""
    failure = view.models(Failure).get(name)
    if failure is None:
        return None
    return {
        "id": name,
        "title": failure.title,
        "said": list(failure.symptoms),
        "now": list(failure.now),
        "not": list(failure.do_not),
        "page": page_of("failure", name),
        "stage": str(failure.seen_at),
        "places": _places(view, failure),
    }


def _places(view: View, failure: Failure) -> list[str]:
    """Where a failure shows or was mended: recipes by the address they have today, with the step where one is named."""
    places = [*failure.noticed, *(fix.in_ for fix in failure.fixes if fix.in_)]
    held = ((view.versions(place.address), place.step) for place in places)
    told = [f"{versions.address}#{step}" if step else versions.address for versions, step in held if versions]
    return list(dict.fromkeys(told))
