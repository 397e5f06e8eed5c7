"""What a page with calculators carries: only what its edition shows, compact, and nothing that ends its block."""

from __future__ import annotations

import json
import re
import shutil
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path

import pytest

from mothermold.model.mold import Mold
from mothermold.pages.all_pages import all_pages
from mothermold.pages.batching import as_block
from mothermold.pages.bench import bench_rows, bench_view
from mothermold.pages.calculators import calculator, mold_mixes, molds_for, page_block
from mothermold.pages.documents import document_page
from mothermold.pages.recipes import recipe_page
from mothermold.view.editions import EDITIONS, Edition
from mothermold.view.view import View, open_view
from reckon.bench import materials_of, resolved, scales_of

DENSE = "{a: {density: 1 g/ml}, b: {density: 1 g/ml}}"
HALVES = "parts: [{material: a, parts: 1}, {material: b, parts: 1}]"
BENCH = scales_of(("0.1 g", "5 kg"))


def test_a_block_of_data_cannot_be_ended_from_within_and_says_the_same() -> None:
    data = {"title": "</script><!-- & ]]>", "clay": "grün"}
    block = as_block(data)
    assert not set("<>&") & set(block)
    assert json.loads(block) == data


@pytest.mark.parametrize(
    ("keys", "words"),
    [
        ("fills: 100 ml", ["Half, 50 ml", "As written, 100 ml", "Double, 200 ml"]),
        ("covers: {area: 100 cm2, thick: 2 mm}", ["Half, 10 ml", "As written, 20 ml", "Double, 40 ml"]),
        ("batch: 1.2 kg", ["Half, 600 g", "As written, 1200 g", "Double, 2400 g"]),
        ("batch: 60 ml", ["Half, 30 ml", "As written, 60 ml", "Double, 120 ml"]),
        ("by: weight", []),
    ],
)
def test_three_sizes_are_half_own_and_double(keys: str, words: list[str]) -> None:
    found = calculator(resolved(f"m: {{{HALVES}, {keys}}}", "m", DENSE), materials_of(DENSE), {}, BENCH)
    assert found is not None
    assert [word for word, _ in found.sizes] == words
    if words:
        half, own, double = (sheet.mass or Fraction(0) for _, sheet in found.sizes)
        assert half * 2 == own == double / 2 > 0


def test_fixed_amounts_and_unknown_weights_have_no_calculator() -> None:
    fixed = resolved("m: {parts: [{material: a, amount: 5 g}]}", "m", DENSE)
    unknown = resolved(f"m: {{by: volume, {HALVES}, batch: 60 ml}}", "m", "{a: {density: 1 g/ml}, b: {}}")
    assert calculator(fixed, {}, {}, BENCH) is None
    assert calculator(unknown, {}, {}, BENCH) is None


def test_molds_are_those_a_recipe_is_cast_in_or_that_were_made_for_it(view: View) -> None:
    faces = [title for title, _ in molds_for(view, "cast/face-piece")]
    assert "Face mold 2" in faces
    assert not [title for title, _ in molds_for(view, "lifecast/head") if "Face" in title]
    for title, volume in molds_for(view, "cast/nose-piece"):
        assert "Nose" in title
        assert volume.value > 0


def test_a_broken_mold_is_offered_nowhere_and_each_page_says_why(view: View) -> None:
    why = "Face mold 1 is broken. Written about it on 2026-03-05"
    assert "Face mold 1" not in [title for title, _ in molds_for(view, "cast/face-piece")]
    assert why in recipe_page(view, "cast/face-piece").body
    versions = view.versions("cast/face-piece")
    assert versions is not None
    for row in bench_rows(view, versions):
        bench = bench_view(view, versions.address, row)
        assert '<option value="face-mold-1"' not in bench.body
        assert why in bench.body
    mold = document_page(view, "mold", "face-mold-1").body
    assert "Nothing is mixed for it: This mold is broken." in mold
    assert "data-mix=" not in mold
    assert "data-mix=" in document_page(view, "mold", "face-mold-2").body


def test_a_mold_without_a_cavity_takes_its_last_casting_and_without_either_has_nothing(view: View) -> None:
    mold = view.documents.on("mold")["face-mold-2"].model
    assert isinstance(mold, Mold)
    runs = view.evidence.lineage.in_mold("face-mold-2")
    bare = mold.model_copy(update={"cavity": None})
    assert mold_mixes(view, "nobodys-mold", bare, runs) == []
    (found,) = mold_mixes(view, "face-mold-2", bare, runs)
    assert (found.address, found.recipe.version) == ("cast/face-piece", 4)
    assert found.casting is not None
    grams = found.casting.weight.value
    assert grams > 200
    # As it was written down, so that a weight of 213.8 g is no fraction in the field.
    assert found.calculator.data["start"] == {"mode": "piece", "text": str(found.casting.weight)}
    # 15 g for the cups; the second casting needs no second cup.
    assert [sheet.mass for _, sheet in found.calculator.sizes] == [grams * count + 15 for count in (1, 2, 3)]


@pytest.mark.parametrize("edition", EDITIONS)
def test_a_block_names_only_what_its_edition_shows(edition: Edition, sample_view: Callable[[Edition], View]) -> None:
    view = sample_view(edition)
    for address in view.recipes:
        molds = {
            document.model.title for document in view.documents.on("mold").values() if isinstance(document.model, Mold)
        }
        assert {title for title, _ in molds_for(view, address)} <= molds


def test_a_part_is_told_once_where_there_is_no_premix() -> None:
    found = calculator(resolved(f"m: {{{HALVES}, fills: 9 ml}}", "m", DENSE), materials_of(DENSE), {}, BENCH)
    assert found is not None
    lean = json.loads(page_block(_Scaled(), [found], clays=False))["mixes"]["m"]  # type: ignore[arg-type]
    assert "materials" not in lean
    assert lean["parts"] == [
        {"name": "a", "title": "a", "share": "1/2", "volume_share": "1/2"},
        {"name": "b", "title": "b", "share": "1/2", "volume_share": "1/2"},
    ]


class _Scaled:
    """As much of a view as a block without clays needs."""

    class settings:  # noqa: N801 - stands for an attribute
        scales = BENCH


def test_a_scale_that_reads_nothing_hinders_no_page(tmp_path: Path) -> None:
    book = Path(shutil.copytree(Path(__file__).parents[1] / "data" / "good", tmp_path / "book")) / "recipes"
    for file, old, new in (
        ("book.yaml", r"scales:\n(  - .*\n)+", "scales:\n  - {id: floor, step: 5 g, up_to: 30 kg}\n"),
        ("cast/cheek.yaml", r"fills: \d+ ml\n +allowance: .*", "fills: 2 ml\n    allowance: 10 %"),
    ):
        text = (book / file).read_text(encoding="utf-8")
        changed = re.sub(old, new, text)
        assert changed != text
        (book / file).write_text(changed, encoding="utf-8")
    assert "recipes/cast/cheek.html" in {page.address for page in all_pages(open_view(book.parent, "private"))}
