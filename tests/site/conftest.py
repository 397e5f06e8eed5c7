"""What the tests beside it share: one browser, and the sample book with the owner's edition built, neither ever changed.

It also lets them import their helpers; the folder shares its name with a module of Python itself.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser

from mothermold.desk.replaying import replay_story
from mothermold.site.building import build_site

sys.path.insert(0, str(Path(__file__).parent))


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    from browser import open_browser  # noqa: PLC0415 - found only once the path above is set

    with open_browser() as browser:
        yield browser


@pytest.fixture(scope="session")
def sample_book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The sample book as it is told; a test that changes a book copies it."""
    folder = tmp_path_factory.mktemp("sample") / "book"
    replay_story(folder)
    return folder


@pytest.fixture(scope="session")
def sample_site(sample_book: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Its private edition as a folder."""
    folder = tmp_path_factory.mktemp("sample-site") / "private"
    build_site(sample_book, "private", folder)
    return folder
