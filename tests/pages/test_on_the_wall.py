"""Steps for a class: the drawing has two thirds of the wall, nothing of when it is right is cut, and the way on and out shows."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any, Final

import pytest
from playwright.sync_api import Browser, expect

from browser import Watched, breaches, too_small, too_wide, watched
from campaigns.seeds import short
from mothermold.pages.addresses import bench_page
from mothermold.pages.bench import bench_rows
from mothermold.view.view import View
from pages.test_bench import BENCH, heading, kept

WALL: Final = """() => document.fonts.ready.then(async () => {
  await Promise.all([...document.querySelectorAll(".pictures img")].map((each) => { each.loading = "eager"; return each.decode().catch(() => 0); }));
  const found = [], steps = document.querySelectorAll("[data-screen='step']").length;
  const inside = (each) => { const box = each.getBoundingClientRect(); return box.top >= 0 && box.left >= 0 && box.right <= innerWidth + 0.5 && box.bottom <= innerHeight + 0.5; };
  for (let place = 0; place < steps; place += 1) {
    const screen = document.querySelector("[data-screen='step']:not([hidden])"), check = screen.querySelector(".check"), area = screen.querySelector(".pictures");
    const foot = document.querySelector(".wall-bar").getBoundingClientRect(), figures = [...screen.querySelectorAll("figure")];
    const meets = (each) => { const box = each.getBoundingClientRect(); return box.bottom > foot.top && box.right > foot.left; };
    found.push({
      step: screen.dataset.step, spills: screen.scrollHeight > screen.clientHeight + 1,
      cut: [check, screen.querySelector("h2"), screen.querySelector(".do"), ...screen.querySelectorAll(".cautions > li"), ...figures, ...screen.querySelectorAll("figcaption")]
        .filter((each) => each && (!inside(each) || meets(each) || each === check && each.scrollHeight > each.clientHeight + 2)).map((each) => each.className || each.localName),
      share: figures.length ? area.getBoundingClientRect().width / innerWidth : null,
      pictures: [...screen.querySelectorAll("figure img")].map((each) => [decodeURI(each.src).split("/").pop(), Math.min(each.clientWidth / each.naturalWidth, each.clientHeight / each.naturalHeight)]),
      letters: Math.min(...[...screen.querySelectorAll("h2, .do p, .check div, figcaption, .cautions > li")].filter((each) => each.checkVisibility()).map((each) => parseFloat(getComputedStyle(each).fontSize))),
      captions: Math.min(100, ...[...screen.querySelectorAll("figcaption")].map((each) => parseFloat(getComputedStyle(each).fontSize))),
      told: parseFloat(getComputedStyle(screen.querySelector(".do") || screen).fontSize),
    });
    document.dispatchEvent(new KeyboardEvent("keydown", { key: "PageDown", bubbles: true }));
  }
  return found;
})"""
BACK_ROW: Final = 1080 / 54
"""Twenty pixels of a wall of 1,080: common practice, no source."""


@pytest.fixture
def wall(chromium: Browser, sample_site: Path) -> Any:
    with watched(chromium, f"{sample_site.as_uri()}/", viewport={"width": 1920, "height": 1080}) as seen:
        assert seen.open(BENCH) == []
        yield seen
        assert seen.told() == []


@pytest.mark.parametrize(("width", "height"), short([(1920, 1080), (1280, 720), (1024, 768)], 1))
def test_the_drawing_has_two_thirds_and_what_is_right_is_never_cut(
    width: int, height: int, chromium: Browser, sample_site: Path, sample_book: Path, view: View
) -> None:
    every = []
    with watched(chromium, f"{sample_site.as_uri()}/", viewport={"width": width, "height": height}) as seen:
        for address in ("cast/face-piece", "mold/face-mold", "application/full-face", "lifecast/head"):
            for version in bench_rows(view, view.versions(address))[-1:]:
                assert seen.open(bench_page(address, version.number)) == []
                seen.page.locator("[data-do='projector']").click()
                every += [{"recipe": address, **each} for each in seen.page.evaluate(WALL)]
                assert too_wide(seen.page) == []
    assert len(every) > 40
    assert [each for each in every if each["spills"] or each["cut"]] == []
    shares = [each["share"] for each in every if each["share"] is not None]
    assert len(shares) > 8
    assert min(shares) > 0.61
    if (width, height) == (1920, 1080):
        assert min(each["captions"] for each in every) >= 26
        assert min(each["told"] for each in every) >= 24
        assert min(each["letters"] for each in every) >= 17
        labels = [
            (name, float(size) * scale)
            for each in every
            for name, scale in each["pictures"]
            for size in re.findall(
                r'font-size="?:?([\d.]+)', (sample_book / "recipes/pictures" / name).read_text("utf-8")
            )
        ]
        assert len(labels) > 8
        assert [each for each in labels if each[1] < BACK_ROW] == []


def test_arrows_and_leave_show_and_a_pointer_does_what_a_clicker_does(wall: Watched) -> None:
    page = wall.page
    page.locator("[data-do='projector']").click()
    foot = page.locator(".projector-foot")
    expect(foot).to_have_text("1 / 7")
    assert too_small(page, ".wall-bar button", 56) == []
    back, forward = page.get_by_role("button", name="The step before"), page.get_by_role("button", name="The next step")
    expect(back).to_be_disabled()
    forward.click()
    expect(foot).to_have_text("2 / 7")
    page.mouse.click(1500, 400)
    expect(foot).to_have_text("3 / 7")
    page.mouse.click(100, 400)
    expect(foot).to_have_text("2 / 7")
    back.click()
    expect(foot).to_have_text("1 / 7")
    page.keyboard.press("End")
    expect(forward).to_be_disabled()
    # A button that has the focus is pressed by its own keys, once.
    page.get_by_role("button", name="The step before").focus()
    page.keyboard.press("Enter")
    expect(foot).to_have_text("6 / 7")
    page.get_by_role("button", name="Leave").click()
    assert heading(page) == "Before you begin"
    expect(page.locator(".wall-bar")).to_be_hidden()
    assert kept(page) == []
    assert page.evaluate("document.fullscreenElement") is None


def test_it_asks_for_the_whole_screen_and_who_leaves_that_leaves_the_wall(wall: Watched) -> None:
    page = wall.page
    page.locator("[data-do='projector']").click()
    page.wait_for_function("() => document.fullscreenElement === document.documentElement")
    page.evaluate("document.exitFullscreen()")
    expect(page.locator(".wall-bar")).to_be_hidden()
    assert heading(page) == "Before you begin"


def test_where_no_full_screen_is_to_be_had_it_fills_its_window(chromium: Browser, sample_site: Path) -> None:
    with watched(chromium, f"{sample_site.as_uri()}/", viewport={"width": 1280, "height": 720}) as seen:
        seen.page.add_init_script("Element.prototype.requestFullscreen = () => Promise.reject(new Error('refused'))")
        assert seen.open(BENCH) == []
        seen.page.locator("[data-do='projector']").click()
        seen.page.keyboard.press("PageDown")
        expect(seen.page.locator(".projector-foot")).to_have_text("2 / 7")
        assert seen.told() == []


def test_the_wall_breaks_no_rule(chromium: Browser, sample_site: Path) -> None:
    with watched(
        chromium, f"{sample_site.as_uri()}/", bypass_csp=True, viewport={"width": 1920, "height": 1080}
    ) as seen:
        assert seen.open(BENCH) == []
        seen.page.locator("[data-do='projector']").click()
        for _ in range(3):
            seen.page.keyboard.press("PageDown")
        assert breaches(seen.page) == []
