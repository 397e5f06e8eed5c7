"""A bench card: one recipe on one side in large letters, for wet hands and an arm's length."""

from __future__ import annotations

from collections.abc import Iterator

from mothermold.handouts.mix_blocks import MixBlocks
from mothermold.handouts.prose import Block, Letters
from mothermold.handouts.recipe_text import RecipeOnPaper
from mothermold.handouts.sheaf import SheetLeaf
from mothermold.pages.hurt import numbers
from mothermold.pages.saying import Loose, joined, marked
from mothermold.pages.steps import StepShown

SIZES = (16.0, 14.5, 13.0, 12.0, 11.0, 10.0, 9.0, 8.0)
"""Letters in points, the largest that fits on one side; below the last nobody reads at arm's length."""


def card_leaf(text: RecipeOnPaper, batch: MixBlocks) -> SheetLeaf:
    """What can hurt, what is weighed, and the steps in their order; the words of each step are left to the other sheets."""
    pen, recipe = text.pen, text.recipe
    blocks = [*text.head()]
    if told := numbers(text.view.settings.emergency):
        blocks.append(
            pen.para(
                marked(
                    "strong",
                    joined((f"{title}: {said}" for key, title, said in told if key in ("call", "poison")), ". "),
                )
            )
        )
    cautions = text.cautions()
    if cautions:
        signs = list(dict.fromkeys(sign for each in cautions for sign in each.pictograms))
        said = joined((marked("strong", each.title) for each in cautions), ". ")
        blocks.append(
            pen.framed([{"is": "caution", "brief": True, "signs": signs, "words": pen.line(said, ".")}], "loud")
        )
    if recipe.off:
        blocks.append(pen.framed([pen.heading("Off a person, now"), *pen.points(recipe.off, "numbered")], "loud"))
    blocks += batch.card()
    blocks.append(pen.heading("Steps"))
    blocks += _steps(text)
    return text.leaf("Bench card", blocks)


def _steps(text: RecipeOnPaper) -> Iterator[Block]:
    rows: list[list[Loose | Letters]] = [
        [str(number), (marked("strong", each.step.title), _below(text, each))]
        for number, each in enumerate(text.shown, start=1)
    ]
    if not rows:
        yield text.pen.para("No step is written down yet.", style="banner")
    yield from text.pen.table({"": "auto", "Step": ""}, rows)


def _below(text: RecipeOnPaper, each: StepShown) -> Loose:
    """Times of a step, what makes it right, and what can never touch there."""
    step = each.step
    times = joined(
        (
            (step.hands_on, " hands-on") if step.hands_on else None,
            each.coats,
            f"wait {each.waits}" if each.waits else None,
            ("wait until ", step.until.what) if step.until else None,
            ("at ", step.temperature) if step.temperature else None,
            f"pot life of {text.titles.get(str(step.starts), step.starts)} starts" if step.starts else None,
        ),
        "; ",
    )
    check = ("Right when: ", step.check) if step.check else None
    said = joined(((times, ".") if times else None, check, *text.ruled.get(str(step.id), ())), " ")
    return marked("below", said) if said else None
