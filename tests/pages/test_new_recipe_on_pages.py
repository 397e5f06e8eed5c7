"""A recipe begun by answers alone, nothing edited by hand, shows what can hurt: on its page, at the bench, on paper."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Final

import pytest
from playwright.sync_api import Browser, Locator, expect

from browser import Watched, watched
from desk.sitting import begin, small_shop
from history.repositories import leave_home
from mothermold.pages.addresses import bench_page, page_of
from mothermold.publish.building import build_site

A, B, DEADENER = "gel-silicone-a", "gel-silicone-b", "deadener-fluid"
GEL: Final = ["Soft gel", A, "100", B, "100", DEADENER, "60 %", "", "", f"{A}, {B}", "", "200", ""]
STEPS: Final = ["Clean the mold", "", "10", "", "Pour slowly", "", "5", "4 h", ""]
BEGUN: Final = {
    # By Enter alone; no step uses the mix; no step at all. Each with the step that tells it at the bench.
    "used": ([*STEPS, "", "", "", ""], "pour-slowly"),
    "not-used": ([*STEPS, "no", "none", "", ""], "clean-the-mold"),
    "no-steps": (["", "", ""], ""),
}
HAZARD: Final = "Silicone before it has cured."
WORDS: Final = "Gloves and goggles; off the skin with a dry cloth, then soap."
SHEETS: Final = ("Platinum gel silicone, part A", "Platinum gel silicone, part B", "Deadener fluid for platinum gel")


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A small shop where three recipes were begun, built as its owner sees it."""
    folder = tmp_path_factory.mktemp("begun")
    with pytest.MonkeyPatch.context() as patch:
        leave_home(folder / "nobody", patch)
        book = small_shop(folder / "book")
        for name, (answers, _step) in BEGUN.items():
            begin(book, "recipe", ["cast", name, "", "", *GEL, *answers], patch)
    with pytest.MonkeyPatch.context() as patch:
        leave_home(folder / "nobody", patch)
        build_site(book, "private", folder / "site")
    return folder / "site"


@pytest.fixture
def seen(chromium: Browser, site: Path) -> Iterator[Watched]:
    with watched(chromium, f"{site.as_uri()}/", viewport={"width": 390, "height": 844}) as page:
        yield page


def told(place: Locator) -> str:
    expect(place).to_be_visible()
    return re.sub(r"\s+", " ", place.inner_text())


@pytest.mark.parametrize("media", ["screen", "print"])
@pytest.mark.parametrize("name", BEGUN)
def test_its_page_says_it_first(seen: Watched, name: str, media: str) -> None:
    seen.page.emulate_media(media="print" if media == "print" else "screen")
    assert seen.open(page_of("recipe", f"cast/{name}")) == []
    before = told(seen.page.locator("#before"))
    assert HAZARD in before
    assert WORDS in before
    assert all(sheet in before for sheet in SHEETS)


@pytest.mark.parametrize("name", ["used", "not-used"])
def test_the_bench_says_it_no_later_than_where_it_is_used(seen: Watched, name: str) -> None:
    page = seen.page
    assert seen.open(bench_page(f"cast/{name}", 1)) == []
    page.get_by_label("Room temperature").fill("21")
    page.get_by_role("button", name="Begin").click()
    if name == "used":
        page.get_by_role("button", name="Done, next").click()
    step = page.locator(f"#step-{BEGUN[name][1]}")
    assert HAZARD in told(step.locator(".cautions"))
    assert WORDS in told(step.locator(".cautions"))
    page.emulate_media(media="print")
    assert WORDS in told(step.locator(".cautions"))
    assert seen.told() == []


@pytest.mark.parametrize("name", ["used", "not-used"])
def test_the_bench_on_paper_says_it_without_a_tap(seen: Watched, name: str) -> None:
    seen.page.emulate_media(media="print")
    assert seen.open(bench_page(f"cast/{name}", 1)) == []
    assert WORDS in told(seen.page.locator(".screen .cautions").first)
