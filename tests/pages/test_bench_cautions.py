"""Cautions at the bench: in full until somebody notes that they were read, then a strip, and the work in sight below it."""

from __future__ import annotations

import json
import re
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any, Final

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from browser import Watched, breaches, too_small, too_wide, watched
from campaigns.seeds import divided, short
from mothermold.model.material import Material
from mothermold.pages.addresses import bench_page
from mothermold.pages.bench import bench_rows
from mothermold.trade.cautions import Caution, step_cautions
from mothermold.view.view import View
from pages.test_bench import BENCH, KEY, MIX, PHONE, begin, file_of, finish, heading, kept, only, tap
from pages.test_cautions_on_pages import plain, told

FLANGE: Final = "bench/mold/face-mold@3.html"
POUR, SPLASH = 1, 7
"""Steps of that mold where gypsum is mixed: the first, and a later one with the same cautions."""
COPY, CORE = 4, 6
"""Steps of the altered positive: alginate powder, then gypsum, which brings the same cautions and one more."""


@pytest.fixture
def phone(forgetful: Watched) -> Iterator[Watched]:
    """The bench view of a mold on a phone that keeps nothing yet."""
    assert forgetful.open(FLANGE) == []
    yield forgetful
    assert forgetful.told() == []


def cautions_of(view: View, address: str, number: int) -> list[tuple[Caution, ...]]:
    """The cautions of each step, in order."""
    recipe = view.versions(address).rows[number - 1].recipe
    every = step_cautions(recipe, view.models(Material))
    return [every.get(step.id, ()) for step in recipe.steps]


def go(page: Page, at: int = 0) -> None:
    """Begins a run, and goes on to a step without reading anything."""
    page.get_by_role("button", name="Begin", exact=True).click()
    to(page, at)


def to(page: Page, at: int) -> None:
    page.evaluate("(at) => window.mothermoldBench.at(at)", at)


def full(page: Page) -> list[str]:
    """The cautions that stand in all their words on the screen."""
    return [plain(each) for each in page.locator(".screen:visible > .cautions > li:visible").all_inner_texts()]


def strip(page: Page) -> Locator:
    return page.locator(".screen:visible .strip")


def titles(page: Page) -> list[str]:
    return page.locator(".screen:visible .strip summary strong").all_inner_texts()


# Before Begin


def test_before_begin_all_cautions_of_the_recipe_stand_in_full_worst_first(phone: Watched, view: View) -> None:
    page = phone.page
    shown = page.locator("#before .cautions > li")
    every = list(dict.fromkeys(each for found in cautions_of(view, "mold/face-mold", 3) for each in found))
    assert {plain(each) for each in shown.all_inner_texts()} == {told(each) for each in every}
    named = [each.get_attribute("data-caution") for each in shown.all()]
    order = [each.id for each in every]
    assert sorted(named, key=order.index) == sorted(order, key=order.index)
    expect(page.locator("#before .hung")).to_be_visible()
    where = page.locator("#before").bounding_box()
    button = page.get_by_role("button", name="Begin", exact=True).bounding_box()
    assert where is not None
    assert button is not None
    assert where["y"] + where["height"] <= button["y"]
    go(page)
    expect(page.locator("#before")).to_be_hidden()


# One tap takes note


def test_unread_they_stand_in_full_and_one_tap_makes_a_strip_of_them(phone: Watched, view: View) -> None:
    page = phone.page
    go(page, POUR)
    here = cautions_of(view, "mold/face-mold", 3)[POUR]
    assert full(page) == [told(each) for each in here]
    expect(strip(page)).to_have_count(0)
    button = page.locator("[data-do='heed']:visible")
    expect(button).to_have_text(f"I have read all {len(here)}")
    button.click()
    assert full(page) == []
    assert titles(page) == [f"{each.title}." for each in here]
    expect(page.locator("[data-do='heed']:visible")).to_have_count(0)
    expect(page.locator(".screen:visible h2")).to_be_focused()
    described = re.compile(re.escape(here[0].title))
    expect(page.locator(".screen:visible h2")).to_have_accessible_description(described)
    assert page.evaluate("window.scrollY") == 0


def test_the_strip_opens_to_all_their_words_with_a_tap(phone: Watched, view: View) -> None:
    page = phone.page
    go(page, POUR)
    tap(page, "heed")
    words = strip(page).locator(".cautions > li")
    expect(words.first).to_be_hidden()
    strip(page).locator("summary strong").nth(1).click()
    here = cautions_of(view, "mold/face-mold", 3)[POUR]
    assert [plain(each) for each in words.all_inner_texts()] == [told(each) for each in here]
    expect(words.first).to_be_in_viewport(ratio=1)
    assert too_small(page, ".strip summary", 56) == []
    assert breaches(page) == []
    strip(page).locator("summary").click()
    expect(words.first).to_be_hidden()


def test_the_signs_of_a_caution_stand_in_the_strip(lent: Watched) -> None:
    page = lent.page
    lent.open("bench/mold/nose-mold@3.html")
    go(page, 6)
    signs = page.locator(".screen:visible > .cautions .sign").count()
    assert signs
    tap(page, "heed")
    expect(page.locator(".screen:visible .strip summary .sign:visible")).to_have_count(signs)
    page.evaluate("localStorage.clear()")


def test_a_later_step_tells_in_full_only_what_was_not_read(phone: Watched, view: View) -> None:
    page = phone.page
    phone.open("bench/core/altered-positive@2.html")
    go(page, COPY)
    tap(page, "heed")
    every = cautions_of(view, "core/altered-positive", 2)
    to(page, CORE)
    new = [each for each in every[CORE] if each not in every[COPY]]
    assert new
    assert full(page) == [told(each) for each in new]
    assert titles(page) == [f"{each.title}." for each in every[CORE] if each in every[COPY]]
    expect(page.locator("[data-do='heed']:visible")).to_have_text("I have read it")
    tap(page, "heed")
    assert (full(page), titles(page)) == ([], [f"{each.title}." for each in every[CORE]])
    to(page, COPY)
    assert (full(page), titles(page)) == ([], [f"{each.title}." for each in every[COPY]])


@pytest.mark.campaign
def test_what_was_not_read_stays_in_full_however_often_it_is_passed(phone: Watched, view: View) -> None:
    page = phone.page
    go(page, POUR)
    tap(page, "start-clock")
    tap(page, "next")
    to(page, SPLASH)
    assert full(page) == [told(each) for each in cautions_of(view, "mold/face-mold", 3)[SPLASH]]


# It is the run's, and the run's alone


def test_that_it_was_read_is_there_after_a_reload_and_can_be_taken_back(phone: Watched) -> None:
    page = phone.page
    go(page, POUR)
    unread, stood = full(page), only(page)
    tap(page, "heed")
    page.reload()
    assert heading(page) == "Pour the flange"
    assert full(page) == []
    assert page.locator("[data-do='undo']").get_attribute("aria-label") == "Undo: cautions read"
    tap(page, "undo")
    assert full(page) == unread
    assert only(page) == stood
    expect(page.locator("[data-do='heed']:visible")).to_have_count(1)


@pytest.mark.campaign
def test_a_second_run_shows_all_in_full_again(phone: Watched) -> None:
    page = phone.page
    go(page, POUR)
    unread = full(page)
    tap(page, "heed")
    tap(page, "steps")
    tap(page, "restart")
    go(page, POUR)
    assert full(page) == unread
    assert titles(page) == []
    assert len(kept(page)) == 2


def test_the_document_of_the_run_says_nothing_of_it(phone: Watched) -> None:
    page = phone.page
    document = "window.mothermoldRun.yaml(window.mothermoldBench.run(), window.mothermoldBench.data.zone)"
    go(page, POUR)
    before = page.evaluate(document)
    tap(page, "heed")
    assert only(page)["heeded"]
    assert page.evaluate(document) == before


@pytest.mark.parametrize(
    "heeded",
    short([None, ["gypsum-burns"], {"gypsum-burns": "1"}, 7, "all", {"gypsum-burns": True}, {"gypsum-burns": 1}], 1),
)
def test_what_the_device_keeps_of_it_is_believed_only_for_these_very_words(
    heeded: Any, phone: Watched, view: View
) -> None:
    page = phone.page
    run = {"id": "r-2026-01-02-face-mold-0910", "recipe": "mold/face-mold@3", "started": 1767341400000, "at": POUR}
    page.evaluate(
        "([key, text]) => localStorage.setItem(key, text)", [KEY, json.dumps([{"run": run | {"heeded": heeded}}])]
    )
    phone.open(FLANGE)
    tap(page, "go-on")
    assert full(page) == [told(each) for each in cautions_of(view, "mold/face-mold", 3)[POUR]]
    tap(page, "heed")
    assert full(page) == []


def test_a_caution_that_says_something_else_since_is_to_be_read_again(
    chromium: Browser, sample_site: Path, tmp_path: Path
) -> None:
    site = Path(shutil.copytree(sample_site, tmp_path / "site"))
    with watched(chromium, f"{site.as_uri()}/", **PHONE) as own:
        page = own.page
        own.open(FLANGE)
        go(page, POUR)
        tap(page, "heed")
        made = site / FLANGE
        text = made.read_text(encoding="utf-8")
        made.write_text(text.replace("Open cups.</strong>", "Open cups.</strong> Not near food."), encoding="utf-8")
        own.open(FLANGE)
        (words,) = full(page)
        assert "Not near food." in words
        assert len(titles(page)) == 3
        assert own.told() == []


# Where nobody can tap


def test_on_paper_all_words_stand_though_they_were_read(phone: Watched, view: View) -> None:
    page = phone.page
    go(page, POUR)
    tap(page, "heed")
    page.emulate_media(media="print")
    steps = page.locator("[data-screen='step']")
    every = cautions_of(view, "mold/face-mold", 3)
    expect(page.locator("#before")).to_be_visible()
    for each in dict.fromkeys(each for found in every for each in found):
        assert told(each) in plain(page.locator("#before").inner_text())
    for place, found in enumerate(every):
        shown = [plain(each) for each in steps.nth(place).locator("> .cautions > li:visible").all_inner_texts()]
        assert shown == [told(each) for each in found]
    expect(page.locator(".strip:visible, .bench button:visible")).to_have_count(0)
    assert page.locator("h1").bounding_box()["y"] < page.locator("#before").bounding_box()["y"]
    page.emulate_media(media="screen")


@pytest.mark.campaign
def test_a_class_sees_all_words_though_they_were_read(phone: Watched, view: View) -> None:
    page = phone.page
    go(page, POUR)
    tap(page, "heed")
    tap(page, "steps")
    tap(page, "restart")
    tap(page, "projector")
    page.keyboard.press("PageDown")
    assert full(page) == [told(each) for each in cautions_of(view, "mold/face-mold", 3)[POUR]]
    expect(page.locator(".strip:visible, [data-do='heed']:visible, .mixing:visible")).to_have_count(0)
    page.keyboard.press("Escape")


def test_without_scripts_all_words_stand_first_and_at_each_step(
    chromium: Browser, sample_site: Path, view: View
) -> None:
    with chromium.new_context(java_script_enabled=False, **PHONE) as context:
        page = context.new_page()
        page.goto(f"{sample_site.as_uri()}/{FLANGE}")
        expect(page.locator("#before")).to_be_visible()
        expect(page.locator(".strip, [data-do='heed']")).to_have_count(0)
        for place, found in enumerate(cautions_of(view, "mold/face-mold", 3)):
            step = page.locator("[data-screen='step']").nth(place)
            shown = [plain(each) for each in step.locator(".cautions > li:visible").all_inner_texts()]
            assert shown == [told(each) for each in found]


# The work stays in sight

SEEN: Final = """() => document.fonts.ready.then(() => window.mothermoldBench.steps.map((step, place) => {
  window.mothermoldBench.at(place);
  const screen = document.querySelector(`[data-step="${step.id}"]`), unread = screen.querySelector("[data-do='heed']");
  if (unread) { unread.click(); }
  const top = document.querySelector(".bench-top").getBoundingClientRect().bottom;
  const bar = document.querySelector(".bench-bar").getBoundingClientRect().top;
  const shows = (box, of) => {
    const there = document.elementFromPoint(box.left + Math.min(box.width, 40) / 2, box.top + box.height / 2);
    return box.top >= top && box.bottom <= bar && of.contains(there);
  };
  const words = screen.querySelector(".do"), range = document.createRange(), lines = [];
  if (words) { range.selectNodeContents(words); }
  for (const box of words ? range.getClientRects() : []) {
    if (box.width && !lines.some((line) => Math.abs(line.top - box.top) < 6)) { lines.push(box); }
  }
  const row = screen.querySelector(".sheets tbody tr"), page = document.documentElement;
  return {
    step: step.id, strips: screen.querySelectorAll(".strip").length, unread: screen.querySelectorAll("[data-do='heed']").length,
    lines: lines.length, shown: lines.filter((line) => shows(line, words)).length, wide: page.scrollWidth > page.clientWidth,
    row: row && [...row.children].every((cell) => !cell.textContent || shows(cell.getBoundingClientRect(), row)),
  };
}))"""

RUNNING: Final = """(kind) => {
  const bench = window.mothermoldBench, mix = bench.steps.map((step) => step.starts).find(Boolean), now = Date.now();
  bench.tap("clock", (run) => {
    run.clock = kind === "pot" && mix ? { mix: mix, start: now, stopped: null } : null;
    run.timers = run.clock ? [] : [{ id: "t1", name: "glue", started: now, end: now + 1e6, step: "", waits: false }];
  });
}"""


@pytest.mark.campaign
@pytest.mark.parametrize(
    ("width", "height", "rest"),
    short([(320, 568, False), (320, 568, True), (360, 640, True), (390, 844, False), (390, 844, True)], 1),
)
def test_once_read_the_first_lines_and_the_first_weight_show_at_every_step_while_a_clock_runs(
    width: int, height: int, rest: bool, chromium: Browser, sample_site: Path, view: View
) -> None:
    every = []
    with watched(chromium, f"{sample_site.as_uri()}/", viewport={"width": width, "height": height}) as own:
        for address in divided(view.recipes, 3, rest):
            for version in bench_rows(view, view.versions(address)):
                assert own.open(bench_page(address, version.number)) == []
                go(own.page)
                own.page.evaluate(RUNNING, "pot")
                every += [{"recipe": address, **seen} for seen in own.page.evaluate(SEEN)]
                own.page.evaluate("localStorage.clear()")
    assert [each for each in every if each["unread"] or each["wide"]] == []
    assert [each for each in every if each["row"] is False or each["shown"] < min(2, each["lines"])] == []
    assert len([each for each in every if each["row"]]) > 10
    assert len([each for each in every if each["strips"]]) > 20


@pytest.mark.parametrize("kind", ["pot", "timer"])
def test_on_a_small_phone_a_clock_keeps_its_buttons_as_large_and_says_when_it_is_over(
    kind: str, chromium: Browser, sample_site: Path
) -> None:
    with watched(chromium, f"{sample_site.as_uri()}/", viewport={"width": 320, "height": 568}) as own:
        page = own.page
        page.clock.install(time="2026-11-25T10:00:00Z")
        own.open(BENCH)
        begin(page, MIX)
        page.evaluate(RUNNING, kind)
        assert too_small(page, ".bench-top button, .bench-bar button", 56) == []
        assert too_wide(page) == []
        page.clock.run_for(20 * 60_000)
        expect(page.locator(".clock-row.over small")).to_be_visible()
        assert too_wide(page) == []
        tap(page, "steps")
        expect(page.locator(".panel [data-do='all-runs']")).to_have_text("1 run still here")
        tap(page, "all-runs")
        expect(page.locator("[data-screen='runs']")).to_be_visible()
        expect(page.locator(".panel[open]")).to_have_count(0)


def test_under_a_long_instruction_the_rest_of_the_weights_comes_up_by_reading_on(
    chromium: Browser, sample_site: Path
) -> None:
    with watched(chromium, f"{sample_site.as_uri()}/", viewport={"width": 320, "height": 568}) as own:
        page = own.page
        own.open("bench/core/nose-core@2.html")
        go(page, 8)
        tap(page, "heed")
        last = page.locator(".sheets:visible tbody tr").last
        page.mouse.move(160, 200)
        for _ in range(12):
            page.mouse.wheel(0, 60)
            page.wait_for_timeout(30)
            box, bar = last.bounding_box(), page.locator(".bench-bar").bounding_box()
            if box["y"] + box["height"] <= bar["y"]:
                break
        else:
            raise AssertionError("the last weight never comes up")
        expect(page.locator(".screen:visible .do")).to_be_visible()


@pytest.mark.campaign
def test_finished_by_taps_a_run_whose_cautions_were_read_is_handed_over_as_ever(phone: Watched) -> None:
    page = phone.page
    phone.open(BENCH)
    begin(page, MIX)
    tap(page, "heed")
    page.locator("[data-do='start-clock']:visible").click()
    finish(page)
    assert "heeded" not in file_of(page)
