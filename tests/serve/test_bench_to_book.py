"""From the bench into the book: a whole run on a phone, handed over, taken in twice, and found once on the site.

Once by a file from a phone without any network, once through the inbox of `serve --phone` from another network world.
"""

from __future__ import annotations

import json
import re
import shutil
from collections.abc import Iterator
from html import unescape
from pathlib import Path
from typing import Final

import pytest
from playwright.sync_api import Browser, expect

from browser import watched
from mothermold.cli.main import main
from mothermold.publish.building import build_site
from mothermold.serve.inbox import Inbox
from mothermold.serve.living import LivingPages
from mothermold.serve.rooms import Holdings
from mothermold.serve.serving import open_server
from mothermold.view.view import open_view
from serve.callers import running
from strand import Strand, cable

BENCH: Final = "bench/cast/face-piece@4.html"
STEPS: Final = 7

# What the artist does, the same words for both ways. Half way the page is loaded anew.
WORKS: Final = """
def work(page):
    page.get_by_label("Today's mold").select_option("face-mold-2")
    page.get_by_label("Room temperature").fill("21,5")
    page.get_by_role("button", name="Begin").click()
    def tap(deed):
        page.locator(f"[data-do='{deed}']:visible").first.click()
    for _ in range(3):
        tap("next")
    tap("start-clock")
    tap("next")
    page.reload()
    page.locator(".clock-row.pot:visible").wait_for()
    tap("closed")
    tap("next")
    tap("wrong")
    page.locator("[data-failure='cracked-mold']").click()
    page.get_by_text("Stop levering.").wait_for()
    page.locator("[name='wrong-note']").fill('Small: at the "chin" # left')
    page.locator("[name='harm']").select_option("cosmetic")
    tap("keep-wrong")
    tap("next")
    tap("next")
    tap("outcome")
    page.locator("[name='flashing']").fill("213,8")
    page.locator("[name='piece']").fill("F-77")
    tap("next")
"""
_made: dict[str, object] = {}
exec(WORKS, _made)  # the other network world runs the very same text


@pytest.fixture
def book(sample_book: Path, sample_site: Path, tmp_path: Path) -> Path:
    """The sample book with its site; what a test brings stays in this copy."""
    folder = Path(shutil.copytree(sample_book, tmp_path / "book"))
    shutil.copytree(sample_site, folder / "site" / "private")
    return folder


@pytest.fixture
def strand() -> Iterator[Strand]:
    with cable() as laid:
        yield laid


def the_one_run(book: Path) -> str:
    """The only run that is in the book and was not told by the story; nothing is wrong or doubtful about it."""
    (path,) = book.rglob("recipes/**/*face-piece-[0-9][0-9][0-9][0-9]*.yaml")
    file = path.relative_to(book).as_posix()
    assert file.startswith("recipes/builds/saltpan-keeper/runs/r-")
    assert [notice for notice in open_view(book, "private").notices if notice.file == file] == []
    return path.stem


def shown_once(book: Path, run: str) -> None:
    """The run has its page, stands in the list of runs once, and the failure counts it."""
    build_site(book, "private", None)
    site = book / "site" / "private"
    page = unescape((site / "runs" / f"{run}.html").read_text(encoding="utf-8"))
    for words in ("213.8 g", "F-77", 'Small: at the "chin" # left'):
        assert words in page
    links = re.findall(r'href="([^"]+)"', (site / "runs.html").read_text(encoding="utf-8"))
    assert sum(link.endswith(f"runs/{run}.html") for link in links) == 1
    assert f"runs/{run}.html" in (site / "failures" / "cracked-mold.html").read_text(encoding="utf-8")
    known = (site / "assets" / "bench-book.js").read_text(encoding="utf-8")
    assert json.dumps(run) in known


def test_a_run_on_a_phone_without_signal_is_brought_twice_and_found_once(
    chromium: Browser, book: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    home = f"{(book / 'site' / 'private').as_uri()}/"
    with watched(chromium, home, viewport={"width": 390, "height": 844}, accept_downloads=True) as seen:
        assert seen.open(BENCH) == []
        _made["work"](seen.page)  # type: ignore[operator]
        with seen.page.expect_download() as loaded:
            seen.page.locator("[data-do='save-file']:visible").first.click()
        file = tmp_path / loaded.value.suggested_filename
        loaded.value.save_as(file)
        expect(seen.page.locator("[data-said='count']")).to_have_text("1 run still here")
        for said in ("1 run came in.", "1 run was in the book already."):
            assert main(["-C", str(book), "bring", str(file)]) == 0
            assert said in capsys.readouterr().out
        shown_once(book, the_one_run(book))
        # The page built with it knows the run, and the device need not keep it any longer.
        seen.open(BENCH)
        expect(seen.page.locator("[data-said='count']")).to_have_text("All in the book")
        assert seen.told() == []


ELSEWHERE: Final = (
    WORKS
    + """
import shutil, sys
from playwright.sync_api import sync_playwright, expect
found = next((path for name in ("chromium-headless-shell", "chromium", "chromium-browser", "google-chrome") if (path := shutil.which(name))), None)
with sync_playwright() as playwright:
    browser = playwright.chromium.launch(executable_path=found, args=["--no-sandbox", "--disable-gpu", "--no-proxy-server"])
    page = browser.new_page(viewport={"width": 390, "height": 844})
    page.set_default_timeout(15000)
    page.goto(sys.argv[1])
    expect(page.locator("h1")).to_be_visible(timeout=15000)
    page.goto(sys.argv[2])
    work(page)
    for _ in range(2):
        page.locator("[data-do='send']:visible").first.click()
        expect(page.get_by_text("On the computer now.")).to_be_visible(timeout=15000)
    browser.close()
"""
)


def test_a_run_sent_through_the_phones_door_from_another_network_is_brought_and_found_once(
    book: Path, tmp_path: Path, strand: Strand, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "around").mkdir()
    pages = LivingPages(book, "private", tmp_path / "around", lambda _said: None)
    holdings = Holdings(pages, pages.news, Inbox(book))
    with open_server(strand.here, None, holdings, lambda _said: None) as server, running(server):
        doors = server.rooms.doors
        strand.run(ELSEWHERE, doors.invitation, f"{doors.origin}/{BENCH}", patience=120)
    assert len(list((book / "inbox").glob("*.yaml"))) == 1
    for words in ("1 run came in.", "Nothing to bring: the inbox is empty."):
        assert main(["-C", str(book), "bring"]) == 0
        assert words in capsys.readouterr().out
    shown_once(book, the_one_run(book))
