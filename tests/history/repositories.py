"""Builds small git repositories with known commits for the tests of versions and differences.

Owns the running of the git program with fixed times, one invented identity and an environment of its own,
and the texts of a small invented book. Knows nothing of the package under test: what a repository should
tell is worked out by hand in the tests.
"""

from __future__ import annotations

import os
import shutil
import subprocess
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import pytest

AUTHOR = "Somebody Elsewhere"
AUTHOR_MAIL = "nobody@example.invalid"
# An author's time tells when a text was first written, often long before it was saved: never a date of ours.
AUTHORED = "2001-01-01T00:00:00+0000"

BOOK_SETTINGS = "recipes/book.yaml"
RECIPE = "recipes/cast/cheek.yaml"


def _material(title: str, family: str, density: str) -> str:
    sheet = "sds: {where: binder 1, dated: 2026-01-08}"
    return f"title: {title}\nfamilies: [{family}]\ndensity: {density}\n{sheet}\n"


# Something to save beside the recipe, so that a line of history moves on without touching it.
ANOTHER_FILE: dict[str, str | None] = {
    "recipes/materials/gel-silicone-b.yaml": _material(
        "Platinum gel silicone, part B", "platinum-silicone", "1.04 g/ml"
    )
}


@dataclass(frozen=True)
class Moment:
    """One moment written twice: as git is told it, and in the book's time zone (Europe/Berlin)."""

    for_git: str
    in_the_book: str


# Given to git in many offsets, around the night of 29 March 2026 when the clocks of the book's zone change.
FIRST = Moment("2026-02-09T17:40:00+0000", "2026-02-09T18:40:00+01:00")
SECOND = Moment("2026-02-16T01:05:09-0800", "2026-02-16T10:05:09+01:00")
THIRD = Moment("2026-03-29T00:59:59+0000", "2026-03-29T01:59:59+01:00")
FOURTH = Moment("2026-03-29T01:00:00+0000", "2026-03-29T03:00:00+02:00")
FIFTH = Moment("2026-04-18T12:00:00+0900", "2026-04-18T05:00:00+02:00")
SIXTH = Moment("2026-05-04T04:30:00+0530", "2026-05-04T01:00:00+02:00")
SEVENTH = Moment("2026-06-01T22:15:00+0000", "2026-06-02T00:15:00+02:00")


@dataclass(frozen=True)
class Save:
    """One commit: its full name and its committer's time as the book writes it."""

    commit: str
    date: str


@dataclass(frozen=True)
class Repository:
    """A git repository in a folder of its own, changed only through the git program."""

    folder: Path

    def git(self, *words: str, moment: Moment = FIRST) -> str:
        """Run the git program here and return what it prints."""
        done = subprocess.run(
            ["git", *words],
            cwd=self.folder,
            env=clean_git_environment(moment),
            stdin=subprocess.DEVNULL,
            capture_output=True,
            check=False,
        )
        if done.returncode != 0:
            raise RuntimeError(f"git {' '.join(words)}: {done.stderr.decode(errors='replace')}")
        return done.stdout.decode()

    def write(self, files: Mapping[str, str | None]) -> None:
        """Write files into the working tree; a file whose text is None is removed."""
        for path, text in files.items():
            place = self.folder / path
            if text is None:
                place.unlink()
            else:
                place.parent.mkdir(parents=True, exist_ok=True)
                place.write_bytes(text.encode())

    def save(self, moment: Moment, files: Mapping[str, str | None]) -> Save:
        """Write files and commit everything."""
        self.write(files)
        return self._commit(moment)

    def branch(self, name: str) -> None:
        """Start a branch here and go on along it."""
        self.git("checkout", "--quiet", "-b", name)

    def go_to(self, name: str) -> None:
        """Go on along a branch that exists."""
        self.git("checkout", "--quiet", name)

    def merge(self, name: str, moment: Moment) -> Save:
        """Merge a branch the way git does it alone; both sides must fit together."""
        self.git("merge", "--quiet", "--no-ff", "-m", f"Merge {name}", name, moment=moment)
        return Save(self._head(), moment.in_the_book)

    def merge_by_hand(self, name: str, moment: Moment, files: Mapping[str, str | None]) -> Save:
        """Merge a branch, keep every file of the line we are on, then write these files into the merge."""
        self.git("merge", "--quiet", "--no-ff", "--no-commit", "--strategy=ours", name, moment=moment)
        self.write(files)
        return self._commit(moment)

    def _commit(self, moment: Moment) -> Save:
        self.git("add", "--all")
        self.git("commit", "--quiet", "--allow-empty", "-m", "Saved", moment=moment)
        return Save(self._head(), moment.in_the_book)

    def _head(self) -> str:
        return self.git("rev-parse", "HEAD").strip()


def clean_git_environment(moment: Moment) -> dict[str, str]:
    """Return an environment in which git reads no settings of this machine and nobody's identity."""
    kept = {name: value for name, value in os.environ.items() if not name.startswith("GIT_")}
    return kept | {
        "GIT_CONFIG_NOSYSTEM": "1",
        "GIT_CONFIG_GLOBAL": os.devnull,
        "GIT_AUTHOR_NAME": AUTHOR,
        "GIT_AUTHOR_EMAIL": AUTHOR_MAIL,
        "GIT_AUTHOR_DATE": AUTHORED,
        "GIT_COMMITTER_NAME": AUTHOR,
        "GIT_COMMITTER_EMAIL": AUTHOR_MAIL,
        "GIT_COMMITTER_DATE": moment.for_git,
        "GIT_TERMINAL_PROMPT": "0",
        "LC_ALL": "C",
        "TZ": "UTC",
    }


def start_repository(folder: Path) -> Repository:
    """Make an empty repository whose first branch is `main`."""
    folder.mkdir(parents=True, exist_ok=True)
    repository = Repository(folder)
    repository.git("init", "--quiet")
    repository.git("symbolic-ref", "HEAD", "refs/heads/main")
    return repository


def shallow_clone(of: Repository, into: Path, depth: int) -> Repository:
    """Clone only the newest commits, as a build server does."""
    of.git("clone", "--quiet", "--no-local", f"--depth={depth}", of.folder.as_uri(), str(into))
    return Repository(into)


def linked_working_tree(of: Repository, into: Path) -> Repository:
    """Check the newest commit out a second time in a folder whose `.git` is a file."""
    of.git("worktree", "add", "--quiet", "--detach", str(into))
    return Repository(into)


def copy_without_git(of: Repository, into: Path) -> Path:
    """Copy the files alone, as somebody does who mails the folder."""
    shutil.copytree(of.folder, into, ignore=shutil.ignore_patterns(".git"))
    return into


def placed(files: Mapping[str, str | None], below: str) -> dict[str, str | None]:
    """Move files into a subfolder of the repository."""
    return {f"{below}/{path}": text for path, text in files.items()}


def empty_book() -> dict[str, str | None]:
    """Return the files of a book with materials and one failure note, and no recipe yet."""
    return {
        BOOK_SETTINGS: "title: Small invented book\ncurrency: EUR\ntime_zone: Europe/Berlin\n",
        "recipes/materials/gel-silicone-a.yaml": _material(
            "Platinum gel silicone, part A", "platinum-silicone", "1.05 g/ml"
        ),
        "recipes/materials/deadener.yaml": _material("Deadener fluid", "silicone-deadener", "0.97 g/ml"),
        "recipes/failures/air-at-cheek.yaml": (
            "title: Air at the cheek\nseen_at: cast\nsymptoms:\n  - round holes on the cheek\n"
        ),
    }


def recipe(
    version: int,
    status: str = "locked",
    *,
    why: str | None = None,
    fixes: Sequence[str] = (),
    title: str = "Small cheek piece",
    hands_on: str = "10 min",
    deadener: str = "60 %",
    formerly: Sequence[str] = (),
    more: str = "",
) -> str:
    """Return the text of a minimal cast recipe: one mix of two parts, one step.

    Args:
        version: The number it carries.
        status: draft, locked or retired.
        why: A note.
        fixes: Failure notes it names; a note.
        title: A note, as far as versions are concerned.
        hands_on: Of its step; a process field.
        deadener: Its percent of part A; a process field.
        formerly: Earlier addresses; a note.
        more: Lines put at the end as they are.
    """
    lines = [f"title: {title}", "stage: cast", f"version: {version}", f"status: {status}"]
    if why is not None:
        lines.append(f"why: {why}")
    if fixes:
        lines.append(f"fixes: [{', '.join(fixes)}]")
    if formerly:
        lines.append(f"formerly: [{', '.join(formerly)}]")
    lines += [
        "mixes:",
        "  - id: base",
        "    title: Base silicone",
        "    by: weight",
        "    parts:",
        "      - {material: gel-silicone-a, parts: 100}",
        f"      - {{material: deadener, percent: {deadener}, of: gel-silicone-a}}",
        "    fills: 100 ml",
        "    allowance: 10 %",
        "steps:",
        "  - id: fill",
        "    title: Fill and close",
        f"    hands_on: {hands_on}",
        "    wait: 120 min",
        "    uses: [{mix: base, as: fill}]",
    ]
    return "\n".join(lines) + "\n" + more


def leave_home(empty: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """From here on git finds a home without any settings: no name, no mail."""
    monkeypatch.setenv("HOME", str(empty))
    monkeypatch.setenv("XDG_CONFIG_HOME", str(empty))
    monkeypatch.setenv("GIT_CONFIG_NOSYSTEM", "1")
