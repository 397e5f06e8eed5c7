"""What all tests share: the sample book told once, opened once a worker and built once an edition.

Nothing of it may be written to; who wants to write takes a copy (``own_sample_book``, or ``shutil.copytree``).
"""

from __future__ import annotations

import gc
import os
import pickle
import shutil
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import pytest
from hypothesis import settings

from mothermold.desk.story import replay_story
from mothermold.pages.all_pages import all_pages
from mothermold.pages.page import Page
from mothermold.publish.building import build_site
from mothermold.view import view as opening
from mothermold.view.editions import Edition
from mothermold.view.view import View, open_view
from shelf import Shelf

if TYPE_CHECKING:
    from playwright.sync_api import Browser

    from browser import Watched

PHONE: Final[dict[str, Any]] = {"viewport": {"width": 390, "height": 844}, "accept_downloads": True}

# How fast a machine is, is no matter of a test.
settings.register_profile("any machine", deadline=None)
settings.load_profile("any machine")

GOOD = Path(__file__).parent / "data" / "good"
ROOT = Path(__file__).parents[1]


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """The pages in their browsers first: nothing long is left over for one worker alone at the end."""
    items.sort(key=lambda item: item.path.parent.name not in ("pages", "publish", "serve"))


def pytest_collection_finish() -> None:
    """The twelve thousand tests in memory are not looked through for garbage again and again while they run."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(50_000, 20, 20)


@pytest.fixture(scope="session")
def shelf(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shelf]:
    """Folders shared by all workers; whoever wrote into one is told of at the end."""
    base = tmp_path_factory.getbasetemp()
    shelf = Shelf((base.parent if "PYTEST_XDIST_WORKER" in os.environ else base) / "shelf")
    yield shelf
    assert shelf.changed() == [], "a test wrote into what all tests share"


@pytest.fixture(scope="session")
def sample_book(shelf: Shelf, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The sample book as it is told, told once and copied for each worker; a test that changes a book copies it."""
    return shelf.copied(shelf.made("sample-book", replay_story), tmp_path_factory.mktemp("sample") / "book")


@pytest.fixture
def own_sample_book(sample_book: Path, tmp_path: Path) -> Path:
    """A copy of the sample book that a test may change."""
    return Path(shutil.copytree(sample_book, tmp_path / "book"))


@pytest.fixture
def good_book(tmp_path: Path) -> Path:
    """A copy of the small good book of the test data."""
    return Path(shutil.copytree(GOOD, tmp_path / "book"))


@pytest.fixture(scope="session")
def sample_view(sample_book: Path) -> Callable[[Edition], View]:
    """The sample book as it is opened in an edition."""
    return cache(lambda edition: open_view(sample_book, edition))


@pytest.fixture(scope="session")
def sample_pages(sample_view: Callable[[Edition], View], shelf: Shelf) -> Callable[[Edition], tuple[Page, ...]]:
    """Every page of an edition of the sample book, made by one worker for all."""

    def laid(folder: Path, edition: Edition) -> None:
        folder.mkdir()
        (folder / "pages").write_bytes(pickle.dumps(tuple(all_pages(sample_view(edition)))))

    def pages(edition: Edition) -> tuple[Page, ...]:
        made = shelf.made(f"sample-pages-{edition}", lambda folder: laid(folder, edition))
        told: tuple[Page, ...] = pickle.loads((made / "pages").read_bytes())
        return told

    return cache(pages)


@pytest.fixture
def asked_at_once(sample_book: Path, sample_view: Callable[[Edition], View], monkeypatch: pytest.MonkeyPatch) -> None:
    """From here on a command that only reads finds the sample book opened already."""

    def opened(root: Path, edition: Edition) -> View:
        return sample_view(edition) if root == sample_book else open_view(root, edition)

    monkeypatch.setattr(opening, "open_view", opened)


@pytest.fixture(scope="session")
def built_sample(sample_book: Path, shelf: Shelf) -> Callable[[Edition], Path]:
    """The site of an edition of the sample book, as a folder; a warning of the site builder would fail it."""

    def built(edition: Edition) -> Path:
        return shelf.made(
            f"sample-site-{edition}", lambda folder: build_site(sample_book, edition, folder, strict=True)
        )

    return cache(built)


@pytest.fixture(scope="session")
def built_top(shelf: Shelf) -> Callable[[Edition], Path]:
    """The same of the book a fresh clone opens with, without its history and with its hand-written pages."""

    def built(edition: Edition) -> Path:
        return shelf.made(f"top-site-{edition}", lambda folder: build_site(ROOT, edition, folder, strict=True))

    return cache(built)


@pytest.fixture(scope="session")
def view(sample_view: Callable[[Edition], View]) -> View:
    """The owner's edition of the sample book."""
    return sample_view("private")


@pytest.fixture(scope="session")
def sample_site(built_sample: Callable[[Edition], Path]) -> Path:
    """The same as a folder of pages."""
    return built_sample("private")


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    """One browser for all."""
    from browser import open_browser  # noqa: PLC0415 - most tests need none, and it is long to import

    with open_browser() as browser:
        yield browser


@pytest.fixture(scope="module")
def lent(chromium: Browser, sample_site: Path) -> Iterator[Watched]:
    """These pages on a phone that the tests of a file lend to each other, each leaving in it what it likes."""
    from browser import watched  # noqa: PLC0415

    with watched(chromium, f"{sample_site.as_uri()}/", **PHONE) as seen:
        yield seen


@pytest.fixture
def forgetful(lent: Watched) -> Watched:
    """The same, which keeps nothing any more of what an earlier test left in it."""
    from browser import forget  # noqa: PLC0415

    forget(lent, "pictures/mold-section.svg", **PHONE["viewport"])
    return lent
