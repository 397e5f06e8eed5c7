"""The program git: run without a shell, and with no variable of the user's that could mislead it."""

from __future__ import annotations

import contextlib
import os
import subprocess
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any


class NoGitError(Exception):
    """The program git is not on this computer."""


@contextlib.contextmanager
def clean_environment() -> Iterator[None]:
    """Hides all GIT_ variables from git while it runs for us."""
    # A GIT_ variable can point reading to another repository, another index or another output.
    kept = {name: os.environ.pop(name) for name in list(os.environ) if name.startswith("GIT_")}
    try:
        yield
    finally:
        os.environ.update(kept)


def git_library() -> Any:
    """GitPython, imported when a history is made: it takes an eighth of a second.

    Its import runs git once, which must not fail on settings of the user's that git cannot read.
    """
    quiet = {"GIT_PYTHON_REFRESH": "quiet", "GIT_CONFIG_GLOBAL": os.devnull, "GIT_CONFIG_NOSYSTEM": "1"}
    with clean_environment():
        os.environ.update(quiet)
        try:
            import git  # noqa: PLC0415
        finally:
            for name in quiet:
                del os.environ[name]
    return git


def execute(folder: Path, words: Sequence[str], given: bytes, environment: Mapping[str, str]) -> tuple[int, bytes, str]:
    """The exit code, output and complaint of a git command.

    Args:
        folder: Where it runs.
        words: The command, without the program's name.
        given: What it reads.
        environment: Further variables.

    Raises:
        NoGitError: There is no git.
    """
    users = {name: value for name, value in os.environ.items() if not name.startswith("GIT_")}
    # Complaints are told apart by their words, so they must be in the one language we know them in.
    told = {**users, "LC_ALL": "C", "LANGUAGE": "C", **environment}
    try:
        done = subprocess.run(
            ["git", "--no-pager", *words],  # noqa: S607 - where git lies is the business of the computer
            cwd=folder,
            input=given,
            capture_output=True,
            env=told,
            check=False,
        )
    except FileNotFoundError:
        raise NoGitError from None
    return done.returncode, done.stdout, done.stderr.decode("utf-8", "replace").strip()
