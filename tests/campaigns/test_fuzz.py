"""A short slice of the campaign of damaged inputs, and all inputs that once were wrong."""

from __future__ import annotations

import random
import sys
from pathlib import Path

import pytest

from campaigns.fuzz import CRASHERS, TARGETS, damaged, fed
from campaigns.seeds import short

pytestmark = pytest.mark.skipif(
    sys.platform == "win32", reason="the bound on time needs a signal Windows does not have"
)


@pytest.mark.parametrize("path", sorted(CRASHERS.iterdir()), ids=lambda path: path.name)
def test_what_once_was_wrong_is_refused_in_words(path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    assert fed(path.name.split("-")[0], path.read_bytes()) == ""
    assert capfd.readouterr() == ("", "")


@pytest.mark.parametrize(
    ("name", "count"), [(name, 15) for name in TARGETS] + short([(name, 120) for name in TARGETS], 0)
)
def test_whatever_bytes_come_they_are_read_or_refused_in_words(name: str, count: int) -> None:
    chance, seeds = random.Random(name), TARGETS[name].seeds()
    for _ in range(count):
        data = damaged(chance.choice(seeds), seeds, chance)
        assert fed(name, data) == "", data


def test_a_target_that_breaks_or_never_ends_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(_data: bytes) -> None:
        raise KeyError("x")

    def endless(_data: bytes) -> None:
        while True:
            pass

    monkeypatch.setattr("campaigns.fuzz._PATIENCE", 1)
    for feed, told in ((broken, "KeyError"), (endless, "more than 1 seconds")):
        monkeypatch.setattr("campaigns.fuzz.TARGETS", {"x": TARGETS["numbers"].__class__(list, feed)})
        assert told in fed("x", b"")
