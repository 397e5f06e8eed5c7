"""While a book is opened nothing is searched for what could go, and afterwards it is as before."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from pathlib import Path

import pytest

from mothermold.ground.errors import CannotRunError
from mothermold.ground.memory import all_stays
from mothermold.view import view
from mothermold.view.view import Whole


@pytest.fixture(autouse=True)
def as_before() -> Iterator[None]:
    yield
    gc.enable()


def test_nothing_is_searched_while_it_lasts_and_afterwards_again() -> None:
    with all_stays():
        assert not gc.isenabled()
        with all_stays():
            assert not gc.isenabled()
        assert not gc.isenabled()
    assert gc.isenabled()


def test_who_had_turned_it_off_finds_it_off() -> None:
    gc.disable()
    with all_stays():
        pass
    assert not gc.isenabled()


@pytest.mark.parametrize("opens", [True, False])
def test_a_book_is_opened_without_a_search_whether_or_not_it_succeeds(
    opens: bool, sample_book: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    seen = []
    read_book = view.read_book

    def reading(root: Path, **_before: object) -> object:
        seen.append(gc.isenabled())
        if not opens:
            raise CannotRunError("closed")
        return read_book(root)

    monkeypatch.setattr(view, "read_book", reading)
    if opens:
        Whole.open(sample_book)
    else:
        with pytest.raises(CannotRunError):
            Whole.open(sample_book)
    assert seen == [False]
    assert gc.isenabled()
