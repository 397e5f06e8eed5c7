"""Makes a repository and saves into it, whatever the user's own git settings are."""

from __future__ import annotations

import os
from datetime import datetime
from pathlib import Path
from typing import Any, Final

from mothermold.ground.errors import CannotRunError
from mothermold.history.program import clean_environment, git_library

# A demo has no author; its commits must be the same bytes on every machine.
_NOBODY: Final = {
    "GIT_AUTHOR_NAME": "mothermold demo", "GIT_AUTHOR_EMAIL": "demo@localhost",
    "GIT_COMMITTER_NAME": "mothermold demo", "GIT_COMMITTER_EMAIL": "demo@localhost",
    "GIT_CONFIG_GLOBAL": os.devnull, "GIT_CONFIG_NOSYSTEM": "1",
}  # fmt: skip


def make_repository(folder: Path) -> str:
    """Makes the folder a git repository without a commit; returns a sentence where git is missing, else nothing."""
    with clean_environment():
        git = git_library()

        try:
            _run(git, folder, ["init", "--quiet", "--initial-branch=main"], {})
            # A power cut must not leave empty objects behind.
            _run(git, folder, ["config", "core.fsync", "committed"], {})
            _run(git, folder, ["config", "core.fsyncMethod", "batch"], {})
        except git.exc.GitCommandNotFound:
            return "The program git is not on this computer; install it before the first save, to keep versions."
        except git.exc.GitCommandError as problem:
            raise CannotRunError(f"git could not make a repository in {folder}: {_last_line(problem)}") from problem
    return ""


class Recorder:
    """Saves the state of a folder as commits with given dates, without an author of flesh and blood."""

    def __init__(self, folder: Path) -> None:
        if told := make_repository(folder):
            raise CannotRunError(told)
        self.folder = folder

    def save(self, message: str, moment: datetime) -> None:
        """Saves everything in the folder."""
        stamp = moment.isoformat()
        environment = {**_NOBODY, "GIT_AUTHOR_DATE": stamp, "GIT_COMMITTER_DATE": stamp}
        with clean_environment():
            git = git_library()

            try:
                _run(git, self.folder, ["add", "--all"], environment)
                settings = ["-c", "commit.gpgSign=false", "-c", "core.hooksPath=/dev/null"]
                _run(
                    git,
                    self.folder,
                    [*settings, "commit", "--quiet", "--allow-empty", f"--message={message}"],
                    environment,
                )
            except git.exc.GitCommandError as problem:
                raise CannotRunError(f"git could not save: {_last_line(problem)}") from problem


def _run(git: Any, folder: Path, words: list[str], environment: dict[str, str]) -> None:
    git.Git(str(folder)).execute(["git", *words], env=environment)


def _last_line(problem: Any) -> str:
    lines = str(problem.stderr).strip().strip("'").splitlines()
    return lines[-1] if lines else "no reason given."
