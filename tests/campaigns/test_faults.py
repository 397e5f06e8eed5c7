"""A short slice of the campaign of faults, and that it would tell if the one atomic write were none."""

from __future__ import annotations

import os
import random
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from campaigns.deeds import DEEDS
from campaigns.faults import KINDS, Bench
from campaigns.seeds import short
from history.repositories import leave_home
from mothermold.ground import writing

pytestmark = pytest.mark.skipif(
    not sys.platform.startswith("linux"), reason="a process of its own is split off for each case"
)


@pytest.fixture(autouse=True)
def _nobodys_home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    leave_home(tmp_path / "nobody", monkeypatch)


def cases(bench: Bench, count: int, kinds: tuple[str, ...] = KINDS) -> list[str]:
    """What is wrong in some cases, picked by the name of the deed."""
    chance = random.Random(bench.name)
    wrong = bench.unsafe()
    for place in range(count):
        kind = kinds[place % len(kinds)]
        at = chance.choice(bench.ways(kind) or [1])
        wrong += [f"{kind} at {at}: {each}" for each in bench.case(kind, at)[1]]
    return wrong


@pytest.mark.parametrize(("name", "count"), [(name, 1) for name in DEEDS] + short([(name, 5) for name in DEEDS], 0))
def test_whatever_fails_it_is_whole_or_not_at_all_and_told_truly(name: str, count: int, tmp_path: Path) -> None:
    assert cases(Bench(name, tmp_path), count) == []


def in_its_place(path: Path, data: bytes, _move: Callable[..., object], *, waits: bool = True) -> None:
    with os.fdopen(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_TRUNC), "wb") as stream:
        stream.write(data)
        if waits:
            os.fsync(stream.fileno())


def without_the_name(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(writing, "_write", in_its_place)


def without_the_rename(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(writing, "_take_turn", lambda temporary, *_: temporary.unlink())


def without_the_wait(monkeypatch: pytest.MonkeyPatch) -> None:
    real: Callable[..., Any] = writing._write
    monkeypatch.setattr(writing, "_write", lambda path, data, move, **_how: real(path, data, move, waits=False))


def without_the_wait_for_the_folder(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(writing, "_sync_folder", lambda _folder: None)


@pytest.fixture(scope="module")
def honest(tmp_path_factory: pytest.TempPathFactory) -> Bench:
    """A form that is written as it should be."""
    return Bench("form", tmp_path_factory.mktemp("honest"))


@pytest.mark.parametrize(
    "without", [without_the_name, without_the_rename, without_the_wait, without_the_wait_for_the_folder]
)
def test_it_tells_when_a_part_of_the_one_write_is_taken_out(
    honest: Bench, without: Callable[[pytest.MonkeyPatch], None], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert honest.unsafe() == []
    without(monkeypatch)
    bench = Bench("form", tmp_path)
    bench.after = honest.after
    wrong = bench.unsafe()
    for at in (10**6, *reversed(bench.ways("kill"))):
        wrong = wrong or bench.case("kill", at)[1]
    assert wrong != []
