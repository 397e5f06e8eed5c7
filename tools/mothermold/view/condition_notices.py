"""The room, the mold and the materials of a finished run against the recipe version it did.

Nothing of it can be mended any more, so it is advice: the next reader of the run sees what may have caused its trouble. Where the
run says under ``changed`` at that step what was done about it, nothing is told. What a rule of the cold forbids is as loud as
the rule. A test is not asked: it may have been about the cold.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator

from mothermold.book.document import Document
from mothermold.ground.notices import Notice
from mothermold.model.recipe import Recipe
from mothermold.model.run import Run
from mothermold.trade.rooms import (
    Limits,
    Noted,
    cold_words,
    outlasted_words,
    step_words,
    too_soon_words,
)
from mothermold.view.ruling import Ruling, is_sound


def find_condition_faults(document: Document, ruling: Ruling, faulty: Collection[str | None]) -> Iterator[Notice]:
    """What a finished run noted of temperatures that its recipe's version says otherwise.

    Args:
        document: A run; of nothing else anything is said.
        ruling: Knows rules, materials and the texts of versions.
        faulty: Files with a slip in them: that comes first.
    """
    run = document.model
    if not isinstance(run, Run) or document.file in faulty or run.kind == "test" or run.recipe is None:
        return
    if run.conditions is None or (run.outcome is None and run.finished is None):
        return
    recipe = ruling.text(run.recipe)
    if recipe is not None and is_sound(ruling.documents, [ruling.today(run.recipe)], faulty):
        yield from _run(document, run, recipe, ruling.limits(recipe), ruling)


def _run(document: Document, run: Run, recipe: Recipe, limits: Limits, ruling: Ruling) -> Iterator[Notice]:
    conditions = run.conditions
    assert conditions is not None
    assert run.recipe is not None
    noted = Noted(
        *(each.value if each else None for each in (conditions.room, conditions.mold_temp, conditions.material_temp))
    )
    # Only what was mixed; a pot life that was logged wins over any rule of thumb.
    mixed = {str(batch.mix): batch.pot_life for batch in run.batch} or {
        str(each.mix.id): None for each in limits.closing
    }
    advice: list[tuple[str, str]] = []
    for limit in limits.steps:
        step, called = str(limit.step.id), f"step `{limit.step.id}`"
        advice += [(step, step_words(called, limit.asks, *each, "was")) for each in limit.broken_by(noted)]
    starts = {str(step.starts): str(step.id) for step in recipe.steps if step.starts}
    for closing in limits.closing:
        if mixed.get(closing.mix.id, closing) is None and (
            words := outlasted_words(f"`{closing.mix.id}`", closing, noted)
        ):
            advice.append((starts[closing.mix.id], words))
    waited = {str(took.step): took.waited for took in run.took if took.waited is not None}
    for each in recipe.steps:
        mix = next((mix for mix in recipe.mixes if each.wait and mix.id == each.wait.demold), None)
        if mix is not None and each.id in waited:
            soon = too_soon_words(f"`{mix.id}`", mix, waited[each.id], noted)
            advice += [(str(each.id), soon)] if soon else []
    explained = {str(change.step) for change in run.changed if change.step}
    for step, message in advice:
        if step not in explained:
            yield document.notice(
                "run-outside-room",
                message,
                f"Say in the run what was done about it, or seen: `changed: [{{step: {step}, note: ...}}]`; then it is not told again.",
                ("conditions",),
                severity="advice",
            )
    address, version = ruling.today(run.recipe).address, int(recipe.version)
    accepts = ruling.accepts(recipe)  # a reason given in the recipe holds for its runs
    for cold in limits.cold:
        if any(each.rule == cold.rule.id and each.covers(address, version, cold.step.id) for each in accepts):
            continue
        words = cold_words(f"step `{cold.step.id}`", f"`{cold.material}`", cold, noted, "was")
        if words:
            yield document.notice(cold.rule.id, words, cold.rule.instead, ("conditions",), severity=cold.rule.severity)
            return
