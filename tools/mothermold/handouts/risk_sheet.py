"""A risk sheet: what can hurt in which step of which recipe, what evaporates, and what is to be settled with the room before."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict
from typing import Final

from mothermold.answers.evaporating import Air
from mothermold.answers.vapor import BURNS, NO_CLEARANCE
from mothermold.answers.vapor_text import limit_words
from mothermold.handouts.pen import Pen
from mothermold.handouts.prose import Block
from mothermold.handouts.recipe_text import FIRST_OF_ALL, RecipeOnPaper
from mothermold.model.material import Material
from mothermold.pages.hurt import numbers
from mothermold.pages.saying import Loose, joined, marked, quiet
from mothermold.pages.wording import gear_words
from mothermold.quantities.wording import plain_number
from mothermold.trade.cautions import Caution, all_cautions
from mothermold.view.view import View

_ROOM: Final = ("Room", "Its length × width × height", "Air changes an hour, and who says so", "Exhaust, and where it ends", "Nearest eye wash", "Nearest extinguisher", "First aider", "Way out")  # fmt: skip
NO_CLEARANCE_HERE: Final = "This sheet lists what the book knows. What is not on it may hurt all the same; it takes the place of no assessment that your place asks for."


def risk_blocks(view: View, pen: Pen, texts: Sequence[RecipeOnPaper]) -> Iterator[Block]:
    """What stands below the title, for one recipe or all of a course."""
    several = len(texts) > 1
    if told := numbers(view.settings.emergency):
        yield pen.framed(pen.labels([(title, said) for _key, title, said in told]), "loud")
    yield pen.para(FIRST_OF_ALL, " ", NO_CLEARANCE_HERE)
    yield pen.heading("What can hurt, worst first")
    found = _places(texts)
    for caution in all_cautions():
        if caution.id in found:
            block = pen.caution(caution)
            places = joined(
                ((f"{title}: " if several else "", "; ".join(steps)) for title, steps in found[caution.id]), ". "
            )
            block["words"] += pen.line(marked("below", marked("strong", "At: "), places, "."))
            yield block
    if not found:
        yield pen.para("No caution is called for by what the book knows. That is no all-clear.")
    gear = [
        (text.recipe.title, step.title, gear_words(step.with_))
        for text in texts
        for step in text.recipe.steps
        if step.with_
    ]
    if gear:
        yield pen.heading("Equipment")
        yield from _by_recipe(pen, {"Recipe": "", "Step": "", "With": ""}, gear, several=several)
    yield from _vapor(view, pen, texts)
    yield pen.heading("The makers' safety sheets")
    hung = [block for text in texts for block in text.hung()]
    yield from _merged(hung) or [pen.para("None is named in the book: ask for them before you begin.", style="banner")]
    yield pen.heading("The room, to be settled before")
    yield from pen.blanks(_ROOM)
    yield pen.heading("Read by (a code, no name), on")
    yield from pen.blanks([str(number) for number in range(1, 9)])


def _by_recipe(pen: Pen, heads: Mapping[str, str], rows: Sequence[tuple[Loose, ...]], *, several: bool) -> list[Block]:
    """A table whose first column tells the recipe; of one alone it stands in the title already."""
    return pen.table(heads if several else dict(list(heads.items())[1:]), [row if several else row[1:] for row in rows])


def _places(texts: Sequence[RecipeOnPaper]) -> dict[str, list[tuple[str, list[str]]]]:
    """By caution the recipes that call for it, each with the titles of its steps; without a step, the whole of it."""
    found: dict[str, list[tuple[str, list[str]]]] = {}
    for text in texts:
        titles = {str(step.id): f"{number}. {step.title}" for number, step in enumerate(text.recipe.steps, start=1)}
        for caution in text.cautions():
            steps = [titles.get(name, "") for name, told in text.by_step.items() if _holds(caution, told)]
            found.setdefault(caution.id, []).append(
                (text.recipe.title, [each for each in steps if each] or ["the whole recipe"])
            )
    return found


def _holds(caution: Caution, told: Sequence[Caution]) -> bool:
    return any(each.id == caution.id for each in told)


def _vapor(view: View, pen: Pen, texts: Sequence[RecipeOnPaper]) -> Iterator[Block]:
    """What evaporates and the limits for it; how much air that takes only the room decides."""
    yield pen.heading("What evaporates")
    rows: list[tuple[Loose, ...]] = []
    unknown: list[tuple[str, str]] = []
    for text in texts:
        air = Air(text.document, text.recipe, view.models(Material), None)
        titles = {str(step.id): step.title for step in text.recipe.steps}
        for each in air.found:
            limits = each.substance.limits if each.substance else ()
            told = "; ".join(f"{limit.issuer} {limit.kind} {limit_words(asdict(limit))}" for limit in limits)
            grams = f"{plain_number(each.grams, 3)} g"
            rows.append(
                (text.recipe.title, titles.get(each.step, each.step), each.name, grams, told or "no limit known here")
            )
        unknown += [(text.titles.get(each.material, each.material), each.why) for each in air.not_known]
    heads = {"Recipe": "", "Step": "", "Substance": "auto", "How much": "number", "Limits": "wide"}
    yield from _by_recipe(pen, heads, rows, several=len(texts) > 1)
    yield from pen.points((marked("strong", f"Not known, {name}: "), why) for name, why in dict.fromkeys(unknown))
    if not (rows or unknown):
        yield pen.para("Nothing the book knows of evaporates. That is no all-clear.")
    pins = joined((f"mothermold vapor {text.pin} --room '42 m3' --changes 3" for text in texts[:1]), "")
    yield pen.para(quiet("For a room, with its own figures: ", marked("code", pins), ". ", BURNS, " ", NO_CLEARANCE))


def _merged(blocks: Sequence[Block]) -> list[Block]:
    """Labels of several recipes as one list, each line once."""
    rows = [row for block in blocks for row in block["rows"]]
    once = list({str(row): row for row in rows}.values())
    return [{"is": "labels", "rows": once}] if once else []
