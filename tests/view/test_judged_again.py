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
