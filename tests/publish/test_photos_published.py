"""What a built site shows of photos: small and larger ones made of their pixels, for whom they are, and nothing else of the files."""

from __future__ import annotations

import re
import shutil
from pathlib import Path
from typing import Final

import pytest
from playwright.sync_api import Browser, expect

from book.photos import CANARY, MARKERS, jpeg, opened, patches, telling_files
from browser import breaches, watched
from history.repositories import FIRST, empty_book, recipe, start_repository
from mothermold.book.beside_pixels import told_beside
from mothermold.book.files import PHOTOS
from mothermold.pages.pictures import picture_file
from mothermold.publish.building import build_site
from mothermold.publish.carried.one_file import one_file
from mothermold.serve.living import LivingPages
from mothermold.view.view import open_view

# As they were laid into the folder by hand: each tells all it can, and one shows a face.
LAID: Final = {
    "stage.jpg": telling_files()["stage.jpg"],
    "phone.jpg": telling_files()["phone.jpg"],
    "behind.jpg": telling_files()["behind.jpg"],
    "iptc.jpg": telling_files()["iptc.jpg"],
    "face.jpg": jpeg(patches(900, 1500), comment=f"{CANARY}-FACE".encode()),
    "wide.jpg": jpeg(patches(1800, 900), comment=f"{CANARY}-WIDE".encode()),
    "unnamed.jpg": jpeg(patches(600, 600)),
    "broken.jpg": jpeg(patches(600, 600))[:3000],
}
RUN: Final = """id: r-a
kind: run
recipe: cast/cheek@1
started: 2026-02-03 09:00
outcome: good
kept: [{piece: F-01}]
visibility: public
photos:
  - {file: wide.jpg, alt: Piece from the front, view: front, taken: 2026-02-03 15:40, light: north window, face: no}
  - {file: phone.jpg, alt: Before, as: before, face: no}
  - {file: behind.jpg, alt: After, as: after, face: no}
  - {file: iptc.jpg, caption: On its side, face: no}
  - {file: face.jpg, alt: The wearer smiles}
  - {file: broken.jpg, alt: Half a photo, face: no}
  - {file: gone.jpg, alt: Nothing, face: no}
"""
PUBLIC: Final = ("behind", "iptc", "phone", "stage", "wide")


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A book open to the public whose photos tell much."""
    repository = start_repository(tmp_path_factory.mktemp("photos") / "book")
    open_to = {
        path: f"{text}visibility: public\n" if "materials" in path else text for path, text in empty_book().items()
    }
    pictures = "    pictures: [{file: stage.jpg, alt: As it should look, as: good, face: no}]\n"
    (repository.folder / PHOTOS).mkdir(parents=True)
    for name, data in LAID.items():
        (repository.folder / PHOTOS / name).write_bytes(data)
    repository.save(
        FIRST,
        open_to
        | {"recipes/cast/cheek.yaml": recipe(1) + pictures + "visibility: public\n", "recipes/runs/r-a.yaml": RUN},
    )
    return repository.folder


@pytest.fixture(scope="module")
def sites(book: Path) -> dict[str, Path]:
    """The book built for its owner and for the public."""
    for edition in ("private", "public"):
        build_site(book, edition, None)  # type: ignore[arg-type]
    return {edition: book / "site" / edition for edition in ("private", "public")}


def shown(site: Path) -> list[str]:
    return sorted(path.name for path in (site / "photos").iterdir())


def test_an_edition_has_the_photos_it_may_show_small_and_larger(sites: dict[str, Path]) -> None:
    small = ("behind", "iptc", "phone", "stage")
    assert shown(sites["public"]) == sorted([*(f"{each}-480.jpg" for each in small), "wide-1200.jpg", "wide-480.jpg"])
    assert set(shown(sites["private"])) - set(shown(sites["public"])) == {"face-1200.jpg", "face-480.jpg"}
    for name, size in (("wide-480.jpg", (480, 240)), ("wide-1200.jpg", (1200, 600)), ("phone-480.jpg", (160, 240))):
        assert opened((sites["public"] / "photos" / name).read_bytes()).size == size


def test_nothing_of_a_file_but_its_picture_is_in_a_site_or_in_what_is_kept(book: Path, sites: dict[str, Path]) -> None:
    for edition, site in sites.items():
        for path in site.rglob("*"):
            if path.is_file():
                data = path.read_bytes()
                assert CANARY.encode() not in data, path
                if path.suffix == ".jpg":
                    assert told_beside(data) == ()
                    assert [marker for marker in MARKERS if marker in data] == [], path
        assert CANARY not in one_file(open_view(book, edition))  # type: ignore[arg-type]
    kept = list((book / ".git/mothermold/photos").iterdir())
    assert kept
    assert all(CANARY.encode() not in path.read_bytes() for path in kept)


def test_a_hidden_photo_leaves_no_trace_in_a_wider_edition(sites: dict[str, Path]) -> None:
    every = b"".join(path.read_bytes() for path in sites["public"].rglob("*") if path.is_file())
    for word in (b"The wearer smiles", b"face.jpg", b"face-480", b"unnamed"):
        assert word not in every


def test_photos_are_asked_for_one_by_one_and_only_those_the_edition_shows(book: Path) -> None:
    owner, public = open_view(book, "private"), open_view(book, "public")
    assert picture_file(public, "photos/wide-480.jpg") == picture_file(owner, "photos/wide-480.jpg") is not None
    assert picture_file(owner, "photos/face-1200.jpg") is not None
    for asked in (
        "photos/face-480.jpg",
        "photos/unnamed-480.jpg",
        "photos/phone-1200.jpg",
        "photos/wide-2000.jpg",
        "photos/broken-480.jpg",
        "photos/../book-480.jpg",
        "photos/wide.jpg",
    ):
        assert picture_file(public, asked) is None, asked


def test_the_same_book_gives_the_same_bytes_with_and_without_what_was_kept(book: Path, sites: dict[str, Path]) -> None:
    before = {name: (sites["public"] / "photos" / name).read_bytes() for name in shown(sites["public"])}
    kept = book / ".git/mothermold/photos"
    for path in kept.iterdir():
        path.write_bytes(b"somebody was here " + CANARY.encode())
    view = open_view(book, "public")
    assert {name: picture_file(view, f"photos/{name}") for name in before} == before
    shutil.rmtree(kept)
    assert {name: picture_file(open_view(book, "public"), f"photos/{name}") for name in before} == before


def test_a_page_shows_photos_with_their_sizes_words_and_what_was_noted(sites: dict[str, Path]) -> None:
    page = (sites["public"] / "runs/r-a.html").read_text(encoding="utf-8")
    (wide,) = re.findall(r'<a class="larger" href="([^"]*)"><img ([^>]*)></a>', page)
    assert wide[0] == "../photos/wide-1200.jpg"
    for said in (
        'src="../photos/wide-480.jpg"', 'srcset="../photos/wide-480.jpg 480w, ../photos/wide-1200.jpg 1200w"',
        'alt="Piece from the front"', 'width="480" height="240"', 'loading="lazy"',
    ):  # fmt: skip
        assert said in wide[1]
    assert '<time datetime="2026-02-03T15:40">2026-02-03 15:40</time>, front, north window' in page
    pair = re.search(r'<div class="two">(.*?)</div>', page, re.DOTALL)
    assert pair
    assert re.findall(r"<strong>(\w+:)</strong>", pair[1]) == ["Before:", "After:"]
    assert 'alt="On its side"' in page
    assert "(the picture broken.jpg is not in the book: Half a photo)" in page
    assert "style=" not in page
    assert "only you see it" not in page
    assert "only you see it" in (sites["private"] / "runs/r-a.html").read_text(encoding="utf-8")


def test_what_is_still_to_be_taken_stands_on_the_owners_paper_alone(sites: dict[str, Path], chromium: Browser) -> None:
    assert "Photos still to take" not in (sites["public"] / "runs/r-a.html").read_text(encoding="utf-8")
    with watched(chromium, f"{sites['private'].as_uri()}/") as seen:
        assert seen.open("runs/r-a.html") == []
        frames = seen.page.locator(".slots")
        expect(frames).to_be_hidden()
        seen.page.emulate_media(media="print")
        expect(frames).to_be_visible()
        assert frames.locator("li").all_inner_texts() == ["Left edge", "Right edge", "Back"]


def test_the_bench_and_the_one_file_show_a_photo_and_lead_nowhere(book: Path, sites: dict[str, Path]) -> None:
    bench = (sites["public"] / "bench/cast/cheek@1.html").read_text(encoding="utf-8")
    assert 'src="../../photos/stage-480.jpg"' in bench
    assert 'class="larger"' not in bench
    carried = one_file(open_view(book, "public"))
    assert carried.count('src="data:image/jpeg;base64,') == 2  # on the recipe and at the bench
    assert "photos/" not in carried


def test_a_tap_opens_the_larger_photo_and_back_escape_and_the_button_close_it(
    sites: dict[str, Path], chromium: Browser
) -> None:
    with watched(chromium, f"{sites['private'].as_uri()}/", bypass_csp=True) as seen:
        assert seen.open("runs/r-a.html") == []
        assert breaches(seen.page) == []
        page, address = seen.page, seen.page.url
        large, link = page.locator("dialog.seen-large"), page.locator("a.larger").first
        for close in (page.go_back, lambda: page.keyboard.press("Escape"), lambda: large.get_by_role("button").click()):
            link.click()
            expect(large).to_be_visible()
            expect(large.locator("img")).to_have_attribute("alt", "Piece from the front")
            expect(large.locator("p")).to_contain_text("Piece from the front")
            assert large.locator("a").count() == 0
            assert breaches(page) == []
            assert page.evaluate("document.querySelector('dialog img').src").endswith("photos/wide-1200.jpg")
            close()
            expect(large).to_be_hidden()
            page.wait_for_function("() => window.history.state === null")
            assert page.url == address
        assert seen.told() == []


def test_pages_made_when_asked_for_hand_out_a_photo_as_it_is_now_and_only_to_whom_it_is_shown(
    book: Path, tmp_path: Path
) -> None:
    own = Path(shutil.copytree(book, tmp_path / "book"))
    living = LivingPages(own, "public", tmp_path, lambda _text: None)
    before = living.read("/photos/wide-480.jpg")
    assert before is not None
    assert before[0] == "photos/wide-480.jpg"
    assert CANARY.encode() not in before[1]
    for hidden in ("/photos/face-480.jpg", "/photos/unnamed-480.jpg", "/photos/wide.jpg", "/recipes/photos/wide.jpg"):
        assert living.read(hidden) is None
    (own / PHOTOS / "wide.jpg").write_bytes(jpeg(patches(1000, 2000), comment=CANARY.encode()))
    after = living.read("/photos/wide-480.jpg")
    assert after is not None
    assert opened(after[1]).size == (240, 480)
    page = living.read("/runs/r-a.html")
    assert page is not None
    assert b'width="240" height="480"' in page[1]
