"""What is not known is said on the page, where the answer would stand: vapor of a material, the pot life of a mix."""

from __future__ import annotations

import re
from html import unescape
from pathlib import Path

import pytest

from mothermold.pages.all_pages import all_pages
from mothermold.view.view import open_view

GOOD = Path(__file__).parents[1] / "data" / "good"


@pytest.fixture
def book(good_book: Path) -> Path:
    return good_book


def words(book: Path, address: str) -> str:
    body = next(page.body for page in all_pages(open_view(book, "private")) if page.address == address)
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", body)).split())


def write(book: Path, name: str, families: str) -> str:
    text = f"title: Stuff\nfamilies: [{families}]\n"
    (book / f"recipes/materials/{name}.yaml").write_text(text, encoding="utf-8")
    return words(book, f"materials/{name}.html")


def test_a_material_says_what_is_usual_for_its_family_and_that_its_maker_did_not_say_it(book: Path) -> None:
    said = write(book, "thinner", "naphtha")
    assert (
        "going by what is usual for naphtha and not by its maker's figure: light naphtha (CAS 8032-32-4), 95 to 100 % of it"
        in said
    )


def test_a_material_of_which_nothing_can_be_told_says_so(book: Path) -> None:
    assert "What evaporates from it is not known (sealer:" in write(book, "lacquer", "sealer")
    assert "vaporates" not in write(book, "tap", "water")


def test_the_makers_own_figure_stands_alone(book: Path) -> None:
    said = words(book, "materials/isopropanol-99.html")
    assert "Evaporates: isopropanol (CAS 67-63-0), 99 % of it." in said
    assert "usual for" not in said


def test_a_mix_that_sets_without_a_pot_life_says_so_where_it_would_stand(book: Path) -> None:
    cheek = book / "recipes/cast/cheek.yaml"
    untold = "No pot life is written"
    assert untold not in words(book, "recipes/cast/cheek.html")
    text = cheek.read_text(encoding="utf-8").replace("    pot_life: {time: 25 min, at: 23 degC, basis: label}\n", "")
    cheek.write_text(text, encoding="utf-8")
    said = words(book, "recipes/cast/cheek.html")
    # The film and the premix do not set by themselves.
    assert said.count(untold) == 1
    assert "Demold 4 h at 23 °C" in said.partition(untold)[2]
