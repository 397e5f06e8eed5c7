"""A student's sheet holds all of its recipe: every step, amount and caution, in the order of the work, at the version asked for."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import pairwise
from typing import Any

import pytest

from campaigns.seeds import REST, divided
from handouts.reading import pdf_of, reader, squeezed, words_of
from mothermold.answers.batch import mix_batch
from mothermold.answers.wishes import BatchAsked
from mothermold.handouts.command import make_handout
from mothermold.handouts.prose import line_of
from mothermold.model.names import Name
from mothermold.model.recipe import Recipe
from mothermold.model.scalars import Prose
from mothermold.model.walk import walk
from mothermold.quantities import Quantity
from mothermold.quantities.wording import as_read, on_scale
from mothermold.trade.cautions import recipe_cautions
from mothermold.view.editions import Edition
from mothermold.view.view import View


def letters(span: Any) -> str:
    return span if isinstance(span, str) else "".join(map(letters, span[1]))


def plain(prose: str) -> str:
    """Prose without its marks and white space."""
    return squeezed("".join(map(letters, line_of(prose))))


def recipe_of(view: View, address: str) -> Recipe:
    versions = view.versions(address)
    assert versions is not None
    assert versions.current is not None
    assert versions.current.recipe is not None
    return versions.current.recipe


def told(view: View, recipe: Recipe) -> Iterator[str]:
    """All that a recipe says for the bench, as it is looked for on paper."""
    yield squeezed(recipe.title)
    for path, value in walk(recipe):
        if path[0] in ("why", "accepts") or path[-1] in ("file", "alt"):
            continue
        if isinstance(value, Quantity):
            yield squeezed(as_read(value))
        elif isinstance(value, Prose):
            yield plain(value)
        elif path[-1] in ("title", "caption", "zone") and isinstance(value, str) and not isinstance(value, Name):
            yield squeezed(value)
    for caution in recipe_cautions(recipe, view.ruling.cautions(recipe)):
        yield squeezed(f"{caution.title}. {' '.join(caution.words)}")


@pytest.mark.parametrize("rest", REST)
def test_every_step_amount_and_caution_of_a_recipe_stands_on_the_sheet(view: View, rest: bool) -> None:
    lacking: dict[str, list[str]] = {}
    for address in divided(sorted(view.recipes), 8, rest):
        sheet = words_of(pdf_of(view, address))
        lacking[address] = [each for each in told(view, recipe_of(view, address)) if each not in sheet]
    assert {address: lack for address, lack in lacking.items() if lack} == {}


def test_what_can_hurt_stands_before_the_weights_the_steps_and_the_lines_for_the_run(view: View) -> None:
    sheet = words_of(pdf_of(view, "cast/face-piece"))
    heads = ["Beforeyoubegin", "Athand", "Surfaces", "Mixes", "Steps", "Whathappenedthistime"]
    places = [sheet.index(head) for head in heads]
    assert places == sorted(places)


def test_the_steps_stand_in_the_order_of_the_recipe(view: View) -> None:
    sheet = words_of(pdf_of(view, "application/full-face"))
    steps = [
        squeezed(f"{number}  {step.title}")
        for number, step in enumerate(recipe_of(view, "application/full-face").steps, 1)
    ]
    places = [sheet.index(step) for step in steps]
    assert all(one < other for one, other in pairwise(places))


def test_the_lines_of_the_run_stand_in_the_order_of_its_form(view: View) -> None:
    sheet = words_of(pdf_of(view, "cast/face-piece"))
    form = sheet[sheet.index("Whathappenedthistime") :]
    places = [form.index(head) for head in ("Whatwasdone", "Whatwentwrong", "Whatwentin", "Whatcameout")]
    assert places == sorted(places)


def test_every_page_names_recipe_version_date_and_where_the_current_one_is(view: View) -> None:
    pages = [squeezed(page.extract_text()) for page in reader(pdf_of(view, "cast/face-piece@2")).pages]
    assert len(pages) > 1
    for number, page in enumerate(pages, start=1):
        assert "cast/face-piece,version2,locked2026-03-11" in page
        assert "Current:recipes/cast/face-piece.htmlinThesaltpanbook" in page
        assert f"page{number}of{len(pages)}" in page


def test_a_sheet_of_an_older_version_says_which_one_is_in_use_and_shows_its_own_text(view: View) -> None:
    old, new = words_of(pdf_of(view, "cast/face-piece@2")), words_of(pdf_of(view, "cast/face-piece"))
    assert "Thisisanolderversion.Version4istheoneinuse." in old
    assert "istheoneinuse" not in new
    assert old != new


def test_for_a_mold_the_weights_are_those_of_the_command(view: View) -> None:
    batch = BatchAsked(mold="face-mold-2")
    sheet = words_of(make_handout(view, "cast/face-piece", None, "a4", batch).printed.pdf)
    answer = mix_batch(view, "cast/face-piece", "base", batch).data
    assert "forFacemold2" in sheet
    (portion,) = answer["portions"]
    steps = {scale.id: scale.step.value for scale in view.settings.scales}
    for line in portion["parts"]:
        assert (
            f"{on_scale(line['weigh'], steps[line['scale']])}g{on_scale(line['scale_reads'], steps[line['scale']])}g"
            in sheet
        )


def test_without_a_mold_three_sizes_stand_there(view: View) -> None:
    sheet = words_of(pdf_of(view, "cast/face-piece"))
    assert "Half,105mlAswritten,210mlDouble,420mlWeighed" in sheet


@pytest.mark.parametrize("edition", ["class", "public"])
def test_another_edition_says_so_and_the_public_one_shows_no_number_to_call(
    sample_view: Callable[[Edition], View], edition: Edition
) -> None:
    page = squeezed(reader(pdf_of(sample_view(edition), "cast/face-piece")).pages[0].extract_text())
    assert f"{edition}edition" in page
    assert "notforhandingout" not in page
    assert ("Emergencynumber" in page) == (edition == "class")
