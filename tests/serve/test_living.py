"""Pages made when they are asked for are those a build would make, whatever was edited before."""

from __future__ import annotations

import random
from collections.abc import Callable
from pathlib import Path

import pytest

from campaigns.seeds import short
from mothermold.ground.store import Store
from mothermold.pages.all_pages import addresses, deepest, page_at
from mothermold.publish.building import build_site
from mothermold.publish.file_list import files_of
from mothermold.publish.frames import Frame
from mothermold.serve import living
from mothermold.serve.living import LivingPages
from mothermold.view.editions import EDITIONS, Edition
from mothermold.view.view import View, Whole
from view.edits import Edits


@pytest.fixture
def built_around(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """One entry for each time the site builder was at work."""
    counted: list[int] = []
    build = living.build_around

    def count(view: View, folder: Path, **how: bool) -> tuple[Frame, ...]:
        counted.append(1)
        return build(view, folder, **how)

    monkeypatch.setattr(living, "build_around", count)
    return counted


@pytest.fixture
def pages(good_book: Path, tmp_path: Path, built_around: list[int]) -> LivingPages:
    assert built_around == []
    (tmp_path / "around").mkdir()
    return LivingPages(good_book, "private", tmp_path / "around", lambda _said: None)


def as_built(book: Path, out: Path) -> dict[str, bytes]:
    build_site(book, "private", out, forget=True)
    return {name: (out / name).read_bytes() for name in files_of(out)}


def test_every_page_is_the_one_a_build_makes_after_each_edit(
    pages: LivingPages, good_book: Path, tmp_path: Path, built_around: list[int]
) -> None:
    def edited(file: str, change: Callable[[str], str]) -> None:
        path = good_book / "recipes" / file
        path.write_text(change(path.read_text(encoding="utf-8")), encoding="utf-8")

    def told_by_hand() -> None:
        (good_book / "site_src/own.md").write_text("# Own\n\n[all](recipes.html)\n", encoding="utf-8")

    edits: list[tuple[Callable[[], object], int]] = [
        (lambda: None, 1),
        # A text alone changes no frame.
        (lambda: edited("materials/deadener-fluid.yaml", lambda text: text.replace("title: ", "title: Our ")), 1),
        ((good_book / "recipes/materials/deadener-fluid.yaml").unlink, 1),
        (lambda: edited("book.yaml", lambda text: text.replace("title: ", "title: Our ")), 2),
        ((good_book / "site_src").mkdir, 2),
        (told_by_hand, 3),
    ]
    for number, (edit, builds) in enumerate(edits):
        edit()
        wanted = as_built(good_book, tmp_path / str(number))
        found = {name: pages.read(f"/{name}") for name in wanted}
        assert found == {name: (name, data) for name, data in wanted.items()}, number
        assert len(built_around) == builds, number


def test_a_page_is_kept_over_an_edit_that_does_not_bear_on_it(
    pages: LivingPages, good_book: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[str] = []
    make = living.made_file
    monkeypatch.setattr(living, "made_file", lambda *how: (asked.append(how[2]), make(*how))[1])
    both = ["guide.html", "materials/deadener-fluid.html"]
    before = [pages.read(f"/{name}") for name in both]
    path = good_book / "recipes/materials/deadener-fluid.yaml"
    path.write_text(path.read_text(encoding="utf-8").replace("title: ", "title: Our "), encoding="utf-8")
    after = [pages.read(f"/{name}") for name in both]
    assert asked == [*both, both[1]]
    assert [one == other for one, other in zip(before, after, strict=True)] == [True, False]


def test_how_deep_pages_lie_is_told_without_opening_them(sample_view: Callable[[Edition], View]) -> None:
    for edition in EDITIONS:
        view = sample_view(edition)
        assert deepest(view) == max(address.count("/") for address in addresses(view))


def test_what_no_build_makes_is_not_there(pages: LivingPages) -> None:
    for path in (
        "/frame.html",
        "/in/frame.html",
        "/recipes/book.yaml",
        "/desk/",
        "/materials/nothing.html",
        "/assets",
        "/"[1:],
    ):
        assert pages.read(path) is None


def test_the_book_is_opened_again_only_after_it_changed(
    pages: LivingPages, good_book: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    opened: list[int] = []
    whole = living.Whole.open
    monkeypatch.setattr(living.Whole, "open", lambda *asked: opened.append(1) or whole(*asked))
    for _ in range(3):
        assert pages.read("/index.html")
    assert opened == []
    (good_book / "recipes" / "book.yaml").touch()
    for _ in range(3):
        assert pages.read("/index.html")
    assert (opened, pages.news.turn) == ([1], 1)


@pytest.mark.parametrize(("seed", "steps"), short([(0, 3), *((seed, 8) for seed in range(6))], 1))
def test_after_any_edit_what_is_followed_is_what_is_opened_anew(
    seed: int, steps: int, own_sample_book: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    edits, rng = Edits(own_sample_book, seed), random.Random(seed)
    followed = Whole.open(own_sample_book)
    for number in range(steps):
        what = edits.one() if number else "nothing"
        followed = Whole.open(own_sample_book, followed)
        with monkeypatch.context() as alone:
            alone.setattr(Store, "get", lambda *_: None)
            alone.setattr(Store, "put", lambda *_, **__: None)
            anew = Whole.open(own_sample_book)
            edition = rng.choice(EDITIONS) if number % 3 == 0 else "private"
            one, other = (each.edition(edition) for each in (followed, anew))
            assert one.notices == other.notices, what
            assert addresses(one) == addresses(other), what
            for address in rng.sample(sorted(addresses(one)), 12):
                assert page_at(one, address) == page_at(other, address), (what, address)
