"""The site as a zip for a stick: taken apart into a folder it opens with no server and no network, and does what the site does."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Browser, expect

from browser import breaches, watched
from crawl import crawl, files_below
from mothermold.cli.main import main
from mothermold.ground.errors import RefusedError
from mothermold.publish.carried.zipped import DOOR, INSIDE, build_zip, site_files, zipped
from mothermold.view.editions import Edition
from mothermold.view.view import View, open_view


@pytest.fixture(scope="module")
def stick(sample_view: Callable[[Edition], View], tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The class edition of the sample book, taken apart."""
    folder = tmp_path_factory.mktemp("stick")
    view = sample_view("class")
    with zipfile.ZipFile(io.BytesIO(zipped(view, site_files(view)))) as archive:
        archive.extractall(folder)
    return folder


def test_one_click_opens_it_and_search_calculator_and_bench_work_with_the_network_cut(
    chromium: Browser, stick: Path
) -> None:
    assert sorted(path.name for path in stick.iterdir()) == [INSIDE, DOOR]
    with watched(chromium, stick.as_uri() + "/", viewport={"width": 390, "height": 844}, accept_downloads=True) as seen:
        page = seen.page
        # The door leads on by itself, so it is not looked at before that.
        page.goto(f"{stick.as_uri()}/{DOOR}")
        page.wait_for_url(f"**/{INSIDE}/index.html")
        assert seen.told() == []
        # Where pages of a site lead through the search, here too, with its lines fetched when somebody searches.
        assert seen.open(f"{INSIDE}/find.html") == []
        page.locator(".finder [name=q]").fill("cobwebs")
        expect(page.locator(".hits > li").first).to_contain_text("Cobwebs")
        assert seen.open(f"{INSIDE}/recipes/cast/face-piece.html") == []
        page.locator("details.another > summary").first.click()
        form = page.locator("form.calculator").first
        form.get_by_label("How much?").fill("240 ml")
        form.get_by_role("button", name="Work it out").click()
        expect(form.locator("table")).to_contain_text(" g")
        assert seen.open(f"{INSIDE}/bench/cast/face-piece@4.html") == []
        page.locator("[name=room]").fill("21")
        page.get_by_role("button", name="Begin", exact=True).click()
        page.locator("[data-do=next]").click()
        page.reload()
        expect(page.locator("[data-said=where]")).to_contain_text("2 of")
        page.locator("[data-hurt-open]:visible, a.hurt:visible").first.click()
        expect(page.locator("#hurt-title")).to_be_visible()
        assert seen.told() == []


def test_the_door_says_what_it_is_where_the_folder_is_missing(chromium: Browser, stick: Path, tmp_path: Path) -> None:
    (tmp_path / DOOR).write_bytes((stick / DOOR).read_bytes())
    text = (tmp_path / DOOR).read_text(encoding="utf-8")
    assert "Take the whole zip apart first" in text
    (tmp_path / "stays.html").write_text(text.replace('http-equiv="refresh"', 'name="no"'), encoding="utf-8")
    with watched(chromium, tmp_path.as_uri() + "/", viewport={"width": 390, "height": 844}) as seen:
        seen.page.goto(seen.home + "stays.html")
        assert breaches(seen.page) == []


def test_every_link_in_it_leads_to_what_is_in_it(stick: Path) -> None:
    files = files_below(stick / INSIDE)
    found = crawl(files)
    assert found.dead + found.outside == []
    assert {name for name in files if name.endswith(".html")} - found.reached == set()
    # What serves a server only: the page for what is missing, the worker, what stands where nothing was kept.
    assert files.keys() & {"404.html", "worker.js", "offline.html"} == set()


def test_the_same_book_gives_the_same_bytes_and_no_name_leads_out_of_the_folder(good_book: Path) -> None:
    view = open_view(good_book, "private")
    one, other = (zipped(open_view(good_book, "private"), site_files(view)) for _ in range(2))
    assert one == other
    with zipfile.ZipFile(io.BytesIO(one)) as archive:
        assert archive.testzip() is None
        infos = archive.infolist()
    names = [each.filename for each in infos]
    assert names[0] == DOOR
    assert names[1:] == sorted(names[1:])
    assert all(name.startswith(f"{INSIDE}/") for name in names[1:])
    assert not [name for name in names if ".." in name.split("/") or name.startswith("/") or "\\" in name]
    assert len({each.date_time for each in infos}) == 1
    assert {each.external_attr >> 16 for each in infos} == {0o644}


def test_it_is_of_the_class_edition_unless_told_and_no_wider_one_is_written_over(
    good_book: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    asked = ["-C", str(good_book), "build", "--zip"]
    assert main(asked) == 0
    made = good_book / "site" / "class-book.zip"
    assert f"{made} holds" in capsys.readouterr().out
    assert zipfile.ZipFile(made).comment == b"A book of mothermold, the class edition"
    before = made.read_bytes()
    assert main(asked) == 0
    assert made.read_bytes() == before
    # As with a folder: what showed more is not written over by what shows less, or somebody gives the old one away.
    assert main([*asked, "--for", "private", "--out", str(made)]) == 0
    for narrower in ("class", "public"):
        capsys.readouterr()
        assert main([*asked, "--for", narrower, "--out", str(made)]) == 1
        assert "wider-edition" in capsys.readouterr().err
    assert zipfile.ZipFile(made).comment.endswith(b"private edition")
    assert main([*asked, "--forget"]) == 2
    assert main([*asked, "--one-file"]) == 2


@pytest.mark.parametrize("bytes_there", [b"my own notes", b"PK\x03\x04 broken", b""])
def test_nothing_of_somebody_else_is_written_over(good_book: Path, tmp_path: Path, bytes_there: bytes) -> None:
    mine = tmp_path / "mine.zip"
    mine.write_bytes(bytes_there)
    with pytest.raises(RefusedError, match="put there by somebody else"):
        build_zip(open_view(good_book, "class"), mine)
    assert mine.read_bytes() == bytes_there
