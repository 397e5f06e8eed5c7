"""What the tests beside it share: one browser, and the owner's edition of the sample book opened and built; never changed.

It also lets them import their helpers; the folder shares its name with a module of Python itself.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import pytest
from playwright.sync_api import Browser

from mothermold.view.editions import Edition
from mothermold.view.view import View

PHONE: Final[dict[str, Any]] = {"viewport": {"width": 390, "height": 844}, "accept_downloads": True}

if TYPE_CHECKING:
    from browser import Watched

sys.path.insert(0, str(Path(__file__).parent))


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    from browser import open_browser  # noqa: PLC0415 - found only once the path above is set

    with open_browser() as browser:
        yield browser


@pytest.fixture(scope="session")
def view(sample_view: Callable[[Edition], View]) -> View:
    """The owner's edition of the sample book."""
    return sample_view("private")


@pytest.fixture(scope="session")
def sample_site(built_sample: Callable[[Edition], Path]) -> Path:
    """The same as a folder of pages."""
    return built_sample("private")


@pytest.fixture(scope="module")
def lent(chromium: Browser, sample_site: Path) -> Iterator[Watched]:
    """These pages on a phone that the tests of a file lend to each other, each leaving in it what it likes."""
    from browser import watched  # noqa: PLC0415

    with watched(chromium, f"{sample_site.as_uri()}/", **PHONE) as seen:
        yield seen


@pytest.fixture
def forgetful(lent: Watched) -> Watched:
    """The same, which keeps nothing any more of what an earlier test left in it."""
    # From a picture of the site: the store is that of all its pages, and none of their scripts runs meanwhile.
    lent.page.goto(f"{lent.home}pictures/mold-section.svg")
    lent.page.evaluate("localStorage.clear()")
    lent.faults.clear()
    return lent
