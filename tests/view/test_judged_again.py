"""After any edit a book that was judged before says what one says that never was."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import Final

import pytest

from campaigns.seeds import seeds
from mothermold.ground.store import Store
from mothermold.view.editions import EDITIONS, Edition
from mothermold.view.view import Whole
from view.edits import Edits

_EDITS: Final = 6


def _kept(root: Path) -> object:
    return Store(root / ".git" / "mothermold").get("made", "")


def test_what_was_judged_is_kept_also_where_something_spoken_of_is_gone(own_sample_book: Path) -> None:
    named = next((own_sample_book / "recipes" / "materials").glob("gel-*.yaml"))
    named.unlink()
    notices = Whole.open(own_sample_book).edition("private").notices
    assert any(each.code == "document-gone" for each in notices)
    assert _kept(own_sample_book) is not None


def test_three_editions_take_up_and_keep_what_was_judged_once(
    own_sample_book: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[str] = []
    get, put = Store.get, Store.put
    monkeypatch.setattr(Store, "get", lambda store, room, key: (asked.append(f"get {room}"), get(store, room, key))[1])
    monkeypatch.setattr(
        Store,
        "put",
        lambda store, room, *said, **more: (asked.append(f"put {room}"), put(store, room, *said, **more))[1],
    )
    shutil.rmtree(own_sample_book / ".git" / "mothermold", ignore_errors=True)
    _said(own_sample_book, ("private", "private"))
    assert (asked.count("get made"), asked.count("put made")) == (1, 1)
    asked.clear()
    with (own_sample_book / "recipes" / "book.yaml").open("a", encoding="utf-8") as settings:
        settings.write("# another text\n")
    _said(own_sample_book, EDITIONS)
    assert asked.count("get made") == 1


def _said(root: Path, editions: tuple[Edition, ...]) -> object:
    whole = Whole.open(root)
    return {edition: whole.edition(edition).notices for edition in editions}


@pytest.mark.parametrize("seed", seeds(1, 12))
def test_what_was_judged_before_makes_no_difference(
    seed: int, own_sample_book: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    edits = Edits(own_sample_book, seed)
    shutil.rmtree(own_sample_book / ".git" / "mothermold", ignore_errors=True)
    _said(own_sample_book, ("private",))
    for number in range(_EDITS):
        what = edits.one()
        editions: tuple[Edition, ...] = EDITIONS if number % _EDITS == seed % _EDITS else ("private",)
        again = _said(own_sample_book, editions)
        with monkeypatch.context() as alone:
            alone.setattr(Store, "get", lambda *_: None)
            alone.setattr(Store, "put", lambda *_, **__: None)
            assert again == _said(own_sample_book, editions), what
