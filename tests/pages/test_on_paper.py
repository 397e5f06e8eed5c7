"""A recipe on paper: as few sheets as it goes, each says which it is and where the one in use is; read back from the PDF."""

from __future__ import annotations

import io
from pathlib import Path
from typing import Final

import pytest
from PIL import Image
from playwright.sync_api import Browser, Page

from campaigns.seeds import short
from mothermold.view.view import View
from pages.paper import run_together, sheets

FACE: Final = "cast/face-piece"
FORMATS: Final = ("A4", "Letter")


@pytest.fixture(scope="module")
def paper(chromium: Browser, sample_site: Path) -> Page:
    """A page that is printed."""
    return chromium.new_page()


def opened(paper: Page, site: Path, address: str) -> Page:
    paper.goto(f"{site.as_uri()}/recipes/{address}.html")
    paper.evaluate("document.fonts.ready")
    return paper


@pytest.mark.parametrize("size", FORMATS)
def test_a_recipe_of_seven_steps_is_two_sheets_with_every_step_and_weight(
    size: str, paper: Page, sample_site: Path, view: View
) -> None:
    versions = view.versions(FACE)
    assert versions is not None
    assert versions.current is not None
    recipe = versions.current.recipe
    assert recipe is not None
    assert len(recipe.steps) == 7
    page = opened(paper, sample_site, FACE)
    printed = sheets(page.pdf(format=size))
    assert len(printed) == 2
    every = "".join(printed)
    for step in recipe.steps:
        assert run_together(str(step.title)) in every
        assert not step.check or run_together(str(step.check).rstrip(".")) in every
    for weight in page.locator(".mix .weigh").all_text_contents():
        assert run_together(weight) in every
    # No table is torn: all of it stands on one sheet.
    tables = [run_together(each) for each in page.locator(".mix table.sizes").all_text_contents()]
    assert len(tables) == 3
    for table in tables:
        assert any(table in each for each in printed)
    # Neither sheet is half empty.
    assert min(map(len, printed)) > 0.7 * max(map(len, printed))


@pytest.mark.parametrize("address", short([FACE, "mold/face-mold", "lifecast/head", "removal/full-face"], 1))
@pytest.mark.parametrize("size", FORMATS)
def test_every_sheet_says_title_version_which_of_how_many_and_where_the_current_one_is(
    size: str, address: str, paper: Page, sample_site: Path, view: View
) -> None:
    versions = view.versions(address)
    assert versions is not None
    assert versions.current is not None
    assert versions.current.recipe is not None
    printed = sheets(opened(paper, sample_site, address).pdf(format=size))
    title = run_together(str(versions.current.recipe.title))
    for number, sheet in enumerate(printed, 1):
        assert f"{title},version{versions.current.number}" in sheet
        assert f"page{number}of{len(printed)}" in sheet
        assert run_together(f"The one in use: {view.settings.title}, recipes/{address}.html") in sheet
    # None but the last may be half empty.
    assert all(len(sheet) > 0.5 * max(map(len, printed)) for sheet in printed[:-1])


def test_an_older_version_says_on_paper_that_it_is_one(paper: Page, sample_site: Path) -> None:
    paper.goto(f"{sample_site.as_uri()}/versions/{FACE}@2.html")
    for sheet in sheets(paper.pdf(format="A4")):
        assert ",version2" in sheet
    assert "Thisisanolderversion." in sheets(paper.pdf(format="A4"))[0]


def test_without_scripts_the_sheets_are_numbered_and_whole(chromium: Browser, sample_site: Path) -> None:
    with chromium.new_context(java_script_enabled=False) as context:
        page = context.new_page()
        page.goto(f"{sample_site.as_uri()}/recipes/{FACE}.html")
        printed = sheets(page.pdf(format="A4"))
        assert [f"page{number}of2" in sheet for number, sheet in enumerate(printed, 1)] == [True, True]
        assert "Wash,restontheform" in "".join(printed)


def test_drawings_print_in_gray_with_dark_lines_on_white(paper: Page, sample_site: Path) -> None:
    page = opened(paper, sample_site, FACE)
    page.emulate_media(media="print")
    drawings = page.locator(".steps figure img")
    assert drawings.count() > 3
    for drawing in drawings.all():
        drawing.scroll_into_view_if_needed()
        pixels = Image.open(io.BytesIO(drawing.screenshot())).convert("RGB")
        raw = pixels.tobytes()
        told = list(zip(raw[::3], raw[1::3], raw[2::3], strict=True))
        assert max(max(each) - min(each) for each in told) <= 3
        shades = sorted(each[0] for each in told)
        assert shades[len(shades) // 200] < 90
        assert shades[-1] > 240
    page.emulate_media(media="null")
