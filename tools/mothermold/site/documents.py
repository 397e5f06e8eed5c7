"""The pages of failures, materials, runs, molds, builds and courses."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, Final

from mothermold.answers.records import run_title, runs_with
from mothermold.answers.result import title_words
from mothermold.book.document import Document
from mothermold.model.failure import Failure
from mothermold.model.material import Material
from mothermold.model.recipe import Recipe
from mothermold.model.run import Run
from mothermold.reckon.lots import last_day
from mothermold.site import builds, courses, molds, runs
from mothermold.site.addresses import page_of
from mothermold.site.evidence import failure_evidence
from mothermold.site.page import Page, render
from mothermold.site.wording import document_rows
from mothermold.trade.cautions import material_cautions
from mothermold.trade.vapors import gives_off
from mothermold.view.view import View

_SHOWN: Final[Mapping[str, tuple[str, ...]]] = {
    "failure": (
        "title", "seen_at", "noticed", "caused_at", "symptoms", "now", "do_not", "happened", "causes", "fixes", "prevent",
        "harm",
    ),
    "material": ("title", "families", "density", "drop", "vapor", "maximum", "kit", "packs", "keeps", "lots", "sds"),
    "run": runs.SHOWN, "mold": molds.SHOWN, "build": builds.SHOWN, "course": courses.SHOWN,
}  # fmt: skip
"""The keys a page shows at a place of its own; all others stand in rows."""


def document_page(view: View, kind: str, address: str) -> Page:
    """The page of one document; one that cannot be read shows what is wrong with it."""
    document = view.on(kind)[address]
    page = page_of(kind, address)
    notices = view.touching({document.file})
    notices = tuple(notice for notice in notices if notice.file is not None)
    if document.model is None:
        return render(view, "unreadable.html", page, address, document=document, notices=notices)
    model = document.model
    title = run_title(view, model) if isinstance(model, Run) else getattr(model, "title", None) or address
    return render(
        view,
        f"{kind}.html",
        page,
        title,
        address=address,
        document=document,
        it=model,
        notices=notices,
        titles=title_words(view),
        rows=document_rows(view, document, _SHOWN[kind]),
        **_MORE[kind](view, document),
    )


def _failure(view: View, document: Document[Failure]) -> dict[str, Any]:
    happened = runs_with(view, document.address)
    listed = runs.entries(view, [run for run, _ in happened])
    return {
        "happened_in": [(entry, went) for entry, (_, went) in zip(listed, happened, strict=True)],
        **failure_evidence(view, document.address, document.model),
    }


def _material(view: View, document: Document[Material]) -> dict[str, Any]:
    used = []
    for address, recipe in sorted(view.models(Recipe).items()):
        in_mixes = [
            mix.title or mix.id for mix in recipe.mixes for part in mix.parts if part.material == document.address
        ]
        in_steps = [step.title for step in recipe.steps for use in step.uses if use.material == document.address]
        if in_mixes or in_steps:
            used.append((address, recipe.title, [*in_mixes, *in_steps]))
    material = document.model
    air = () if material.vapor else gives_off(material.families)
    lots = [(lot, last_day(lot, material)) for lot in material.lots]
    return {"used": used, "cautions": material_cautions(material), "air": air, "lots": lots}


_MORE: Final[Mapping[str, Callable[[View, Document[Any]], dict[str, Any]]]] = {
    "failure": _failure, "material": _material, "run": runs.run_details, "mold": molds.mold_details,
    "build": builds.build_details, "course": courses.course_details,
}  # fmt: skip
