"""Runs the command line as a person does, in an environment of its own, and reads its JSON.

Owns the environment the program gets, and the few shapes in which answers are compared. Knows nothing of how
a repository is made. A question is asked within this process, which is thirty times as fast; where a test chooses the
environment itself, Python is started for it, as it is for a person.
"""

from __future__ import annotations

import contextlib
import io
import json
import os
import re
import subprocess
import sys
import tempfile
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from unittest import mock

from history.repositories import Save
from mothermold.cli.main import main

PACKAGE_FOLDER = Path(__file__).resolve().parents[2] / "tools"

# The notices that come out of reading history. Others (a word about a material, say) may stand beside them.
HISTORY_NOTICES = frozenset(
    {
        "draft-on-locked",
        "formerly-alive",
        "formerly-twice",
        "no-commits",
        "no-git",
        "no-repository",
        "shallow-history",
        "version-clash",
    }
)

ROW_KEYS = ("version", "status", "date", "commit", "why", "fixes", "amended", "working_tree")


@dataclass(frozen=True)
class Answer:
    """What one run of the program gave back."""

    exit_code: int
    body: dict[str, Any]
    printed: str
    complaints: str

    def listing(self) -> dict[str, Any]:
        """Return the answer of `versions` with its promised keys only: others may be added at any time."""
        rows = [{key: found[key] for key in ROW_KEYS} for found in self.body["versions"]]
        return {"recipe": self.body["recipe"], "current": self.body["current"], "versions": rows}

    def row(self, version: int) -> dict[str, Any]:
        """Return the one row of a version."""
        rows: list[dict[str, Any]] = self.listing()["versions"]
        (found,) = [found for found in rows if found["version"] == version]
        return found

    def history_notices(self) -> list[tuple[str, str, str | None]]:
        """Return code, severity and file of each notice on history, after a look at its sentences."""
        found = [notice for notice in self.body["notices"] if notice["code"] in HISTORY_NOTICES]
        for notice in found:
            assert is_one_sentence(notice["message"]), notice
            assert is_one_sentence(notice["help"]), notice
        return [(notice["code"], notice["severity"], notice["file"]) for notice in found]

    def codes(self) -> list[tuple[str, str]]:
        """Return code and severity of each notice on history, for notices on no single document."""
        return [(code, severity) for code, severity, _ in self.history_notices()]


def row(
    version: int,
    saved: Save | None,
    *,
    status: str = "locked",
    why: str | None = None,
    fixes: Sequence[str] = (),
    amended: int = 0,
    working_tree: bool = False,
) -> dict[str, Any]:
    """Return the row a version should have; `saved` is the commit that should stand in it."""
    return {
        "version": version,
        "status": status,
        "date": None if saved is None else saved.date,
        "commit": None if saved is None else saved.commit,
        "why": why,
        "fixes": list(fixes),
        "amended": amended,
        "working_tree": working_tree,
    }


def listing(current: int | None, *rows: dict[str, Any], recipe: str = "cast/cheek") -> dict[str, Any]:
    """Return the whole answer `versions` should give, notices left out."""
    return {"recipe": recipe, "current": current, "versions": list(rows)}


def plain_environment(home: Path) -> dict[str, str]:
    """Return an environment with an empty home and no variable of git's in it."""
    home.mkdir(parents=True, exist_ok=True)
    kept = {name: value for name, value in os.environ.items() if not name.startswith("GIT_")}
    found = [str(PACKAGE_FOLDER), *filter(None, [kept.get("PYTHONPATH")])]
    return kept | {
        "HOME": str(home),
        "USERPROFILE": str(home),
        "XDG_CONFIG_HOME": str(home / ".config"),
        "PYTHONPATH": os.pathsep.join(found),
    }


def ask(book: Path, *words: str, environment: Mapping[str, str] | None = None) -> Answer:
    """Run one command on a book with `--format json` and read its answer; in a process of its own if given its environment."""
    asked = ["-C", str(book), *words, "--format", "json"]
    exit_code, out, complaints = _here(asked) if environment is None else _started(asked, environment)
    printed = out.decode()
    assert "Traceback" not in complaints, complaints
    assert exit_code in {0, 1}, complaints
    return Answer(exit_code, json.loads(printed), printed, complaints)


def _here(asked: Sequence[str]) -> tuple[int, bytes, str]:
    out, told = io.BytesIO(), io.BytesIO()
    with (
        tempfile.TemporaryDirectory() as home,
        mock.patch.dict(os.environ, plain_environment(Path(home)), clear=True),
        io.TextIOWrapper(out, write_through=True) as stdout,
        io.TextIOWrapper(told, write_through=True) as stderr,
        contextlib.redirect_stdout(stdout),
        contextlib.redirect_stderr(stderr),
    ):
        exit_code = main(asked)
        return exit_code, out.getvalue(), told.getvalue().decode(errors="replace")


def _started(asked: Sequence[str], environment: Mapping[str, str]) -> tuple[int, bytes, str]:
    done = subprocess.run(
        [sys.executable, "-m", "mothermold", *asked],
        env=dict(environment),
        stdin=subprocess.DEVNULL,
        capture_output=True,
        check=False,
    )
    return done.returncode, done.stdout, done.stderr.decode(errors="replace")


def ask_versions(book: Path, recipe: str = "cast/cheek", *, environment: Mapping[str, str] | None = None) -> Answer:
    """Ask for the versions of a recipe, which must be answered with exit 0."""
    answer = ask(book, "versions", recipe, environment=environment)
    assert answer.exit_code == 0, answer.body
    return answer


def is_one_sentence(text: str) -> bool:
    """Say whether a text is one sentence: not empty, closed at its end, and not closed before."""
    closed, closed_before = re.search(r"[.!?][`\"')*]?$", text), re.search(r"[.!?]\s+[A-Z]", text)
    return bool(closed) and not closed_before and "\n" not in text
