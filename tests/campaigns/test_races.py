"""A few races with an editor, none of which is lost; and without the last look some are."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from campaigns.races import campaign
from mothermold.ground import writing

pytestmark = pytest.mark.skipif(not sys.platform.startswith("linux"), reason="the editor is split off as a process")


@pytest.mark.parametrize("races", [12, pytest.param(150, marks=pytest.mark.campaign)])
def test_what_an_editor_saves_meanwhile_is_never_lost(races: int, tmp_path: Path) -> None:
    told: list[str] = []
    assert campaign(races, 1, told.append, folder=tmp_path) == 0, told


def test_without_the_last_look_races_are_lost(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(writing, "_take_turn", lambda temporary, path, *_: temporary.replace(path))
    assert campaign(24, 1, lambda _text: None, folder=tmp_path) > 0
