"""A served site is kept on the device at the first visit: it reads without signal, changes at a tap, and lets go."""

from __future__ import annotations

import json
import os
import re
import shutil
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path
from typing import Any, Final
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import Browser, expect

from book.photos import jpeg, patches
from browser import Watched, breaches, served, too_small, too_wide, watched
from history.repositories import RECIPE, Repository, empty_book, recipe
from mothermold.book.files import PHOTOS
from mothermold.publish import offline
from mothermold.publish.building import build_site
from mothermold.publish.offline import build_name, kept_file, kept_first

BELOW: Final = "/some/place/"
CHEEK: Final = "recipes/cast/cheek.html"
AIR: Final = "failures/air-at-cheek.html"
OLD: Final = "versions/cast/cheek@1.html"
FONT: Final = "assets/fonts/besley.woff2"
NOTE: Final = "recipes/failures/air-at-cheek.yaml"
TAP: Final = "The book has changed. Tap to update."
SHARED: Final = "".join(
    f"visibility: public\n{line}" if line.startswith("title") else line
    for line in (empty_book()[NOTE] or "").splitlines(keepends=True)
)


class Host:
    """A folder of sites on one computer that can lose its connection and come back at the same address."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.on = ExitStack()
        self.cut = False
        self.address = self.on.enter_context(served(folder, BELOW))

    def stop(self) -> None:
        self.cut = True
        self.on.close()

    def start(self) -> None:
        self.on.enter_context(served(self.folder, BELOW, urlsplit(self.address).port or 0))


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Small books as sites, built once: as it is, changed, forgetting, and the public edition."""
    folder = tmp_path_factory.mktemp("offline")
    book = Repository(folder / "book")
    photo = "photos:\n  - {file: air.jpg, alt: Round holes in a cheek, face: no}\n"
    (book.folder / PHOTOS).mkdir(parents=True)
    (book.folder / PHOTOS / "air.jpg").write_bytes(jpeg(patches(1800, 1200)))
    book.write(empty_book() | {RECIPE: recipe(1), NOTE: SHARED + photo})
    build_site(book.folder, "private", folder / "first")
    build_site(book.folder, "private", folder / "forget", forget=True)
    build_site(book.folder, "public", folder / "public")
    book.write({NOTE: SHARED.replace("Air at the cheek", "Air under the jowl") + photo})
    build_site(book.folder, "private", folder / "second")
    return folder


@pytest.fixture
def host(built: Path, tmp_path: Path) -> Iterator[Host]:
    shutil.copytree(built / "first", tmp_path / "one")
    found = Host(tmp_path)
    yield found
    found.stop()


@pytest.fixture(scope="module", autouse=True)
def _patient() -> Iterator[None]:
    """A worker takes over when it has loaded a whole site; on a busy computer that lasts."""
    expect.set_options(timeout=20_000)
    yield
    expect.set_options(timeout=5_000)


@contextmanager
def reading(chromium: Browser, host: Host, site: str = "one", **how: Any) -> Iterator[Watched]:
    """A device that never saw the site; whatever goes wrong meanwhile fails the test."""
    with watched(chromium, f"{host.address}{site}/", **how) as seen:
        yield seen
        # Once the line was cut, the browser itself notes each try that leads nowhere.
        assert [fault for fault in seen.told() if not (host.cut and "ERR_CONNECTION_REFUSED" in fault)] == []


def cut(seen: Watched, host: Host) -> None:
    """No signal, and nobody who would answer either."""
    host.stop()
    seen.page.context.set_offline(True)


def publish(site: Path, where: Path) -> None:
    """Puts another build in a site's place; the server tells changes by the second, so its files are a minute younger."""
    later = max(path.stat().st_mtime for folder in (site, where) for path in folder.rglob("*")) + 60
    shutil.rmtree(where)
    shutil.copytree(site, where)
    for path in where.rglob("*"):
        os.utime(path, (later, later))


def keep(seen: Watched, address: str = "index.html") -> None:
    seen.page.goto(seen.home + address)
    expect(seen.page.locator(".keeping")).to_contain_text(re.compile(r"Kept on this device, \d+ pages\."))


def caches(seen: Watched) -> dict[str, list[str]]:
    """What the origin keeps: the addresses in each cache."""
    return dict(
        seen.page.evaluate(
            """async () => { const found = {}; for (const name of await caches.keys()) {
            found[name] = (await (await caches.open(name)).keys()).map((each) => new URL(each.url).pathname); }
            return found; }"""
        )
    )


def scopes(seen: Watched) -> list[str]:
    return list(
        seen.page.evaluate(
            "navigator.serviceWorker.getRegistrations().then((all) => all.map((each) => new URL(each.scope).pathname))"
        )
    )


def until(seen: Watched, what: str) -> None:
    seen.page.wait_for_function(f"async () => {what}", timeout=20_000)


# The list


def page(address: str, body: str = "") -> offline.Kept:
    return kept_file(address, f"<p>{body}</p>".encode())


def test_what_is_needed_at_work_comes_first_and_history_is_kept_when_visited() -> None:
    files = [
        page(OLD), page("compare/cast/cheek.html"), page("runs/r-1.html"), page("materials/wax.html"), page(CHEEK, '<img src="../../pictures/a.svg">'),
        page(AIR), page("bench/cast/cheek@1.html"), page("index.html"), page("offline.html"), page("404.html"), page("worker.js"),
        page("assets/mothermold.js"), page("assets/fonts/x.license.txt"), page("pictures/a.svg"), page("pictures/old.svg"),
    ]  # fmt: skip
    assert kept_first(files) == [
        "assets/mothermold.js", "index.html", "offline.html", "bench/cast/cheek@1.html", AIR, CHEEK, "pictures/a.svg", "materials/wax.html",
    ]  # fmt: skip


def test_a_picture_a_hand_written_page_shows_is_kept_wherever_it_lies() -> None:
    files = [page("about.html", '<img alt="" src="img/of%20me.png">'), page("img/of me.png"), page("img/other.png")]
    assert kept_first(files) == ["about.html", "img/of me.png"]


def test_keeping_has_a_limit_of_files_and_of_bytes(monkeypatch: pytest.MonkeyPatch) -> None:
    files = [page("index.html"), page(AIR, "x" * 500), page(CHEEK)]
    monkeypatch.setattr(offline, "MOST_BYTES", 100)
    assert kept_first(files) == ["index.html", CHEEK]
    monkeypatch.setattr(offline, "MOST_FILES", 1)
    assert kept_first(files) == ["index.html"]


def test_the_name_of_a_build_is_that_of_its_files_in_any_order_and_changes_with_each() -> None:
    files = [page("index.html"), page(AIR)]
    name = build_name(files)
    assert build_name(files[::-1]) == name
    assert (
        len(
            {name, build_name(files[:1]), build_name([files[0], page(AIR, "new")]), build_name([files[0], page(CHEEK)])}
        )
        == 4
    )


def test_the_list_of_a_site_names_all_its_files_with_their_digests(built: Path) -> None:
    first, _, _ = (built / "first" / "worker.js").read_text(encoding="utf-8").partition("\n")
    told = json.loads(first.removeprefix("const SITE = ").removesuffix(";"))
    listed = json.loads((built / "first" / ".mothermold-pages.json").read_text(encoding="utf-8"))["files"]
    assert told["first"].keys() | told["later"].keys() == set(listed) - {"404.html", "worker.js"}
    assert told["edition"] == "private"
    assert {CHEEK, AIR, "index.html", "offline.html", "assets/find-index.js"} <= told["first"].keys()
    assert OLD in told["later"]
    for address, digest in (told["first"] | told["later"]).items():
        assert kept_file(address, (built / "first" / address).read_bytes()).digest == digest


# Without signal


def test_after_the_first_visit_the_book_reads_without_signal(chromium: Browser, host: Host) -> None:
    with reading(chromium, host, viewport={"width": 390, "height": 844}) as seen:
        keep(seen)
        policy = seen.page.locator("meta[http-equiv='Content-Security-Policy']").get_attribute("content") or ""
        assert "worker-src 'self'" in policy
        assert scopes(seen) == [f"{BELOW}one/"]
        cut(seen, host)
        for address, words in (
            ("", "Start"),
            ("failures.html", "Air at the cheek"),
            (CHEEK, "Fill and close"),
            (AIR, "round holes"),
        ):
            assert seen.open(address) == []
            expect(seen.page.locator("body")).to_contain_text(words)
        assert seen.page.evaluate("getComputedStyle(document.querySelector('header.top')).position") == "relative"
        assert seen.page.evaluate("document.fonts.load('20px Besley').then((all) => all.length)") == 1
        seen.page.locator("#find").press_sequentially("holes cheek")
        expect(seen.page.locator("#found [role=option]").first).to_contain_text("Air at the cheek")
        seen.page.locator("#find").press("Enter")
        seen.page.wait_for_url(f"**/{AIR}")


@pytest.mark.campaign
def test_without_signal_a_sharp_screen_shows_the_small_photo_where_the_larger_is_not_kept(
    chromium: Browser, host: Host
) -> None:
    with reading(chromium, host, viewport={"width": 390, "height": 844}, device_scale_factor=3) as seen:
        keep(seen)
        kept = [each for cache in caches(seen).values() for each in cache if "/photos/" in each]
        assert kept == [f"{BELOW}one/photos/air-480.jpg"]
        cut(seen, host)
        assert seen.open(AIR) == []
        photo = seen.page.locator("figure img")
        photo.scroll_into_view_if_needed()
        seen.page.wait_for_function("() => document.querySelector('figure img').naturalWidth > 0")
        assert photo.evaluate("(image) => image.currentSrc").endswith("air-1200.jpg")


def test_a_page_not_kept_says_so_and_is_kept_once_it_was_visited(chromium: Browser, host: Host) -> None:
    with reading(chromium, host) as seen:
        keep(seen)
        host.stop()
        seen.page.goto(seen.home + OLD)
        expect(seen.page.locator("h1")).to_have_text("Not kept on this device yet")
        assert breaches(seen.page) == []
        again = seen.page.get_by_role("link", name="Try that page again")
        host.start()
        again.click()
        expect(seen.page).to_have_url(seen.home + OLD)
        until(seen, f"(await caches.match({seen.home + OLD!r})) !== undefined")
        host.stop()
        seen.page.reload()
        expect(seen.page.locator("h1")).to_contain_text("Small cheek piece")


@pytest.mark.campaign
def test_nothing_but_an_address_of_the_site_is_offered_again(chromium: Browser, host: Host) -> None:
    with reading(chromium, host) as seen:
        keep(seen)
        for mark in (
            "",
            "#",
            "#//elsewhere.invalid/x",
            "#javascript:alert(1)",
            "#../two/index.html",
            "#https://elsewhere.invalid",
        ):
            seen.page.goto("about:blank")
            seen.open(f"offline.html{mark}")
            expect(seen.page.locator(".again")).to_be_hidden()


@pytest.mark.campaign
def test_two_books_of_one_host_keep_apart(chromium: Browser, host: Host, built: Path) -> None:
    shutil.copytree(built / "second", host.folder / "one" / "within")
    with reading(chromium, host) as seen:
        keep(seen)
        keep(seen, "within/index.html")
        assert sorted(scopes(seen)) == [f"{BELOW}one/", f"{BELOW}one/within/"]
        inner, outer = sorted(caches(seen).items(), key=lambda cache: len(cache[0]), reverse=True)
        assert all(address.startswith(f"{BELOW}one/within/") for address in inner[1])
        assert not any("/within/" in address for address in outer[1])
        cut(seen, host)
        for place, title in (("", "Air at the cheek"), ("within/", "Air under the jowl")):
            seen.page.goto(f"{seen.home}{place}{AIR}")
            expect(seen.page.locator("h1")).to_have_text(title)
        seen.page.get_by_role("button", name="Forget what this device keeps").click()
        expect(seen.page.locator(".keeping")).to_contain_text("as you asked")
        assert scopes(seen) == [f"{BELOW}one/"]
        assert dict([outer]) == caches(seen)


@pytest.mark.campaign
def test_a_book_that_forgets_leaves_the_one_around_it_alone(chromium: Browser, host: Host, built: Path) -> None:
    shutil.copytree(built / "forget", host.folder / "one" / "within")
    with reading(chromium, host) as seen:
        keep(seen)
        before = caches(seen)
        # Its worker was never there, so the one that answers for its pages is the other book's.
        assert seen.open("within/index.html") == []
        seen.page.wait_for_load_state("networkidle")
        assert (caches(seen), scopes(seen)) == (before, [f"{BELOW}one/"])


# A new build


def test_a_new_build_is_said_and_shown_at_a_tap_and_never_by_itself(chromium: Browser, host: Host, built: Path) -> None:
    with reading(chromium, host, viewport={"width": 390, "height": 844}) as seen:
        keep(seen, AIR)
        (before,) = caches(seen)
        publish(built / "second", host.folder / "one")
        seen.page.reload()
        bar = seen.page.get_by_role("status").get_by_role("button", name=TAP)
        expect(bar).to_be_visible()
        expect(seen.page.locator("h1")).to_have_text("Air at the cheek")
        assert too_small(seen.page, ".news button, .keeping button", 44) == []
        assert too_wide(seen.page) == []
        assert breaches(seen.page) == []
        bar.click()
        expect(seen.page.locator("h1")).to_have_text("Air under the jowl")
        expect(seen.page.locator(".keeping")).to_contain_text("Kept on this device")
        expect(bar).to_have_count(0)
        (after,) = caches(seen)
        assert after != before


@pytest.mark.campaign
def test_what_did_not_change_is_not_loaded_again(chromium: Browser, host: Host, built: Path) -> None:
    with reading(chromium, host) as seen:
        keep(seen)
        seen.page.goto(seen.home + OLD)
        until(seen, f"(await caches.match({seen.home + OLD!r})) !== undefined")
        publish(built / "second", host.folder / "one")
        # Gone from the host, but listed, the same, and kept from before: the new build is whole without them.
        for name in (FONT, OLD):
            (host.folder / "one" / name).unlink()
        seen.page.goto(seen.home + AIR)
        seen.page.get_by_role("button", name=TAP).click()
        expect(seen.page.locator("h1")).to_have_text("Air under the jowl")
        (names,) = caches(seen).values()
        assert {f"{BELOW}one/{FONT}", f"{BELOW}one/{OLD}"} <= set(names)


def test_a_narrower_edition_waits_for_nobody_and_leaves_nothing_of_the_wider_one(
    chromium: Browser, host: Host, built: Path
) -> None:
    with reading(chromium, host) as seen:
        keep(seen)
        assert any(address.endswith(CHEEK) for address in next(iter(caches(seen).values())))
        publish(built / "public", host.folder / "one")
        seen.page.reload()
        # Nobody taps.
        until(seen, "(await caches.keys()).every((name) => name.includes(' public '))")
        expect(seen.page.get_by_role("button", name=TAP)).to_be_visible()
        seen.page.reload()
        expect(seen.page.locator(".edition")).to_have_text("public edition")
        kept = next(iter(caches(seen).values()))
        assert f"{BELOW}one/{AIR}" in kept
        assert not [address for address in kept if address.endswith(CHEEK)]


@pytest.mark.campaign
def test_a_file_that_is_not_of_the_build_is_shown_but_not_kept(chromium: Browser, host: Host) -> None:
    text = (host.folder / "one" / OLD).read_text(encoding="utf-8")
    (host.folder / "one" / OLD).write_text(text.replace("Small cheek", "Strange cheek"), encoding="utf-8")
    with reading(chromium, host) as seen:
        keep(seen)
        seen.page.goto(seen.home + OLD)
        expect(seen.page.locator("h1")).to_contain_text("Strange cheek")
        keep(seen, AIR)
        assert not [address for address in next(iter(caches(seen).values())) if address.endswith(OLD)]


@pytest.mark.campaign
def test_a_build_that_is_not_whole_on_the_host_is_not_kept_and_tried_again(chromium: Browser, host: Host) -> None:
    note = host.folder / "one" / AIR
    text = note.read_text(encoding="utf-8")
    note.write_text(text.replace("round", "square"), encoding="utf-8")
    with watched(chromium, f"{host.address}one/") as seen:
        seen.page.goto(seen.home)
        expect(seen.page.locator(".keeping")).to_contain_text("loading it did not finish")
        note.write_text(text, encoding="utf-8")
        keep(seen)


# Letting go


def test_a_reader_makes_the_device_forget_and_it_stays_so_until_asked_for_again(chromium: Browser, host: Host) -> None:
    with reading(chromium, host) as seen:
        keep(seen)
        seen.page.get_by_role("button", name="Forget what this device keeps").click()
        expect(seen.page.locator(".keeping")).to_contain_text("Not kept on this device, as you asked.")
        # The worker still stands behind this page, and keeps nothing more.
        seen.page.evaluate(f"fetch({OLD!r}).then((answer) => answer.text())")
        assert (caches(seen), scopes(seen)) == ({}, [])
        seen.open(CHEEK)
        expect(seen.page.locator(".keeping")).to_contain_text("as you asked")
        assert (caches(seen), scopes(seen)) == ({}, [])
        seen.page.get_by_role("button", name="Keep it on this device").click()
        expect(seen.page.locator(".keeping")).to_contain_text("Kept on this device")
        assert len(caches(seen)) == 1
        # And at once back again, on the same page, while its first worker still stands there.
        seen.page.get_by_role("button", name="Forget what this device keeps").click()
        seen.page.get_by_role("button", name="Keep it on this device").click()
        expect(seen.page.locator(".keeping")).to_contain_text(re.compile(r"Kept on this device, \d\d pages"))
        expect(seen.page.get_by_role("button", name=TAP)).to_have_count(0)


def test_a_build_that_forgets_calls_back_whatever_was_kept(chromium: Browser, host: Host, built: Path) -> None:
    with reading(chromium, host) as seen:
        keep(seen)
        publish(built / "forget", host.folder / "one")
        seen.page.reload()
        until(seen, "(await caches.keys()).length === 0 && !(await navigator.serviceWorker.getRegistrations()).length")
        expect(seen.page.locator(".keeping")).to_be_hidden()
        seen.page.get_by_role("button", name=TAP).click()
        expect(seen.page.locator("body:not([data-keeps])")).to_have_count(1)
        seen.open(AIR)
        assert (caches(seen), scopes(seen)) == ({}, [])
        expect(seen.page.locator(".keeping")).to_be_hidden()


def test_a_site_whose_worker_is_gone_lets_go(chromium: Browser, host: Host) -> None:
    with watched(chromium, f"{host.address}one/") as seen:
        keep(seen)
        (host.folder / "one" / "worker.js").unlink()
        seen.page.reload()
        expect(seen.page.locator(".keeping")).to_contain_text("the site no longer offers it")
        assert (caches(seen), scopes(seen)) == ({}, [])


@pytest.mark.campaign
def test_a_site_that_cannot_be_reached_keeps_what_it_has(chromium: Browser, host: Host) -> None:
    with watched(chromium, f"{host.address}one/") as seen:
        keep(seen)
        host.stop()
        keep(seen, CHEEK)
        # The browser itself notes each line that leads nowhere.
        assert [fault for fault in seen.told() if "ERR_CONNECTION_REFUSED" not in fault] == []
        assert scopes(seen) == [f"{BELOW}one/"]


# Where it cannot be


def test_from_a_folder_nothing_is_asked_and_nothing_said(chromium: Browser, host: Host) -> None:
    with watched(chromium, f"{(host.folder / 'one').as_uri()}/") as seen:
        assert seen.open(CHEEK) == []
        expect(seen.page.locator(".keeping")).to_be_hidden()


def test_without_https_the_page_says_why_nothing_is_kept(chromium: Browser, host: Host) -> None:
    with watched(chromium, f"{host.address}one/") as seen:
        seen.page.add_init_script("Object.defineProperty(window, 'isSecureContext', { value: false })")
        assert seen.open(CHEEK) == []
        expect(seen.page.locator(".keeping")).to_have_text("Not kept on this device (needs https).")
        assert scopes(seen) == []
