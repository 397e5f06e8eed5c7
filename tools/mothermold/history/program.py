"""The program git, run through GitPython: without a shell, and with no variable of the user's that could mislead it."""

from __future__ import annotations

import contextlib
import os
import tempfile
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
    """GitPython, imported when history is first asked for: it takes an eighth of a second.

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
    # From a file: a pipe that git does not read to its end would never close.
    with clean_environment(), tempfile.TemporaryFile() as stdin:
        stdin.write(given)
        stdin.seek(0)
        git = git_library()
        try:
            status, out, complaint = git.Git(str(folder)).execute(
                ["git", "--no-pager", *words],
                istream=stdin,
                with_extended_output=True,
                with_exceptions=False,
                stdout_as_string=False,
                strip_newline_in_stdout=False,
                env=dict(environment),
            )
        except git.exc.GitCommandNotFound:
            raise NoGitError from None
    return status, out, complaint if isinstance(complaint, str) else complaint.decode("utf-8", "replace")
