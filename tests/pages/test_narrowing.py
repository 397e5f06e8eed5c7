"""Long lists are narrowed by stage, year, outcome, state and build; without scripts all of them is shown."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Browser, expect

from browser import Watched, breaches, too_wide, watched
from campaigns.seeds import short
from mothermold.answers.troubles import troubles
from mothermold.model.run import Run
from mothermold.pages.all_pages import page_at
from mothermold.pages.page import Page
from mothermold.view.editions import Edition
from mothermold.view.view import View

SIDES = {
    "recipes.html": {"stage", "year", "build"}, "runs.html": {"stage", "year", "outcome", "build"},
    "failures.html": {"stage", "year", "answer", "build"}, "molds.html": {"year", "state", "build"},
}  # fmt: skip


def body_of(view: View, address: str) -> str:
    page = page_at(view, address)
    assert page is not None
    return page.body


@pytest.mark.parametrize("address", SIDES)
def test_a_list_offers_the_sides_on_which_its_entries_differ_and_every_choice_has_an_entry(
    view: View, address: str
) -> None:
    body = body_of(view, address)
    offered = {
        side: re.findall(r'<option value="([^"]+)">', options)
        for side, options in re.findall(r'<select name="([a-z]+)">(.*?)</select>', body, re.S)
    }
    # All runs of the sample are of one year.
    assert offered.keys() <= SIDES[address]
    assert {"build"} <= offered.keys()
    for side, values in offered.items():
        held = {
            word for words in re.findall(rf'<li data-entry[^>]* data-{side}="([^"]*)"', body) for word in words.split()
        }
        assert set(values) == held
        assert len(values) > 1


def test_failures_are_narrowed_by_whether_a_fix_held_as_the_finder_says_it(view: View) -> None:
    body = body_of(view, "failures.html")
    said = {each.name: each.answer.replace(" ", "-") for each in troubles(view)}
    pairs = re.findall(r'<li data-entry[^>]* data-answer="([^"]*)"[^>]*>.*?failures/([a-z0-9-]+)\.html', body, re.S)
    assert {name: answer for answer, name in pairs} == said
    assert '<option value="held">fix held</option>' in body


def test_every_run_is_shown_once_under_its_year(view: View) -> None:
    body = body_of(view, "runs.html")
    assert body.count("<li data-entry") == len(view.models(Run))
    years = re.findall(r'<details class="year" open><summary><h2>(\d+)</h2> <span class="quiet">(\d+) run', body)
    assert sum(int(count) for _year, count in years) == len(view.models(Run))
    assert [year for year, _count in years] == sorted({str(run.started.year) for run in view.models(Run).values()}, reverse=True)  # fmt: skip


@pytest.mark.parametrize("edition", ["class", "public"])
def test_no_list_is_narrowed_by_a_build_its_edition_does_not_hold(
    sample_pages: Callable[[Edition], tuple[Page, ...]], sample_view: Callable[[Edition], View], edition: Edition
) -> None:
    held = set(sample_view(edition).on("build"))
    for page in sample_pages(edition):
        if page.address in SIDES:
            named = {name for words in re.findall(r' data-build="([^"]*)"', page.body) for name in words.split()}
            assert named <= held, page.address


def test_what_is_chosen_narrows_the_list_and_stands_in_the_address(forgetful: Watched, view: View) -> None:
    page = forgetful.page
    forgetful.open("runs.html")
    form = page.locator("form.narrow-list")
    form.locator("[name=outcome]").select_option("scrapped")
    wanted = sorted(name for name, run in view.models(Run).items() if run.outcome == "scrapped")
    shown = page.locator("li[data-entry]:visible a:first-of-type").evaluate_all("(all) => all.map((each) => each.href)")
    assert sorted(address.rpartition("/")[2].removesuffix(".html") for address in shown) == wanted
    expect(form.locator("[role=status]")).to_have_text(f"{len(wanted)} of {len(view.models(Run))}.")
    assert page.locator("section:visible:not(:has(li[data-entry]:visible))").count() == 0
    assert page.url.endswith("#outcome=scrapped")
    forgetful.open("index.html")
    page.go_back()
    expect(page.locator("li[data-entry]:visible")).to_have_count(len(wanted))
    form.locator("[name=stage]").select_option("wear")
    form.locator("[name=outcome]").select_option("")
    assert 0 < page.locator("li[data-entry]:visible").count() < len(view.models(Run))
    form.locator("[name=outcome]").select_option("scrapped")
    if not page.locator("li[data-entry]:visible").count():
        expect(form.locator("[role=status]")).to_contain_text("None of them.")
    assert forgetful.told() == []


def test_years_before_the_newest_are_folded_where_the_list_is_long_until_somebody_narrows_it(
    forgetful: Watched,
) -> None:
    page = forgetful.page
    forgetful.open("runs.html")
    # A second year, as a book of two would have it.
    page.evaluate(
        """() => { const one = document.querySelector("details.year"), two = one.cloneNode(true);
        two.querySelector("h2").textContent = "2025"; one.after(two);
        const script = document.createElement("script"); script.src = "assets/narrow.js"; document.body.append(script);
        return new Promise((done) => { script.onload = done; }); }"""
    )
    folded = page.locator("details.year")
    assert folded.evaluate_all("(all) => all.map((each) => each.open)") == [True, False]
    page.locator("form.narrow-list [name=outcome]").select_option("good")
    assert folded.evaluate_all("(all) => all.map((each) => each.open)") == [True, True]


@pytest.mark.parametrize("address", short(SIDES, 2))
def test_the_lists_read_well_on_a_narrow_phone(forgetful: Watched, address: str) -> None:
    page = forgetful.page
    page.set_viewport_size({"width": 320, "height": 900})
    forgetful.open(address)
    expect(page.locator("form.narrow-list")).to_be_visible()
    assert breaches(page) == []
    assert too_wide(page) == []


def test_without_scripts_all_is_shown(chromium: Browser, sample_site: object, view: View) -> None:
    with watched(chromium, f"{sample_site.as_uri()}/", java_script_enabled=False) as seen:  # type: ignore[attr-defined]
        seen.page.goto(f"{seen.home}runs.html")
        expect(seen.page.locator("form.narrow-list")).to_be_hidden()
        expect(seen.page.locator("li[data-entry]:visible")).to_have_count(len(view.models(Run)))
