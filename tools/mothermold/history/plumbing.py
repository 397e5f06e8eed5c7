"""Runs git for writing: without a shell, and with nothing of the user's settings that could change what is saved."""

from __future__ import annotations

import os
from collections.abc import Mapping
from pathlib import Path
from typing import Final

from mothermold.ground.errors import CannotRunError
from mothermold.history.program import NoGitError, execute

# Nothing personal is stored: whoever saves, the history names the book alone.
NOBODY: Final = {
    "GIT_AUTHOR_NAME": "The book", "GIT_AUTHOR_EMAIL": "book@localhost",
    "GIT_COMMITTER_NAME": "The book", "GIT_COMMITTER_EMAIL": "book@localhost",
}  # fmt: skip
# What editors, systems and our own broken-off writes leave lying about; no book means to keep it.
LITTER: Final = (".DS_Store", "Thumbs.db", "desktop.ini", "*~", ".*.sw[po]", "#*#", ".#*", ".*.new")

IF_IT_STAYS: Final = "If it stays so, type `mothermold mend`."

_FIXED: Final = {"GIT_NO_REPLACE_OBJECTS": "1", "GIT_LITERAL_PATHSPECS": "1", "GIT_TERMINAL_PROMPT": "0"}
_SETTINGS: Final = (
    # Programs of the user's that would run while we save, or stop us.
    f"core.hooksPath={os.devnull}", "core.fsmonitor=false", "commit.gpgSign=false", "gc.auto=0",
    # Settings that change which bytes are kept. Line ends stay the user's: else every file would seem changed.
    f"core.attributesFile={os.devnull}", "core.safecrlf=false", "i18n.commitEncoding=UTF-8", "add.ignoreErrors=false",
    "core.splitIndex=false", "advice.addEmbeddedRepo=false", f"core.excludesFile={os.devnull}",
    # A power cut must not leave empty objects behind.
    "core.fsync=committed,index,reference",
)  # fmt: skip
_NO_USER: Final = {"GIT_CONFIG_GLOBAL": os.devnull, "GIT_CONFIG_NOSYSTEM": "1"}


class Plumbing:
    """Runs git in one folder.

    Attributes:
        folder: Where it runs.
    """

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._user: Mapping[str, str] = {}

    def ignore_users_settings(self) -> None:
        """Leaves the user's settings out from now on: those that git itself cannot read."""
        self._user = _NO_USER

    def ask(
        self, *words: str, given: bytes = b"", index: Path | None = None, settings: Mapping[str, str] | None = None
    ) -> tuple[int, bytes, str]:
        """The exit code, output and complaint of a git command.

        Args:
            words: The command.
            given: What it reads.
            index: A list of files of our own in place of the repository's.
            settings: Further variables.

        Raises:
            CannotRunError: The program git is not on this computer, or cannot be started now.
        """
        environment = {**_FIXED, **self._user, **(settings or {})}
        if index is not None:
            environment["GIT_INDEX_FILE"] = str(index)
        fixed = [word for setting in _SETTINGS for word in ("-c", setting)]
        try:
            return execute(self.folder, [*fixed, *words], given, environment)
        except NoGitError:
            raise CannotRunError(
                "The program git is not on this computer; install it, then save. Nothing was saved."
            ) from None
        except OSError as problem:
            raise CannotRunError(f"The program git could not be started: {problem.strerror or problem}.") from problem

    def run(
        self, *words: str, given: bytes = b"", index: Path | None = None, settings: Mapping[str, str] | None = None
    ) -> bytes:
        """The output of a git command that must work.

        Raises:
            CannotRunError: It did not.
        """
        status, out, complaint = self.ask(*words, given=given, index=index, settings=settings)
        if status:
            raise CannotRunError(f"The book's history could not be written: {last_line(complaint)} {IF_IT_STAYS}")
        return out

    def place(self, *names: str) -> list[Path]:
        """Where something of these names lies, or would, in git's own folder for this working folder."""
        asked = [word for name in names for word in ("--git-path", name)]
        told = self.run("rev-parse", *asked).decode("utf-8", "surrogateescape").split("\n")
        return [self.folder.absolute() / each for each in told[: len(names)]]

    def word(self, *words: str, given: bytes = b"", index: Path | None = None) -> str:
        """The one word a git command that must work puts out."""
        return self.run(*words, given=given, index=index).decode("utf-8", "surrogateescape").strip()


def last_line(complaint: str) -> str:
    """What git complained of in the end, as a sentence."""
    lines = complaint.strip().splitlines()
    said = lines[-1].removeprefix("fatal: ").removeprefix("error: ") if lines else "git gave no reason"
    return f"{said.rstrip('.')}."


def named(path: str) -> bytes:
    """A file's name as git knows it."""
    return path.encode("utf-8", "surrogateescape")
