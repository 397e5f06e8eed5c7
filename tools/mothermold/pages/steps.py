"""The steps of a recipe as its page shows them: waiting, coats and uses in words, pictures, since when."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Any

from mothermold.model.recipe import Recipe, Step, Use
from mothermold.pages.addresses import picture_page
from mothermold.pages.margin import SinceRow
from mothermold.pages.wording import SHOWN, Rows, coats_words, rows_of, use_words, waiting_words
from mothermold.reckon.work import work_of
from mothermold.trade.cautions import Caution
from mothermold.view.view import View


@dataclass(frozen=True, slots=True)
class StepShown:
    """A step as its page shows it.

    Attributes:
        step: The step.
        waits: Its waiting in words.
        coats: Its coats in words.
        uses: Each use, in words, and what has no place in them.
        since: The note in the margin.
        cautions: What can hurt.
        rest: What has no place of its own.
    """

    step: Step
    waits: str
    coats: str
    uses: Sequence[tuple[Use, str, Rows]]
    since: SinceRow | None
    cautions: Sequence[Caution]
    rest: Rows


def steps_shown(
    view: View, recipe: Recipe, as_said: Sequence[Mapping[str, Any]], sinces: Sequence[SinceRow | None]
) -> list[StepShown]:
    """All steps of a recipe in order, each with its note in the margin."""
    cautions = view.ruling.cautions(recipe)
    return [
        StepShown(
            step,
            waiting_words(each),
            coats_words(step.coats),
            [
                (use, use_words(use), rows_of(words, SHOWN[Use]))
                for use, words in zip(step.uses, said.get("uses") or (), strict=True)
            ],
            since,
            cautions.get(step.id, ()),
            rows_of(said, SHOWN[Step]),
        )
        for each, said, since in zip(work_of(recipe).steps, as_said, sinces, strict=True)
        for step in (each.step,)
    ]


def drawings(view: View) -> dict[str, str]:
    """Every drawing the pages of an edition name, by its address in the site; some may not be there."""
    shown = (view.made.of(f"recipe/{address}: drawings", partial(_drawn, view, address)) for address in view.recipes)
    return {picture_page(file): file for files in shown for file in files}


def _drawn(view: View, address: str) -> list[str]:
    versions = view.versions(address)
    recipes = [row.recipe for row in versions.rows if row.recipe is not None] if versions is not None else []
    steps = [step for recipe in recipes for step in recipe.steps]
    return list(dict.fromkeys(str(picture.file) for step in steps for picture in step.pictures))
