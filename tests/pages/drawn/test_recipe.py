"""The life of a recipe on its page: what an edition holds of it, two taps that compare, and the same in words."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

from playwright.sync_api import Browser, expect

from browser import breaches, too_wide, watched
from history.repositories import FIRST, SECOND, THIRD, start_repository
from mothermold.pages.drawn.recipe import DrawnRecipe, drawn_recipe
from mothermold.pages.recipes import recipe_page, version_page
from mothermold.view.view import View, open_view
from view.evidence_books import SETTINGS, note, recipe, run

FACE = "recipes/cast/face-piece.html"


def drawn(view: View, address: str) -> DrawnRecipe:
    versions = view.versions(address)
    assert versions is not None
    found = drawn_recipe(view, versions)
    assert found is not None
    return found


def test_versions_stand_on_the_line_with_their_runs_below(view: View) -> None:
    found = drawn(view, "cast/face-piece").life
    assert [(each.version.number, each.version.state) for each in found.knots] == [
        (1, "locked"), (2, "locked"), (3, "locked"), (4, "in use"),
    ]  # fmt: skip
    xs = {each.x: each.version.number for each in found.knots}
    below = {number: [mark.mark.shape for mark in found.marks if abs(mark.x - x) < 40] for x, number in xs.items()}
    assert below[2] == ["scrapped"]
    assert below[3] == ["test", "usable"]


def test_a_failure_is_tied_to_its_answer_in_this_recipe_or_said_to_be_answered_elsewhere(view: View) -> None:
    told = {each.name: each for each in drawn(view, "cast/face-piece").failures}
    answered = {each.title: each.answered for each in told.values()}
    assert next(each for title, each in answered.items() if title.startswith("Soft, tacky casting")) == (3,)
    assert told["cracked-mold"].answered == ()
    assert any(each.startswith("face mold v") for each in told["cracked-mold"].elsewhere)
    # A mold recipe knows what happened to what was cast in its molds.
    molds = {each.name: each for each in drawn(view, "mold/face-mold").failures}
    assert molds["cracked-mold"].happened
    assert molds["cracked-mold"].answered


def lay_out(folder: Path) -> Path:
    book = start_repository(folder)
    book.save(FIRST, SETTINGS | recipe("cast/face", 1, visibility="public"))
    book.save(SECOND, recipe("cast/face", 2, visibility="public"))
    book.save(
        THIRD,
        recipe("cast/face", 3, visibility="public", fixes=["zqhidden"])
        | note("zqhidden", noticed=["cast/face#open"], fixed_in=["cast/face@3"])
        | run("r-2026-03-01-zqhidden", "cast/face@2", went=["zqhidden"]),
    )
    return book.folder


def test_what_an_edition_does_not_hold_is_neither_drawn_nor_counted(tmp_path: Path) -> None:
    folder = lay_out(tmp_path / "book")
    private, public = open_view(folder, "private"), open_view(folder, "public")
    assert [(each.name, each.happened, each.answered) for each in drawn(private, "cast/face").failures] == [
        ("zqhidden", {2: 1}, (3,))
    ]
    assert drawn(public, "cast/face").failures == []
    assert drawn(public, "cast/face").life.marks == ()
    assert len(drawn(private, "cast/face").life.marks) == 1
    body = recipe_page(public, "cast/face").body
    assert 'class="life"' in body
    assert "zqhidden" not in body
    assert recipe_page(private, "cast/face").body.count("zqhidden") > 2


def test_the_same_stands_in_words_in_the_list_of_versions(tmp_path: Path) -> None:
    page = recipe_page(open_view(lay_out(tmp_path / "book"), "private"), "cast/face")
    listed = page.body[page.body.index('class="timeline"') :]
    items = [" ".join(re.sub(r"<[^>]+>", " ", each).split()) for each in listed.split("<li")[1:4]]
    assert "what changed since version 2" in items[0]
    assert "answers Air at the cheek" in items[0]
    assert "went wrong: Air at the cheek" in items[1]
    assert "went wrong:" not in items[2]
    assert 'href="../../compare/cast/face.html#v2-v3"' in listed


def test_a_recipe_nobody_did_in_its_only_version_has_no_life_yet(tmp_path: Path) -> None:
    book = start_repository(tmp_path / "book")
    book.save(FIRST, SETTINGS | recipe("cast/face", 1))
    view = open_view(book.folder, "private")
    assert 'class="life' not in recipe_page(view, "cast/face").body
    page = version_page(view, "cast/face", 1)
    assert page is not None
    assert 'class="life' not in page.body


def test_two_taps_compare_and_the_same_twice_opens_a_version(
    chromium: Browser, built_sample: Callable[[Any], Path]
) -> None:
    with watched(chromium, f"{built_sample('private').as_uri()}/", viewport={"width": 390, "height": 844}) as seen:
        page = seen.page
        assert seen.open(FACE) == []
        said = page.locator(".life [role='status']")
        expect(said).to_have_text("Tap two versions to compare them.")
        page.locator(".knot[data-version='3']").click()
        expect(said).to_contain_text("Version 3 is chosen.")
        page.locator(".knot[data-version='1']").click()
        page.wait_for_url("**/compare/cast/face-piece.html#v1-v3")
        assert page.locator(".pair:visible").get_attribute("id") == "v1-v3"
        seen.open(FACE)
        page.locator(".knot[data-version='2']").focus()
        page.keyboard.press("Enter")
        page.keyboard.press("Enter")
        page.wait_for_url("**/versions/cast/face-piece@2.html")
        assert seen.told() == []


def test_without_scripts_a_version_leads_to_its_page_and_neighbors_are_compared(
    chromium: Browser, built_sample: Callable[[Any], Path]
) -> None:
    with chromium.new_context(java_script_enabled=False, viewport={"width": 390, "height": 844}) as context:
        page = context.new_page()
        page.goto(f"{built_sample('private').as_uri()}/{FACE}")
        expect(page.locator(".life [role='status']")).to_have_text("")
        page.locator(".timeline a", has_text="what changed since version 3").click()
        page.wait_for_url("**/compare/cast/face-piece.html#v3-v4")
        page.go_back()
        page.locator(".knot[data-version='2']").click()
        page.wait_for_url("**/versions/cast/face-piece@2.html")


def test_the_life_breaks_no_rule_and_fits(chromium: Browser, built_sample: Callable[[Any], Path]) -> None:
    for across in (320, 1280):
        with watched(
            chromium, f"{built_sample('private').as_uri()}/", bypass_csp=True, viewport={"width": across, "height": 900}
        ) as seen:
            assert seen.open(FACE) == []
            assert breaches(seen.page) == []
            assert too_wide(seen.page) == []
