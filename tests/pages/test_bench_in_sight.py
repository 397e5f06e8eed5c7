"""The bench, act first: measured in a browser, what one does and the button for it stand in sight with two clocks running."""

from __future__ import annotations

from typing import Any, Final

import pytest
from playwright.sync_api import Browser, expect

from browser import Watched, too_small, too_wide, watched
from campaigns.seeds import short
from mothermold.pages.addresses import bench_page
from mothermold.pages.bench import bench_rows
from mothermold.view.view import View
from pages.test_bench import BENCH, MIX, begin, only, tap

SIZES: Final = short([(320, 568), (844, 390), (390, 844), (568, 320), (1280, 900)], 2)
TWO: Final = """() => {
  const bench = window.mothermoldBench, now = Date.now(), mix = bench.steps.map((step) => step.starts).find(Boolean);
  bench.tap("clocks", (run) => {
    run.clock = mix ? { mix: mix, start: now, stopped: null } : null;
    run.timers = [["degas the base", 245000], ["a wait for the plaster of the jacket", 900000]].slice(mix ? 1 : 0).map(([name, left], at) =>
      ({ id: "t" + at, name: name, started: now, end: now + left, step: "", waits: false }));
  }); }"""
SEEN: Final = """() => document.fonts.ready.then(() => window.mothermoldBench.steps.map((step, place) => {
  window.mothermoldBench.at(place);
  const screen = document.querySelector(`[data-step="${step.id}"]`), unread = screen.querySelector("[data-do='heed']");
  if (unread) { unread.click(); }
  window.scrollTo(0, 0);
  const within = (box) => box.width > 0 && box.top >= 0 && box.left >= 0 && box.bottom <= innerHeight + 0.5 && box.right <= innerWidth + 0.5;
  const shows = (each, box = each.getBoundingClientRect()) => within(box) &&
    each.contains(document.elementFromPoint(box.left + Math.min(box.width / 2, 30), box.top + box.height / 2));
  const words = screen.querySelector(".do"), range = document.createRange(), lines = [];
  if (words) { range.selectNodeContents(words); }
  for (const box of words ? range.getClientRects() : []) {
    if (box.width && !lines.some((line) => Math.abs(line.top - box.top) < 6)) { lines.push(box); }
  }
  const clocks = [...document.querySelectorAll(".clock-row b")], next = document.querySelector("[data-said='next']"), order = [...screen.children];
  const at = (what) => order.findIndex((each) => each.matches(what));
  return {
    step: step.id, title: shows(screen.querySelector("h2")), lines: lines.length, shown: lines.filter((line) => shows(words, line)).length,
    clocks: clocks.length, told: clocks.filter((each) => shows(each)).length,
    rows: new Set(clocks.map((each) => Math.round(each.getBoundingClientRect().top + each.getBoundingClientRect().height / 2))).size,
    top: document.querySelector(".bench-top").offsetHeight, next: shows(next) && next.offsetHeight >= 56 && next.offsetWidth >= 56,
    bar: [...document.querySelectorAll(".bench-bar button")].filter((each) => !shows(each)).map((each) => each.textContent),
    low: next.getBoundingClientRect().bottom > innerHeight * 0.6, ordered: at("h2") < at(".do") && at(".sheets") < at(".pictures") && at(".pictures") < at(".facts"),
  };
}))"""


@pytest.mark.parametrize(("width", "height"), SIZES)
def test_with_two_clocks_running_the_act_and_its_button_are_in_sight(
    width: int, height: int, chromium: Browser, sample_site: Any, view: View
) -> None:
    every = []
    with watched(chromium, f"{sample_site.as_uri()}/", viewport={"width": width, "height": height}) as seen:
        for address in ("cast/face-piece", "mold/face-mold", "application/full-face"):
            for version in bench_rows(view, view.versions(address))[-1:]:
                assert seen.open(bench_page(address, version.number)) == []
                seen.page.get_by_role("button", name="Begin").click()
                seen.page.evaluate(TWO)
                every += [{"recipe": address, **each} for each in seen.page.evaluate(SEEN)]
                assert too_wide(seen.page) == []
                assert too_small(seen.page, ".bench-bar button, .bench-top button", 56) == []
                seen.page.evaluate("localStorage.clear()")
    least = 2 if height < 600 else 3
    assert len(every) > 15
    assert [each for each in every if not each["title"] or each["shown"] < min(least, each["lines"])] == []
    assert [each for each in every if not each["next"] or each["bar"] or not each["low"]] == []
    # Both clocks, in one line, no taller than a thumb needs.
    assert [each for each in every if (each["clocks"], each["told"], each["rows"]) != (2, 2, 1)] == []
    assert [each for each in every if each["top"] > 72] == []
    assert all(each["ordered"] for each in every)


@pytest.fixture
def phone(chromium: Browser, sample_site: Any) -> Any:
    with watched(chromium, f"{sample_site.as_uri()}/", viewport={"width": 390, "height": 844}) as seen:
        assert seen.open(BENCH) == []
        yield seen
        assert seen.told() == []


def test_b_meets_a_takes_the_place_of_done_until_it_is_tapped(phone: Watched) -> None:
    page = phone.page
    begin(page, MIX)
    main = page.locator(".bench-bar [data-said='next']")
    expect(main).to_have_text("B meets A: start the clock")
    expect(page.locator("[data-do='start-clock']:visible")).to_have_count(1)
    main.click()
    expect(main).to_have_text("Done, next")
    assert only(page)["clock"]["mix"] == "base"
    assert (only(page)["at"], only(page)["done"].keys() & {"mix"}) == (MIX, set())
    tap(page, "undo")
    expect(main).to_have_text("B meets A: start the clock")
    main.click()
    main.click()
    assert only(page)["at"] == MIX + 1
    # Who comes back to a step that is done finds the clock no more in the way.
    tap(page, "back")
    expect(main).to_have_text("Next")


def test_a_double_tap_starts_the_clock_and_does_not_leave_the_step(phone: Watched) -> None:
    page = phone.page
    begin(page, MIX)
    page.locator(".bench-bar [data-said='next']").dblclick()
    assert only(page)["at"] == MIX
    expect(page.locator(".pot b")).to_be_visible()


def test_a_clock_tapped_says_how_it_is_reckoned_and_can_be_stopped(phone: Watched) -> None:
    page = phone.page
    begin(page, MIX)
    tap(page, "start-clock")
    tap(page, "timer")
    tap(page, "quick-timer", 3)
    page.locator(".pot .face").click()
    expect(page.locator(".panel")).to_contain_text("to close: ")
    expect(page.locator(".panel")).to_contain_text("Until ")
    page.get_by_role("button", name="Stop 10 min").click()
    expect(page.locator(".clock-row")).to_have_count(1)
    expect(page.locator(".panel[open]")).to_have_count(0)
    page.locator(".pot .face").click()
    page.locator(".panel [data-do='closed']").click()
    expect(page.locator(".clock-row")).to_have_count(0)


@pytest.mark.parametrize("length", short([3, 5], 1))
def test_what_ends_first_stands_first_and_all_stay_in_one_line(length: int, phone: Watched) -> None:
    page = phone.page
    begin(page)
    for quick in list(range(length))[::-1]:
        tap(page, "timer")
        tap(page, "quick-timer", quick)
    names = page.locator(".clock-row .face span").all_inner_texts()
    assert [each.strip() for each in names] == ["1 min", "3 min", "5 min", "10 min", "15 min"][:length]
    assert page.locator(".clocks").evaluate("(each) => each.offsetHeight") < 72
    assert too_wide(page) == []
