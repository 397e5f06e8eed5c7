"""After an edit only the pages are made again that it bears on, and the site is to the last byte the one of a cold build."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from campaigns.seeds import REST, divided, short
from crawl import files_below
from mothermold.ground.looking import looking
from mothermold.ground.store import Store
from mothermold.publish import building
from mothermold.publish.building import build_site
from mothermold.publish.frames import Frame
from mothermold.publish.made_files import made_files
from mothermold.view.editions import EDITIONS, Edition
from mothermold.view.view import View, Whole
from view.edits import Edits


@pytest.fixture
def counted(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The names of the files that were made."""
    asked: list[str] = []

    def count(view: View, frames: tuple[Frame, ...]) -> dict[str, Callable[[], bytes | None]]:
        def told(name: str, make: Callable[[], bytes | None]) -> Callable[[], bytes | None]:
            return lambda: (asked.append(name), make())[1]

        return {name: told(name, make) for name, make in made_files(view, frames).items()}

    monkeypatch.setattr(building, "made_files", count)
    return asked


def test_an_edit_makes_the_pages_again_that_show_it_and_few_others(
    own_sample_book: Path, tmp_path: Path, counted: list[str]
) -> None:
    build_site(own_sample_book, "private", tmp_path / "site")
    every = len(counted)
    counted.clear()
    note = own_sample_book / "recipes" / "failures" / "air-at-cheek.yaml"
    text = note.read_text(encoding="utf-8")
    note.write_text(text.replace("\nprevent: ", "\nprevent: Look twice. "), encoding="utf-8")
    assert note.read_text(encoding="utf-8") != text
    build_site(own_sample_book, "private", tmp_path / "site")
    assert f"failures/{note.stem}.html" in counted
    assert len(counted) < every / 10
    counted.clear()
    build_site(own_sample_book, "private", tmp_path / "site")
    assert counted == []


@pytest.mark.parametrize("rest", REST)
@pytest.mark.parametrize("edition", EDITIONS)
def test_who_asks_later_has_looked_at_the_same_as_who_asked_first(
    edition: Edition, rest: bool, own_sample_book: Path
) -> None:
    """What is kept on the way, and hands on without a word what was looked at for it, shows here."""
    warm = Whole.open(own_sample_book).edition(edition)
    frames = (Frame("", "", ""),) * 9
    every = made_files(warm, frames)
    for make in every.values():
        make()
    wrong = {}
    for name in divided(every, 60, rest, first=EDITIONS.index(edition)):
        cold = made_files(Whole.open(own_sample_book).edition(edition), frames)
        with looking() as later:
            every[name]()
        with looking() as at_once:
            cold[name]()
        if later != at_once:
            wrong[name] = sorted(later ^ at_once)[:5]
    assert not wrong


def _cold(book: Path, edition: Edition, out: Path, monkeypatch: pytest.MonkeyPatch) -> dict[str, bytes]:
    with monkeypatch.context() as alone:
        alone.setattr(Store, "get", lambda *_: None)
        alone.setattr(Store, "put", lambda *_, **__: None)
        build_site(book, edition, out)
    return files_below(out)


@pytest.mark.parametrize(("seed", "edits"), short([(0, 2), *((seed, 4) for seed in range(9))], 1))
def test_after_any_edit_the_site_is_that_of_a_cold_build(
    seed: int, edits: int, own_sample_book: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    edition = EDITIONS[seed % len(EDITIONS)]
    chance = Edits(own_sample_book, seed)
    build_site(own_sample_book, edition, tmp_path / "site")
    for number in range(edits):
        what = chance.one()
        build_site(own_sample_book, edition, tmp_path / "site")
        anew = _cold(own_sample_book, edition, tmp_path / str(number), monkeypatch)
        found = files_below(tmp_path / "site")
        assert found.keys() == anew.keys(), what
        assert [name for name in anew if found[name] != anew[name]] == [], what
        shutil.rmtree(tmp_path / str(number))
