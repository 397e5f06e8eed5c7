"""One lot has one last day, wherever it is shown: on the material's page and at the bench."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

from mothermold.model.material import Material
from mothermold.model.recipe import Recipe
from mothermold.pages.batching import mix_data
from mothermold.pages.documents import document_page
from mothermold.reckon.mixes import resolve
from mothermold.view.view import View, open_view

GOOD = Path(__file__).parents[1] / "data" / "good"
KEEPS = """
keeps: {opened: 24 months}
lots:
  - {lot: 20E5, got: 2026-03-01, opened: 2026-03-03, use_by: 2028-06-30}
  - {lot: 20E6, got: 2026-03-01, opened: 2026-03-03, use_by: 2027-06-30}
"""


def page_words(view: View) -> str:
    body = document_page(view, "material", "deadener-fluid").body
    return " ".join(re.sub(r"<[^>]+>", " ", body).split())


def test_the_page_of_a_material_and_the_bench_show_one_last_day(tmp_path: Path) -> None:
    book = Path(shutil.copytree(GOOD, tmp_path / "book"))
    path = book / "recipes/materials/deadener-fluid.yaml"
    path.write_text(re.sub(r"(?ms)^(keeps|lots):.*?(?=^\w|\Z)", "", path.read_text("utf-8")) + KEEPS, "utf-8")
    view = open_view(book, "private")
    said = page_words(view)
    assert "2028-03-03 24 months from opening; unopened it is 2028-06-30" in said
    assert "2027-06-30" in said
    assert "unopened it is 2027-06-30" not in said
    recipe = view.documents.on("recipe")["cast/cheek"].model
    assert isinstance(recipe, Recipe)
    materials = view.models(Material)
    mixes = [mix_data(resolve(recipe.mixes, mix.id, materials), materials, {}) for mix in recipe.mixes]
    assert "2028-03-03" in str(mixes)
