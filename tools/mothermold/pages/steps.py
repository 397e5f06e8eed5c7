"""The steps of a recipe as its page shows them: waiting, coats and uses in words, pictures, since when."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from mothermold.compare.change import FieldPath
from mothermold.model.recipe import Recipe, Step, Use
from mothermold.pages.addresses import picture_page
from mothermold.pages.margin import Reasons, SinceRow, since_notes
from mothermold.pages.wording import coats_words, use_words, waiting_words
from mothermold.reckon.work import work_of
from mothermold.trade.cautions import Caution
from mothermold.view.view import View


@dataclass(frozen=True, slots=True)
class PictureShown:
    """A picture beside a step; ``shown`` is None where the book does not hold the drawing."""

    file: str
    caption: str | None
    as_: str | None
    shown: str | None
    width: int | None
    height: int | None


@dataclass(frozen=True, slots=True)
class StepShown:
    """A step as its page shows it: the step, its waiting, coats and uses in words, since when it is so, what can hurt."""

    step: Step
    waits: str
    coats: str
    uses: Sequence[tuple[Use, str]]
    pictures: Sequence[PictureShown]
    since: SinceRow | None
    cautions: Sequence[Caution]


def steps_shown(
    view: View, recipe: Recipe, number: int, changed: Mapping[FieldPath, int], reasons: Reasons
) -> list[StepShown]:
    """All steps of a recipe in order; a reason that stands at several is said at the first."""
    sinces = since_notes([changed.get(("steps", step.id)) for step in recipe.steps], number, reasons)
    cautions = view.ruling.cautions(recipe)
    return [
        StepShown(
            step,
            waiting_words(each),
            coats_words(step.coats),
            [(use, use_words(use)) for use in step.uses],
            _pictures(view, step),
            since,
            cautions.get(step.id, ()),
        )
        for each, since in zip(work_of(recipe).steps, sinces, strict=True)
        for step in (each.step,)
    ]


def _pictures(view: View, step: Step) -> list[PictureShown]:
    found = []
    for picture in step.pictures:
        drawing = view.drawing(str(picture.file))
        found.append(
            PictureShown(
                str(picture.file),
                picture.caption,
                picture.as_,
                picture_page(str(picture.file)) if drawing else None,
                drawing.width if drawing else None,
                drawing.height if drawing else None,
            )
        )
    return found


def drawings(view: View) -> dict[str, bytes]:
    """Every drawing the pages of an edition show, by its address in the site."""
    found: dict[str, bytes] = {}
    for address in view.recipes:
        versions = view.versions(address)
        for row in versions.rows if versions else ():
            for step in row.recipe.steps if row.recipe else ():
                for picture in step.pictures:
                    drawing = view.drawing(str(picture.file))
                    if drawing is not None:
                        found[picture_page(str(picture.file))] = drawing.data
    return found
