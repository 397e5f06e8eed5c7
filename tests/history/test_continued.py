"""A history that was read before is read on from there, and is the same as if it were read anew."""

from __future__ import annotations

import os
import random
import shutil
import subprocess
from pathlib import Path

import pytest

from campaigns.seeds import seeds
from mothermold.history.log import Log
from mothermold.history.repository import read_log


class _Repository:
    def __init__(self, root: Path, seed: int) -> None:
        self.root, self.rng, self.count = root, random.Random(seed), 0
        self.git("init", "-q", "-b", "main")
        self.write()

    def git(self, *words: str) -> int:
        who = {"GIT_AUTHOR_NAME": "x", "GIT_AUTHOR_EMAIL": "x", "GIT_COMMITTER_NAME": "x", "GIT_COMMITTER_EMAIL": "x"}
        self.count += 1
        when = {"GIT_COMMITTER_DATE": f"{1_700_000_000 + self.count} +0000"}
        done = subprocess.run(
            ["git", *words], cwd=self.root, env={**os.environ, **who, **when}, capture_output=True, check=False
        )
        return done.returncode

    def write(self) -> None:
        places = ["recipes/cast/a.yaml", "recipes/cast/b.yaml", "recipes/runs/r.yaml", "notes.txt"]
        file = self.root / self.rng.choice(places)
        file.parent.mkdir(parents=True, exist_ok=True)
        if file.exists() and self.rng.random() < 0.2:
            file.unlink()
        else:
            file.write_text(f"version: {self.rng.randint(1, 5)}\n# {self.count}\n", encoding="utf-8")
        self.git("add", "-A")
        self.git("commit", "-qm", "x", "--allow-empty")

    def step(self) -> None:
        way = self.rng.random()
        if way < 0.6:
            self.write()
        elif way < 0.75:
            self.git("checkout", "-qb", f"side-{self.count}")
            self.write()
        elif way < 0.9:
            self.git("checkout", "-q", "main")
            self.git("merge", "-q", "--no-edit", "-X", "ours", self._branch())
        else:
            self.git("reset", "-q", "--hard", f"HEAD~{self.rng.randint(1, 3)}")

    def _branch(self) -> str:
        told = subprocess.run(
            ["git", "branch", "--format=%(refname:short)"], cwd=self.root, capture_output=True, text=True, check=True
        )
        return self.rng.choice(told.stdout.split())


def _said(log: Log) -> object:
    return log.commits, sorted(log.blobs.items()), log.notices, log.for_owner, log.elsewhere, log.name


@pytest.mark.parametrize("seed", seeds(2, 4))
def test_a_history_read_on_is_as_one_read_anew(seed: int, tmp_path: Path) -> None:
    repository = _Repository(tmp_path, seed)
    read_on = 0
    for _step in range(25):
        repository.step()
        kept = tmp_path / ".git" / "mothermold"
        read_on += kept.exists()
        continued = _said(read_log(tmp_path))
        aside = tmp_path / ".git" / "aside"
        kept.rename(aside)
        assert continued == _said(read_log(tmp_path))
        shutil.rmtree(kept)
        aside.rename(kept)
    assert read_on > 20


def test_only_what_was_saved_since_is_asked_for(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from mothermold.history import repository as reading  # noqa: PLC0415 - what is counted here

    repository = _Repository(tmp_path, 1)
    for _save in range(5):
        repository.write()
    read_log(tmp_path)
    repository.write()
    monkeypatch.setattr(reading, "_commits", lambda *_: pytest.fail("the whole history was read again"))
    assert read_log(tmp_path).commits
