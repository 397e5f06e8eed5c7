"""Somebody is hurt, on pages: two taps from anywhere to three lines in very large type, without network, without scripts, on paper."""

from __future__ import annotations

import random
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
import yaml
from playwright.sync_api import Browser, expect

from browser import THEMES, Theme, Watched, breaches, too_small, too_wide, watched
from campaigns.seeds import short
from mothermold.find.shouted import shouted
from mothermold.find.stems import tokens
from mothermold.pages.hurt import hurt_page, hurt_script
from mothermold.publish.carried.placing import build_one_file
from mothermold.trade.hurt import hurts
from mothermold.view.editions import EDITIONS
from mothermold.view.view import View, open_view

DATA = Path(__file__).parents[1] / "data" / "hurt"
ROW = "burn"
SAMPLE = ("index.html", "find.html", "notices.html", "recipes/lifecast/head.html", "bench/lifecast/head@3.html")


@pytest.fixture
def site(sample_site: Path) -> str:
    return f"{sample_site.as_uri()}/"


@pytest.fixture
def phone(chromium: Browser, site: str) -> Iterator[Watched]:
    with watched(chromium, site, viewport={"width": 360, "height": 640}) as seen:
        yield seen
        assert seen.told() == []


def said() -> list[str]:
    """Emergencies, sound-alikes, and words of both thrown together, cut and misspelled."""
    sets = [yaml.safe_load(path.read_text(encoding="utf-8")) for path in sorted(DATA.glob("*.yaml"))]
    queries = [each["said"] for one in sets for each in one["emergencies"]] + [
        each for one in sets for each in one["alike"]
    ]
    some, words = random.Random(3), sorted({word for query in queries for word in tokens(query)})
    for _ in range(400):
        chosen = some.sample(words, some.randint(1, 6))
        place = some.randrange(len(chosen))
        chosen[place] = chosen[place][:-1] + some.choice(["", "x", "s", "ed"])
        queries.append(" ".join(chosen))
    return queries


def test_the_script_calls_what_the_command_calls(phone: Watched) -> None:
    assert phone.open("index.html") == []
    queries = said()
    theirs = phone.page.evaluate(
        "(all) => all.map((query) => window.mothermoldHurt.called(query).map((row) => row.id))", queries
    )
    for query, found in zip(queries, theirs, strict=True):
        assert found == [hurt.id for hurt in shouted(query)], query
    assert 100 < sum(bool(found) for found in theirs) < len(queries) - 100


@pytest.mark.parametrize("width", short([320, 390], 1))
@pytest.mark.parametrize("address", short(SAMPLE, 2))
def test_two_taps_lead_from_any_page_to_three_lines_in_very_large_type(
    chromium: Browser, site: str, address: str, width: int
) -> None:
    with watched(chromium, site, viewport={"width": width, "height": 640}) as seen:
        assert seen.open(address) == []
        seen.page.locator("a.hurt:visible, [data-hurt-open]:visible").first.click()
        seen.page.locator(f"[data-hurt='{ROW}']").click()
        lines = seen.page.locator(".hurt-panel .acts li")
        expect(lines).to_have_count(3)
        assert lines.all_inner_texts() == [act.words for act in hurts()[ROW].acts]
        for place in range(3):
            expect(lines.nth(place)).to_be_in_viewport()
        size = seen.page.evaluate(
            "parseFloat(getComputedStyle(document.querySelector('.hurt-panel .acts li')).fontSize)"
        )
        assert size >= 24
        assert too_wide(seen.page) == []
        assert seen.told() == []


def test_the_button_is_of_its_own_on_every_page(site: str, sample_site: Path) -> None:
    pages = sorted(sample_site.rglob("*.html"))
    without = [
        page for page in pages if page.name != "404.html" and 'class="hurt"' not in page.read_text(encoding="utf-8")
    ]
    assert len(pages) > 100
    assert without == []


def test_a_clock_runs_where_time_is_the_treatment_and_runs_on_when_the_panel_is_closed(phone: Watched) -> None:
    phone.page.clock.install(time="2026-01-01T10:00:00Z")
    phone.open("index.html")
    # However long the clicks take on a busy machine, no time goes by but what the test lets go by.
    phone.page.clock.pause_at("2026-01-01T11:00:00Z")
    phone.page.locator("a.hurt").click()
    phone.page.locator(f"[data-hurt='{ROW}']").click()
    phone.page.get_by_role("button", name="Cooling: start 20 minutes").click()
    phone.page.clock.run_for(61_000)
    expect(phone.page.locator(".hurt-panel .aid-clock")).to_contain_text("18:59 to go")
    phone.page.get_by_role("button", name="Back to work").click()
    phone.page.clock.run_for(60_000)
    phone.page.locator("a.hurt").click()
    phone.page.locator(f"[data-hurt='{ROW}']").click()
    expect(phone.page.locator(".hurt-panel .aid-clock")).to_contain_text("17:59 to go")


def test_the_box_in_the_header_shows_first_aid_before_every_note(phone: Watched) -> None:
    phone.open("index.html")
    phone.page.fill("#find", "burn from plaster")
    first = phone.page.locator("#found li").first
    expect(first).to_contain_text("somebody is hurt")
    first.click()
    phone.page.wait_for_url("**/hurt.html#setting-gypsum")
    expect(phone.page.locator("#setting-gypsum")).to_be_in_viewport()


def test_the_finder_shows_the_acts_themselves_first(phone: Watched) -> None:
    phone.open("find.html#q=glue+in+eye")
    first = phone.page.locator(".hits > li").first
    expect(first.locator(".acts li")).to_have_count(3)
    phone.page.fill("[name=q]", "stuck mold")
    expect(phone.page.locator(".hits .somebody-hurt")).to_have_count(0)


@pytest.mark.parametrize("width", short([320, 390], 1))
def test_at_the_bench_it_is_two_taps_on_every_screen_beside_the_work(chromium: Browser, site: str, width: int) -> None:
    with watched(chromium, site, viewport={"width": width, "height": 640}) as seen:
        seen.open("bench/cast/face-piece@4.html")
        page = seen.page

        def two_taps() -> None:
            page.locator("a.hurt:visible, [data-hurt-open]:visible").first.click()
            page.locator(f"[data-hurt='{ROW}']").click()
            expect(page.locator(".hurt-panel .acts li")).to_have_count(3)
            expect(page.locator(".hurt-panel .acts li").nth(2)).to_be_in_viewport()
            page.get_by_role("button", name="Back to work").click()

        two_taps()
        page.get_by_role("button", name="Begin").click()
        steps = page.locator(".screen[data-screen='step']").count()
        for _ in range(steps):
            two_taps()
            page.evaluate("window.mothermoldBench.at(window.mothermoldBench.run().at + 1)")
        two_taps()
        page.locator("[data-do='runs']").click()
        two_taps()
        assert too_wide(page) == []
        assert seen.told() == []


def test_at_the_bench_the_doctor_is_told_what_was_used_so_far_with_lots_and_sheets(phone: Watched) -> None:
    phone.open("bench/cast/face-piece@4.html")
    page = phone.page
    page.get_by_role("button", name="Begin").click()
    stuff = page.evaluate("window.mothermoldBench.data.stuff.map((each) => each.title)")
    while not page.evaluate("window.mothermoldBench.steps[window.mothermoldBench.run().at].materials.length"):
        page.evaluate("window.mothermoldBench.at(window.mothermoldBench.run().at + 1)")
    first = page.evaluate("""() => { const bench = window.mothermoldBench, names = bench.steps[bench.run().at].materials;
        return bench.data.stuff.filter((each) => names.includes(each.material)).map((each) => each.title); }""")
    assert 0 < len(first) < len(stuff)
    page.locator("[data-hurt-open]:visible").click()
    page.locator("[data-hurt='chemical-on-skin']").click()
    told = page.locator(".hurt-copy").last
    expect(told).to_contain_text("used in this run so far")
    said = told.inner_text()
    assert all(each in said for each in first)
    assert not any(each in said for each in stuff if each not in first)
    assert "sheet in" in said


def test_a_recipe_tells_how_it_comes_off_somebody(phone: Watched, view: View) -> None:
    recipe = view.versions("lifecast/head")
    assert recipe is not None
    assert recipe.current is not None
    assert recipe.current.recipe is not None
    lines = recipe.current.recipe.off
    assert lines
    for address in ("recipes/lifecast/head.html", f"bench/lifecast/head@{recipe.current.number}.html"):
        phone.open(address)
        phone.page.locator("a.hurt:visible, [data-hurt-open]:visible").first.click()
        phone.page.locator("[data-hurt='panic']").click()
        panel = phone.page.locator(".hurt-panel")
        expect(panel).to_contain_text("How it comes off now")
        for each in lines:
            expect(panel).to_contain_text(each.split(".")[0])
        expect(panel).to_contain_text("For the doctor")


def test_without_scripts_it_is_a_page_of_anchors(chromium: Browser, site: str) -> None:
    with watched(chromium, site, viewport={"width": 320, "height": 568}, java_script_enabled=False) as seen:
        seen.page.goto(f"{site}recipes.html")
        seen.page.locator("a.hurt").click()
        seen.page.locator(f".hurts a[href='#{ROW}']").click()
        lines = seen.page.locator(f"#{ROW} .acts li")
        expect(lines).to_have_count(3)
        expect(lines.first).to_be_in_viewport()


def test_on_paper_it_is_one_sheet_for_the_wall(chromium: Browser, site: str) -> None:
    with watched(chromium, site) as seen:
        seen.page.goto(f"{site}hurt.html")
        for paper in ("A4", "Letter"):
            printed = seen.page.pdf(format=paper)
            assert printed.count(b"/Type /Page\n") == 1, paper


@pytest.mark.parametrize("theme", short(THEMES, 1))
def test_page_and_panel_are_for_everybody(chromium: Browser, site: str, theme: Theme) -> None:
    with watched(chromium, site, bypass_csp=True, viewport={"width": 390, "height": 844}, color_scheme=theme) as seen:
        seen.open("hurt.html")
        assert breaches(seen.page) == []
        assert too_small(seen.page, ".hurts a", 44) == []
        seen.page.locator("a.hurt").click()
        assert breaches(seen.page) == []
        seen.page.locator(f"[data-hurt='{ROW}']").click()
        assert breaches(seen.page) == []


def test_the_book_as_one_file_has_it_too(chromium: Browser, view: View, tmp_path: Path) -> None:
    build_one_file(view, ["cast/face-piece"], tmp_path / "one.html")
    with watched(chromium, (tmp_path / "one.html").as_uri(), viewport={"width": 360, "height": 640}) as seen:
        assert seen.open("") == []
        seen.page.locator("a.hurt:visible").click()
        seen.page.locator(f"[data-hurt='{ROW}']").click()
        expect(seen.page.locator(".hurt-panel .acts li")).to_have_count(3)
        assert seen.told() == []


@pytest.mark.parametrize("edition", EDITIONS)
def test_the_numbers_of_a_place_are_in_no_public_edition(sample_book: Path, tmp_path: Path, edition: str) -> None:
    book = Path(shutil.copytree(sample_book, tmp_path / "book", ignore=shutil.ignore_patterns("site")))
    settings = book / "recipes/book.yaml"
    kept = settings.read_text(encoding="utf-8").split("\nemergency:")[0]
    numbers = "emergency: {call: 0123 456, poison: 0987 654, address: Mill Lane 4, nearest: County hospital}"
    settings.write_text(f"{kept}\n{numbers}\n", encoding="utf-8")
    view = open_view(book, edition)  # type: ignore[arg-type]
    page, script = hurt_page(view).body, hurt_script(view)
    for secret in ("0123 456", "0987 654", "Mill Lane 4", "County hospital"):
        assert (secret in page, secret in script) == ((edition != "public"),) * 2
    assert "Nobody has written the numbers" not in page


def test_without_numbers_the_page_says_to_write_them_in(sample_book: Path, tmp_path: Path) -> None:
    book = Path(shutil.copytree(sample_book, tmp_path / "book", ignore=shutil.ignore_patterns("site")))
    settings = book / "recipes/book.yaml"
    kept = settings.read_text(encoding="utf-8").split("\nemergency:")[0]
    settings.write_text(f"{kept}\n", encoding="utf-8")
    assert "Nobody has written the numbers of this place" in hurt_page(open_view(book, "private")).body
