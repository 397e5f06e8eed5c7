"""The pages of a recipe: the one in use, and each version at its permanent address."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from mothermold.answers.result import title_words
from mothermold.book.document import Document
from mothermold.compare.since import Path, since_each
from mothermold.history.versions import Version, Versions, as_text
from mothermold.model.recipe import Mix, MixPart, Recipe, Step, Use
from mothermold.model.run import Run
from mothermold.quantities.wording import minutes_in_words
from mothermold.reckon.batches import Sheet, Wanted, reckon_batch
from mothermold.reckon.errors import ReckoningError
from mothermold.reckon.mixes import Resolved, resolve
from mothermold.reckon.readings import Reading, readings
from mothermold.reckon.times import elapsed_minutes, hands_on_minutes
from mothermold.site.addresses import page_of, version_page
from mothermold.site.page import Page, render
from mothermold.site.wording import Rows, amount_words, coats_words, document_rows, rows_of, use_words, waiting_words
from mothermold.view.view import View

_SHOWN: Final = (
    "title",
    "stage",
    "version",
    "status",
    "why",
    "fixes",
    "yields",
    "needs",
    "surfaces",
    "gives",
    "mixes",
    "steps",
)


def recipe_pages(view: View, address: str) -> Iterator[Page]:
    """The recipe's own page and one for each version."""
    versions = view.versions(address)
    if versions is None or not versions.rows:
        yield _unreadable(view, view.documents["recipe"][address], page_of("recipe", address))
        return
    shown = versions.current or versions.rows[-1]
    head = view.documents["recipe"].get(address)
    history = since_each([(row.number, text) for row in versions.rows if (text := as_text(row.document))])
    yield _page(view, versions, shown, page_of("recipe", address), head, history, main=True)
    for row in versions.rows:
        yield _page(view, versions, row, version_page(address, row.number), None, history, main=False)


def _unreadable(view: View, document: Document, page: str) -> Page:
    notices = view.touching({document.file})
    return render(view, "unreadable.html", page, document.address, document=document, notices=notices)


def _page(  # noqa: PLR0917 - one page, all it is made of
    view: View,
    versions: Versions,
    row: Version,
    page: str,
    head: Document | None,
    history: Mapping[int, Mapping[Path, int]],
    *,
    main: bool,
) -> Page:
    notices = [notice for notice in view.notices if head is not None and notice.file == head.file]
    recipe = row.recipe
    title = recipe.title if recipe is not None else versions.address
    common = {
        "versions": versions,
        "row": row,
        "main": main,
        "notices": notices,
        "day": lambda moment: moment.astimezone(view.settings.zone).date().isoformat(),
        "date": lambda each: _day(view, each),
        "broken_head": head is not None and head.model is None,
        "as_it_is": _unlike(versions, head),
    }
    if recipe is None:
        return render(view, "recipe_as_text.html", page, title, **common)
    materials = view.materials()
    changed = history[row.number]
    return render(
        view,
        "recipe.html",
        page,
        title,
        recipe=recipe,
        **common,
        glance=_glance(recipe),
        mixes=[
            _mix(recipe, mix, said, materials, changed)
            for mix, said in zip(recipe.mixes, _groups(row, "mixes"), strict=True)
        ],
        steps=[
            _step(recipe, step, said, changed) for step, said in zip(recipe.steps, _groups(row, "steps"), strict=True)
        ],
        titles=title_words(view),
        reasons={each.number: each.why for each in versions.rows},
        runs=_runs(view, versions.address, row.number),
        mix_titles={mix.id: mix.title or mix.id for mix in recipe.mixes},
        step_titles={step.id: step.title for step in recipe.steps},
        rest=document_rows(view, row.document, _SHOWN),
    )


def _unlike(versions: Versions, head: Document | None) -> Document | None:
    """The file of today where no version shows it: it cannot be read, or its number says something else."""
    if head is None or (head.model is not None and any(row.document.said == head.said for row in versions.rows)):
        return None
    return head


def _groups(row: Version, key: str) -> list[dict[str, Any]]:
    return row.document.said.get(key) or []


def _day(view: View, row: Version) -> str:
    return row.moment.astimezone(view.settings.zone).date().isoformat() if row.moment else "not saved yet"


def _glance(recipe: Recipe) -> list[tuple[str, str]]:
    rows = [
        ("Stage", recipe.stage),
        ("Hands-on", minutes_in_words(hands_on_minutes(recipe))),
        ("From start to finish", minutes_in_words(elapsed_minutes(recipe))),
    ]
    if isinstance(recipe.yields, int):
        what = recipe.gives.what if recipe.gives and recipe.gives.what else "piece"
        rows.append(("A run gives", f"{recipe.yields} {what}"))
    elif recipe.yields:
        rows.append(("A run gives", ", ".join(f"{count} {kind}" for kind, count in recipe.yields)))
    return rows


@dataclass(frozen=True, slots=True)
class MixShown:
    """A mix as its page shows it.

    Attributes:
        mix: The formula.
        parts: Each part with how its amount is written and, where reckoned, its line of the batch.
        sheet: The batch at the mix's own size, or None where it cannot be reckoned.
        fault: Why it cannot.
        readings: Every reading of every share, by material.
        since: The version that last changed it.
    """

    mix: Mix
    parts: Sequence[tuple[MixPart, str, Any]]
    sheet: Sheet | None
    fault: str
    readings: Mapping[str, Sequence[Reading]]
    since: int | None
    rest: Rows


def _mix(
    recipe: Recipe, mix: Mix, as_said: Mapping[str, Any], materials: Mapping[str, Any], changed: Mapping[Path, int]
) -> MixShown:
    sheet: Sheet | None = None
    fault = ""
    said: dict[str, list[Reading]] = {}
    try:
        resolved: Resolved = resolve(recipe.mixes, mix.id, materials)
        for reading in readings(resolved, materials):
            said.setdefault(reading.part, []).append(reading)
        sheet = reckon_batch(resolved, Wanted(), ())
    except ReckoningError as problem:
        fault = "" if problem.code == "no-fill" else problem.message
    lines = {line.name: line for line in sheet.lines} if sheet else {}
    parts = [(part, amount_words(part), lines.get(part.name)) for part in mix.parts]
    allowance = as_said.get("allowance")
    rest = rows_of(allowance, ("percent",)) if isinstance(allowance, dict) else []
    rest += rows_of({key: as_said[key] for key in ("density",) if key in as_said})
    return MixShown(mix, parts, sheet, fault, said, changed.get(("mixes", mix.id)), rest)


@dataclass(frozen=True, slots=True)
class StepShown:
    """A step as its page shows it: the step, its waiting, coats and uses in words, and since when it is so."""

    step: Step
    waits: str
    coats: str
    uses: Sequence[tuple[Use, str]]
    since: int | None
    rest: Rows


def _step(recipe: Recipe, step: Step, said: Mapping[str, Any], changed: Mapping[Path, int]) -> StepShown:
    mixes: dict[str, Mix] = {mix.id: mix for mix in recipe.mixes}
    return StepShown(
        step,
        waiting_words(step, mixes),
        coats_words(step.coats),
        [(use, use_words(use)) for use in step.uses],
        changed.get(("steps", step.id)),
        rows_of({key: said[key] for key in ("pictures",) if key in said}),
    )


def _runs(view: View, address: str, number: int) -> list[Run]:
    found = [
        document.model
        for document in view.documents["run"].values()
        if isinstance(document.model, Run)
        and document.model.recipe is not None
        and document.model.recipe.address == address
        and document.model.recipe.version == number
    ]
    return sorted(found, key=lambda run: (run.started, run.id))
