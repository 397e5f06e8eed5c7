"""The only exceptions of the package: what was asked is wrong (exit 1), or the tool could not run (exit 2).

An author's mistake in a document is never an exception; it is a notice.
"""

from __future__ import annotations

from mothermold.ground.notices import Notice


class MothermoldError(Exception):
    """The root of everything the package raises on purpose."""


class RefusedError(MothermoldError):
    """What was asked cannot be done; the notices say why and what to ask instead."""

    def __init__(self, *notices: Notice) -> None:
        self.notices = notices
        super().__init__("; ".join(notice.message for notice in notices))


def refused(code: str, message: str, advice: str) -> RefusedError:
    """What to raise when something asked for is not there or cannot be: one error, not in a file's line."""
    return RefusedError(Notice(code, "error", message, advice))


class CannotRunError(MothermoldError):
    """The tool could not do its work at all: no book, no right to write, a broken repository."""
