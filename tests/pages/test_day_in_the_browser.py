"""The page of a day on a phone without signal: what and where, two taps, and it is noted, outlives a reload, and comes into the book."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any, Final

import pytest
from playwright.sync_api import Browser, Page, expect

from browser import WIDTHS, Watched, breaches, too_wide, watched
from mothermold.cli.main import main
from mothermold.model.run import Run
from mothermold.view.view import open_view

PAGE: Final = "days/reed-cutter/2026-11-12.html"
APPOINTMENT: Final = "appointments/reed-cutter/head.html"
PHONE: Final[dict[str, Any]] = {"viewport": {"width": 390, "height": 844}, "accept_downloads": True, "has_touch": True}
KEY: Final = "mothermold bench The saltpan book"
ON_THE_DAY: Final = "2026-11-12T13:20:00+01:00"
NEXT_MORNING: Final = "2026-11-13T08:40:00+01:00"
GLOVES: Final = 56


@pytest.fixture
def phone(chromium: Browser, sample_site: Path) -> Iterator[Watched]:
    """The page on the day at twenty past one, from a folder on a phone of its own."""
    with watched(chromium, f"{sample_site.as_uri()}/", **PHONE) as seen:
        seen.page.clock.set_fixed_time(ON_THE_DAY)
        assert seen.open(PAGE) == []
        yield seen
        assert seen.told() == []


def tap(page: Page, words: str) -> None:
    page.locator(".day-notes").get_by_role("button", name=words, exact=True).click()


def kept(page: Page) -> list[dict[str, Any]]:
    return [entry["run"] for entry in json.loads(page.evaluate("(key) => localStorage.getItem(key) || '[]'", KEY))]


def test_a_touch_up_a_photo_and_a_meal_take_two_taps_each(phone: Watched) -> None:
    page = phone.page
    for first, second in (("Touch-up", "nose"), ("Photo", "left 3/4"), ("Meal", "Something to drink")):
        tap(page, first)
        tap(page, second)
    (run,) = kept(page)
    assert (run["look"], run["day"], run["recipe"].split("@")[0]) == ("full", "2026-11-12", "wear/full-day")
    assert [each["zone"] for each in run["touchUps"]] == ["nose"]
    assert [(each["what"], each["zone"], each["note"]) for each in run["moments"]] == [
        ("photo", "left 3/4", ""), ("meal", "", "A drink."),
    ]  # fmt: skip
    expect(page.locator(".day-list li").first).to_have_text("13:20 touch-up, nose")


def test_it_outlives_a_reload_and_a_tap_can_be_taken_back(phone: Watched) -> None:
    page = phone.page
    tap(page, "Touch-up")
    tap(page, "Somewhere else")
    tap(page, "Meal")
    tap(page, "A meal")
    page.reload()
    expect(page.locator(".day-list li")).to_have_count(2)
    tap(page, "Undo: a meal")
    page.reload()
    expect(page.locator(".day-list li")).to_have_text(["13:20 touch-up"])


def test_every_key_has_room_for_a_glove(phone: Watched) -> None:
    page = phone.page
    for kind in ("Touch-up", "Photo", "Meal"):
        tap(page, kind)
        sizes = page.locator(".day-notes button:visible").evaluate_all(
            "(all) => all.map((each) => [each.textContent, each.offsetHeight, each.offsetWidth])"
        )
        assert all(tall >= GLOVES and wide >= GLOVES for _words, tall, wide in sizes), sizes
        tap(page, kind)


def test_words_typed_go_to_the_last_entry_and_are_only_text(phone: Watched) -> None:
    page = phone.page
    tap(page, "Touch-up")
    tap(page, "nose")
    page.get_by_label("A few words to the last one").fill("<b>Glued</b>: again # twice")
    page.get_by_role("button", name="Keep them").click()
    assert kept(page)[0]["touchUps"][0]["note"] == "<b>Glued</b>: again # twice"
    assert page.locator(".day-list b").count() == 0


def test_the_keys_of_the_day_are_there_on_the_day_and_the_two_words_on_the_next_morning(phone: Watched) -> None:
    page = phone.page
    expect(page.locator(".day-notes").get_by_role("button", name="Touch-up")).to_be_visible()
    expect(page.locator(".day-notes").get_by_role("button", name="Available", exact=True)).to_have_count(0)
    page.clock.set_fixed_time("2026-11-10T13:20:00+01:00")
    page.reload()
    expect(page.locator(".day-notes button")).to_have_count(0)
    page.clock.set_fixed_time(NEXT_MORNING)
    page.reload()
    tap(page, "Not available")
    assert kept(page)[0]["morning"] == "not available"
    # Until noon a wrap after midnight can still be noted.
    expect(page.locator(".day-notes").get_by_role("button", name="Touch-up")).to_be_visible()
    page.clock.set_fixed_time("2026-11-14T08:40:00+01:00")
    page.reload()
    expect(page.locator(".day-notes").get_by_role("button", name="Touch-up")).to_have_count(0)
    expect(page.locator(".day-notes").get_by_role("button", name="Not available")).to_have_attribute(
        "aria-pressed", "true"
    )


def test_what_was_noted_is_brought_into_the_build_and_stands_on_the_page(
    phone: Watched, own_sample_book: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    page = phone.page
    tap(page, "Touch-up")
    tap(page, "nose")
    tap(page, "Photo")
    tap(page, "front")
    page.clock.set_fixed_time(NEXT_MORNING)
    page.reload()
    tap(page, "Available")
    with page.expect_download() as saved:
        tap(page, "Save the file")
    file = tmp_path / saved.value.suggested_filename
    saved.value.save_as(file)
    assert main(["-C", str(own_sample_book), "bring", str(file)]) == 0, capsys.readouterr()
    view = open_view(own_sample_book, "private")
    (run,) = (each for each in view.models(Run).values() if str(each.day) == "2026-11-12")
    assert view.that_says(run).file.startswith("recipes/builds/reed-cutter/runs/"), "nobody had to say which build"
    assert [str(each.zone) for each in run.touch_ups] == ["nose"]
    assert [(each.what, str(each.zone)) for each in run.moments] == [("photo", "front")]
    assert run.morning_after == "available"
    assert [each for each in view.touching({view.that_says(run).file}) if each.severity != "advice"] == []
    from mothermold.pages.all_pages import page_at  # noqa: PLC0415 - one test of many

    shown = page_at(view, PAGE)
    assert shown is not None
    assert re.search(r"Touch-ups by hour and zone</h2>\s*<p>1 in all", shown.body)


def test_the_bench_goes_on_with_the_run_of_the_day(phone: Watched) -> None:
    page = phone.page
    tap(page, "Touch-up")
    tap(page, "nose")
    recipe = kept(page)[0]["recipe"]
    assert phone.open(f"bench/{recipe}.html") == []
    tapped = page.locator("[data-do='next']:visible")
    tapped.click()
    assert len(kept(page)) == 1
    assert kept(page)[0]["done"]
    assert kept(page)[0]["touchUps"][0]["zone"] == "nose"


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("address", [PAGE, APPOINTMENT, "days/saltpan-keeper/2026-06-15.html"])
def test_the_pages_are_read_by_everybody_and_are_no_wider_than_the_screen(
    chromium: Browser, sample_site: Path, address: str, width: int
) -> None:
    with watched(
        chromium, f"{sample_site.as_uri()}/", bypass_csp=True, viewport={"width": width, "height": 900}
    ) as seen:
        seen.page.clock.set_fixed_time(ON_THE_DAY)
        seen.open(address)
        assert breaches(seen.page) == []
        assert too_wide(seen.page) == []
