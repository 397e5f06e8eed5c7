"""The pages of a recipe: the one in use, and each version at its permanent address."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from mothermold.answers.result import title_words
from mothermold.book.document import Document
from mothermold.compare.since import Path, since
from mothermold.history.versions import Version, Versions, as_text
from mothermold.model.recipe import Mix, MixPart, Recipe, Step, Use
from mothermold.model.run import Run
from mothermold.quantities.wording import minutes_in_words
from mothermold.reckon.batches import Sheet, Wanted, reckon_batch
from mothermold.reckon.errors import ReckoningError
from mothermold.reckon.mixes import Resolved, resolve
from mothermold.reckon.readings import Reading, readings
from mothermold.reckon.times import elapsed_minutes, hands_on_minutes, step_minutes
from mothermold.site.addresses import page_of, version_page
from mothermold.site.pages import Page, render
from mothermold.view.view import View


def recipe_pages(view: View, address: str) -> Iterator[Page]:
    """The recipe's own page and one for each version."""
    versions = view.versions(address)
    if versions is None or not versions.rows:
        yield _unreadable(view, view.documents["recipe"][address], page_of("recipe", address))
        return
    shown = versions.current or versions.rows[-1]
    head = view.documents["recipe"].get(address)
    yield _page(view, versions, shown, page_of("recipe", address), head, main=True)
    for row in versions.rows:
        yield _page(view, versions, row, version_page(address, row.number), None, main=False)


def _unreadable(view: View, document: Document, page: str) -> Page:
    notices = view.touching({document.file})
    return render(view, "unreadable.html", page, document.address, document=document, notices=notices)


def _page(view: View, versions: Versions, row: Version, page: str, head: Document | None, *, main: bool) -> Page:
    notices = [notice for notice in view.notices if head is not None and notice.file == head.file]
    recipe = row.recipe
    title = recipe.title if recipe is not None else versions.address
    common = {
        "versions": versions,
        "row": row,
        "main": main,
        "notices": notices,
        "date": lambda each: _day(view, each),
        "broken_head": head is not None and head.model is None,
    }
    if recipe is None:
        return render(view, "recipe_as_text.html", page, title, **common)
    materials = view.materials()
    changed = since(
        [
            (each.number, text)
            for each in versions.rows
            if each.number <= row.number and (text := as_text(each.document))
        ]
    )
    return render(
        view,
        "recipe.html",
        page,
        title,
        recipe=recipe,
        **common,
        glance=_glance(recipe),
        mixes=[_mix(recipe, mix, materials, changed) for mix in recipe.mixes],
        steps=[_step(recipe, step, changed) for step in recipe.steps],
        titles=title_words(view),
        reasons={each.number: each.why for each in versions.rows},
        runs=_runs(view, versions.address, row.number),
        mix_titles={mix.id: mix.title or mix.id for mix in recipe.mixes},
        step_titles={step.id: step.title for step in recipe.steps},
    )


def _day(view: View, row: Version) -> str:
    return row.moment.astimezone(view.settings.zone).date().isoformat() if row.moment else "not saved yet"


def _glance(recipe: Recipe) -> list[tuple[str, str]]:
    rows = [
        ("Stage", recipe.stage),
        ("Hands-on", minutes_in_words(hands_on_minutes(recipe))),
        ("From start to finish", minutes_in_words(elapsed_minutes(recipe))),
    ]
    if isinstance(recipe.yields, int):
        rows.append(("Gives", f"{recipe.yields} a run"))
    elif recipe.yields:
        rows.append(("Gives", ", ".join(f"{count} {kind}" for kind, count in recipe.yields)))
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


def _mix(recipe: Recipe, mix: Mix, materials: Mapping[str, Any], changed: Mapping[Path, int]) -> MixShown:
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
    return MixShown(mix, parts, sheet, fault, said, changed.get(("mixes", mix.id)))


def amount_words(part: MixPart) -> str:
    """How much of a part, as written."""
    by = f" by {part.by}" if part.by else ""
    if part.parts is not None:
        return f"{part.parts} parts{by}"
    if part.percent is not None:
        of = {"the-rest": "the rest", "total": "the total"}.get(part.of[0]) if len(part.of) == 1 else None
        percent = str(part.percent)
        return f"{percent if '%' in percent else percent + ' %'} of {of or ' + '.join(part.of)}{by}"
    if part.amount is not None:
        return str(part.amount)
    return f"to match {part.match}" if part.match else ""


@dataclass(frozen=True, slots=True)
class StepShown:
    """A step as its page shows it: the step, its waiting in words, and since when it is so."""

    step: Step
    waits: str
    coats: str
    uses: Sequence[tuple[Use, str]]
    since: int | None


def _step(recipe: Recipe, step: Step, changed: Mapping[Path, int]) -> StepShown:
    mixes: dict[str, Mix] = {mix.id: mix for mix in recipe.mixes}
    hands = step.hands_on.value if step.hands_on else 0
    waits = step_minutes(step, mixes) - hands
    words = minutes_in_words(waits) if waits else ""
    if step.until is not None:
        words = f"until {step.until.what}" + (f", usually {step.until.usual}" if step.until.usual else "")
    coats = ""
    if step.coats is not None:
        coats = f"{step.coats.count} coats"
        coats += f", {step.coats.between} between" if step.coats.between else ""
        coats += f", {step.coats.last} after the last" if step.coats.last else ""
    uses = [(use, _use_words(use)) for use in step.uses]
    return StepShown(step, words, coats, uses, changed.get(("steps", step.id)))


def _use_words(use: Use) -> str:
    words = [f"as {use.as_}"]
    if use.on:
        words.append("on " + ", ".join(use.on))
    if use.how:
        words.append(f"by {use.how}")
    if use.amount is not None:
        words.append(str(use.amount))
    if use.share is not None:
        words.append(f"{use.share} of it")
    return ", ".join(words)


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
