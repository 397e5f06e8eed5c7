"""Where one is: the way of a build stands on whatever lies on it, the menu says which list it is of, the bench is at hand."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import pytest

from browser import Watched, breaches, too_wide
from mothermold.pages.addresses import menu_of
from mothermold.pages.all_pages import page_at
from mothermold.pages.page import Page
from mothermold.publish.frames import BODY, TITLE, split_frame
from mothermold.view.editions import Edition
from mothermold.view.view import View, open_view

STRIP = re.compile(r'<nav class="strip" aria-label="[^"]+">(.*?)</nav>', re.S)


def strips(view: View, address: str) -> list[str]:
    """The strips of a page as one reads them, where one is in brackets."""
    page = page_at(view, address)
    assert page is not None
    found = []
    for strip in STRIP.findall(page.body):
        marked = re.sub(r'<li class="here"[^>]*>(.*?)</li>', r"[\1] > ", strip).replace("</li>", " > ")
        found.append(" ".join(re.sub(r"<[^>]+>", "", marked).split()))
    return found


def test_a_recipe_says_where_it_stands_in_each_build_that_uses_it(view: View) -> None:
    reed, saltpan = strips(view, "recipes/cast/face-piece.html")
    assert saltpan.startswith("The Saltpan Keeper lifecast > core > sculpt > mold > [cast] > face washed > face painted > face haired > application > wear > removal")  # fmt: skip
    assert saltpan.endswith("← mold face washed →")
    assert reed.startswith("The Reed Cutter lifecast > ")
    page = page_at(view, "recipes/cast/face-piece.html")
    assert page is not None
    (_first, strip) = STRIP.findall(page.body)
    # What comes before and after, and every other stop, is one plain link away.
    assert 'href="../../versions/mold/face-mold@2.html"' in strip
    assert 'href="../../versions/finish/seams-and-wash@3.html"' in strip
    assert strip.count("<a ") == 1 + 10 + 2


def test_what_is_put_on_comes_after_all_its_pieces_and_the_removal_is_the_end(view: View) -> None:
    (strip,) = strips(view, "recipes/application/nose.html")
    assert strip.index("> nose >") < strip.index("[application 2]") < strip.index("> removal 1 >")
    assert strips(view, "recipes/removal/full-face.html")[1].partition(" ←")[0].endswith("wear > [removal] >")


def test_a_version_no_build_uses_stands_on_no_way(view: View) -> None:
    assert strips(view, "versions/cast/face-piece@1.html") == []
    assert len(strips(view, "versions/cast/face-piece@4.html")) == 2


def test_a_run_and_a_mold_stand_where_their_build_has_them_and_lead_to_it(view: View) -> None:
    (run,) = strips(view, "runs/r-2026-06-02-face-6.html")
    assert "mold > [cast] > face washed" in run
    (mold,) = strips(view, "molds/face-mold-2.html")
    assert "> [mold] > cast >" in mold
    for address in ("runs/r-2026-04-08-softness-test.html", "molds/face-mold-2.html"):
        page = page_at(view, address)
        assert page is not None
        assert '<dt>Build</dt><dd><a href="../builds/saltpan-keeper.html">The Saltpan Keeper</a></dd>' in page.body
    page = page_at(view, "molds/face-mold-2.html")
    assert page is not None
    assert '<a href="../bench/cast/face-piece@4.html">at the bench</a>' in page.body


def test_things_made_of_each_other_in_a_circle_and_of_nothing_known_still_stand_on_one_way(good_book: Path) -> None:
    (good_book / "recipes/builds/old-baker/build.yaml").write_text(
        "title: The Old Baker\nthings:\n  - {id: one, recipe: cast/cheek@2, from: [two, nobody]}\n"
        "  - {id: two, recipe: mold/cheek-mold@1, from: [one]}\n  - {id: apart, recipe: cast/gone@1}\n"
    )
    view = open_view(good_book, "private")
    assert strips(view, "recipes/cast/cheek.html") == ["The Old Baker mold > [cast] > ← mold mold →"]
    assert strips(view, "recipes/mold/cheek-mold.html") == ["The Old Baker [mold] > cast > ← cast cast →"]


def test_no_way_is_told_where_there_is_none(view: View) -> None:
    for address in ("materials/isopropanol-99.html", "failures/wrinkled-edge.html"):
        page = page_at(view, address)
        assert page is None or STRIP.findall(page.body) == []


@pytest.mark.parametrize("edition", ["public", "class"])
def test_an_edition_names_no_build_it_does_not_hold(
    sample_pages: Callable[[Edition], tuple[Page, ...]], sample_view: Callable[[Edition], View], edition: Edition
) -> None:
    held = set(sample_view(edition).on("build"))
    for page in sample_pages(edition):
        for strip in STRIP.findall(page.body):
            assert any(f"builds/{name}.html" in strip for name in held), page.address


def test_the_menu_marks_the_list_a_page_is_of() -> None:
    frame = split_frame(
        f'<title>{TITLE}</title><a href="../recipes.html">Recipes</a><a href="../molds.html">Molds</a><p>{BODY}</p>'
    )
    assert '<a href="../molds.html" aria-current="true">Molds</a>' in frame.hang(
        Page("molds/face-mold-1.html", "x", "y")
    )
    assert frame.hang(Page("molds/x.html", "x", "y")).count("aria-current") == 1
    here = split_frame(f'<title>{TITLE}</title><a href="./recipes.html">Recipes</a><p>{BODY}</p>')
    assert 'href="./recipes.html" aria-current="page"' in here.hang(Page("recipes.html", "x", "y"))
    assert [menu_of(each) for each in ("versions/cast/a@1.html", "compare/a/b.html", "guide/x.html", "find.html", "desk/recipe/a/b")] == [
        "recipes.html", "recipes.html", "guide.html", "find.html",  "desk/",
    ]  # fmt: skip


def test_the_bench_is_a_recipes_first_button_and_stays_in_sight_with_its_parts(forgetful: Watched) -> None:
    page = forgetful.page
    for width, height in ((320, 568), (390, 844), (1280, 900)):
        page.set_viewport_size({"width": width, "height": height})
        forgetful.open("recipes/cast/face-piece.html")
        bar = page.locator("main > .at-hand")
        assert bar.locator("a").all_inner_texts() == ["At the bench", "Mixes", "Steps", "Runs"]
        assert bar.locator("a").first.evaluate("(each) => each === document.querySelector('main .act')")
        page.locator("#versions").scroll_into_view_if_needed()
        box = bar.bounding_box()
        assert box is not None
        assert -1 <= box["y"] <= 1
        assert box["height"] < 60
        bar.get_by_role("link", name="Steps").click()
        heading = page.locator("#steps h2").bounding_box()
        assert heading is not None
        assert heading["y"] >= box["height"] - 8, "the bar lies over what it leads to"
        assert too_wide(page) == []
    assert forgetful.told() == []


def test_a_long_page_has_its_contents_in_reach(forgetful: Watched) -> None:
    page = forgetful.page
    page.set_viewport_size({"width": 320, "height": 568})
    forgetful.open("builds/saltpan-keeper.html")
    page.evaluate("window.scrollTo(0, 3000)")
    page.locator(".at-hand summary").click()
    names = page.locator(".at-hand li a").all_inner_texts()
    assert len(names) > 6
    assert set(names) <= set(page.locator("main > section > h2").all_inner_texts())
    page.locator(".at-hand li a").last.click()
    assert too_wide(page) == []
    page.set_viewport_size({"width": 320, "height": 9000})
    assert breaches(page) == []
    assert forgetful.told() == []
