"""Where the runs of a recipe say otherwise than it does, again and again, it is told; a few say nothing."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from pathlib import Path

import pytest

from answers.stocked import FAMILIES, RECIPE, lay_out, run
from mothermold.ground.notices import Notice
from mothermold.pages.recipes import recipe_page
from mothermold.view.editions import Edition
from mothermold.view.view import View, open_view
from view.looks import write

# With A and B alike and 20 of deadener, all of density 1, 200 ml are 200 g.
ONE_POUR = RECIPE.replace("      - {mix: poured, as: cast}\n", "")


def book(folder: Path, weights: Sequence[object], *, more: str = "", recipe: str = ONE_POUR) -> Path:
    root = lay_out(folder, recipe=recipe)
    for number, weight in enumerate(weights, 1):
        measured = f"measured: [{{step: open, what: piece with flashing, value: {weight} g}}]\n"
        run(root, f"r-{number}", f"2026-04-{number:02}", f"outcome: good\n{measured}{more}")
    return root


def said(root: Path) -> list[Notice]:
    return [each for each in open_view(root, "private").notices if each.code == "runs-say-otherwise"]


SIX = (222, 219, 225, 221, 223, 222)


def test_six_castings_that_all_took_more_are_told_at_the_line_that_says_less(tmp_path: Path) -> None:
    root = book(tmp_path, SIX)
    (notice,) = said(root)
    assert notice.message == (
        "Your last 6 castings weighed 222 g (219 g to 225 g) with flashing; by the recipe `gel` fills 200 g."
    )
    assert (notice.severity, notice.file) == ("advice", "recipes/cast/mask.yaml")
    text = (root / "recipes/cast/mask.yaml").read_text("utf-8").splitlines()
    assert notice.line is not None
    assert "fills: 200 ml" in text[notice.line - 1]
    assert "Open `r-6` at the desk" in (notice.help or "")


@pytest.mark.parametrize(
    "weights", [SIX[:5], (*SIX[:5], 190), (203,) * 12], ids=["five", "one of six took less", "less than a scale tells"]
)
def test_fewer_or_mixed_or_hardly_more_say_nothing(weights: Sequence[object], tmp_path: Path) -> None:
    assert said(book(tmp_path, weights)) == []


def test_a_scrapped_casting_a_test_and_a_draft_say_nothing(tmp_path: Path) -> None:
    root = book(tmp_path, SIX)
    for number in (1, 2):
        path = root / f"recipes/builds/mask/runs/r-{number}.yaml"
        path.write_text(path.read_text("utf-8").replace("outcome: good", "outcome: scrapped"), "utf-8")
    assert said(root) == []
    assert said(book(tmp_path / "draft", SIX, recipe=ONE_POUR.replace("status: locked", "status: draft"))) == []


def test_a_mold_that_says_itself_what_it_holds_is_told_of_in_its_own_file(tmp_path: Path) -> None:
    root = book(tmp_path, SIX, more="mold: form-1\n")
    write(
        root, "builds/mask/molds/form-1", "title: Form 1\nmade: 2026-03-01\ncavity: {volume: 222 ml}\nstate: in use\n"
    )
    assert said(root) == []
    write(
        root, "builds/mask/molds/form-1", "title: Form 1\nmade: 2026-03-01\ncavity: {volume: 200 ml}\nstate: in use\n"
    )
    (notice,) = said(root)
    assert notice.file == "recipes/builds/mask/molds/form-1.yaml"
    assert "by the record of `form-1` it fills 200 g" in notice.message


def test_steps_that_always_take_longer_are_told(tmp_path: Path) -> None:
    root = lay_out(tmp_path)
    for number in range(1, 8):
        run(
            root,
            f"r-{number}",
            f"2026-04-{number:02}",
            f"outcome: good\ntook: [{{step: open, hands_on: {19 + number} min}}]",
        )
    (notice,) = said(root)
    assert notice.message == (
        "Step `open` took 23 min (20 min to 26 min) of hands on in your last 7 runs; the recipe says 15 min."
    )


def page(view: View, address: str) -> str:
    return " ".join(re.sub(r"<[^>]+>", " ", recipe_page(view, address).body).split())


def test_the_page_of_the_recipe_shows_what_runs_found_and_how_many_more_it_takes(tmp_path: Path) -> None:
    took = "took: [{step: open, hands_on: 15 min}]\nconditions: {room: 21 degC}\n"
    told = page(open_view(book(tmp_path, SIX, more=took), "private"), "cast/mask")
    assert "Piece with flashing, gel 200 g 222 g (219 g to 225 g) 6 runs; 3 more for a band" in told
    assert "Open: hands on 15 min 15 min 6 runs; 3 more for a band" in told
    assert "If they are right, the newest of them leads to the next version." in told
    # Wilson's interval of 6 in 6, of the published formula: 61 %.
    assert "6 of 6 pieces of this version came out good or usable." in told
    assert "between 61 and 100 %" in told


def test_from_nine_runs_on_the_page_says_a_band(tmp_path: Path) -> None:
    told = page(open_view(book(tmp_path, [200 + each for each in range(9)]), "private"), "cast/mask")
    assert "204 g (200 g to 208 g) 9 runs; 8 of 10 fall in between" in told


def test_the_sample_book_learns_and_is_in_order(sample_view: Callable[[Edition], View]) -> None:
    view = sample_view("private")
    told = page(view, "cast/face-piece")
    assert "What the runs say of these numbers" in told
    assert "In the mold, by the room:" in told
    assert view.notices == ()


def test_what_private_runs_say_no_other_edition_hears(tmp_path: Path) -> None:
    root = book(tmp_path, SIX, recipe=f"visibility: public\n{ONE_POUR}")
    for name in FAMILIES:
        path = root / f"recipes/materials/{name}.yaml"
        path.write_text(f"visibility: public\n{path.read_text('utf-8')}", "utf-8")
    assert len(said(root)) == 1
    view = open_view(root, "class")
    assert [each.code for each in view.notices if each.code == "runs-say-otherwise"] == []
    told = page(view, "cast/mask")
    assert "A mask in gel" in told
    assert "222 g" not in told
    assert "What the runs say" not in told
