"""What becomes of one file that is brought into the book, and what the book would say of it."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final, Literal

from mothermold.desk.check_ahead import foresee
from mothermold.ground.notices import Notice
from mothermold.model.run import Run
from mothermold.view.view import View

BringDeed = Literal["new", "renewed", "known"]
BroughtKind = Literal["run", "failure", "lot", "photos"]
BRINGS: Final[Mapping[BroughtKind, tuple[str, str]]] = {
    "run": ("run", "runs"),
    "failure": ("failure note", "failure notes"),
    "lot": ("lot", "lots"),
    "photos": ("set of photos", "sets of photos"),
}
"""What can be brought: one of it and more, in words."""


@dataclass(frozen=True, slots=True)
class OtherWay:
    """How a file comes in whose name the book has for something else.

    Attributes:
        called: The name it goes by instead, of a lot its number; empty for its own.
        same: Whether it is what the book has by that name, so that what it says besides is added there.
    """

    called: str = ""
    same: bool = False


@dataclass(frozen=True, slots=True)
class BesidePhoto:
    """A photo that lies beside a file.

    Attributes:
        path: Where it lies.
        says: What the file says of it, by the keys of ``Picture``.
        data: Its bytes.
    """

    path: Path
    says: Mapping[str, str]
    data: bytes


@dataclass(frozen=True, slots=True)
class Brought:
    """What becomes of one file.

    Attributes:
        name: The file as it was named.
        file: Where it stands in the book, or will; empty where it is refused.
        deed: Whether it is new there, renewed, or was known; None where it is refused.
        notices: What is said about it.
        run: What it says where it is a run; None for what is none, and where it cannot be read as one.
        differs: Why it has to be agreed to, where the book says otherwise; then it is renewed only after a yes.
        text: What is written; empty where nothing is.
        was: The text it is written over; None where there is none.
        kind: What it is.
        called: What it goes by in the book; of a lot its number.
        words: What it says, in short, where it is no run.
        taken: Where it is refused because the book has another of its name, that name.
        left: What it says that was not added, because the book says otherwise there.
        photos: The photos that come in with it.
        part: The step or thing they show; empty for the whole.
    """

    name: str
    file: str
    deed: BringDeed | None
    notices: tuple[Notice, ...]
    run: Run | None = None
    differs: str = ""
    text: str = ""
    was: str | None = None
    kind: BroughtKind = "run"
    called: str = ""
    words: tuple[str, ...] = ()
    taken: str = ""
    left: tuple[str, ...] = ()
    photos: tuple[BesidePhoto, ...] = ()
    part: str = ""

    def refused(self, *notices: Notice) -> Brought:
        """The same where it cannot come in."""
        told = tuple(dataclasses.replace(each, file=self.name) for each in notices)
        return dataclasses.replace(self, file="", deed=None, notices=told, differs="", text="", was=None)

    def declined(self) -> Brought:
        """The same where nobody agreed to it."""
        advice = f"Change {self.file} by hand, or lay it aside and bring the file again."
        message = f"`{self.called}` is in the book. {self.differs}"
        if self.kind == "lot":
            return self.refused(Notice("lot-differs", "error", message, f"Change it in {self.file} by hand."))
        return self.refused(Notice("run-differs", "error", message, advice))

    def agreed(self) -> Brought:
        """The same where somebody agreed to it: an error keeps it out all the same."""
        errors = [each for each in self.notices if each.severity == "error"]
        return self.refused(*errors) if errors else dataclasses.replace(self, differs="")


def accepted(found: Brought, notices: Sequence[Notice]) -> Brought:
    """The same with what the book would say of it; an error keeps it out."""
    if errors := tuple(each for each in notices if each.severity == "error"):
        return dataclasses.replace(found, file="", deed=None, notices=errors, text="", was=None)
    said = (dataclasses.replace(each, file=found.file) if each.file == found.name else each for each in notices)
    return dataclasses.replace(found, notices=tuple(said))


def judged(root: Path, view: View, file: str, text: str, name: str) -> list[Notice]:
    """What the book would say of a file with this text, and of others because of it, and does not say now.

    Args:
        root: The book's folder.
        view: The owner's book as it is now.
        file: Where it will stand.
        text: What it will say.
        name: The file that is brought, by which what is said of it goes.
    """
    before = {_key(notice) for notice in view.notices}
    fresh = [notice for notice in foresee(root, {file: text}) if _key(notice) not in before]
    return [dataclasses.replace(notice, file=name) if notice.file == file else notice for notice in fresh]


def _key(notice: Notice) -> tuple[object, ...]:
    return notice.code, notice.severity, notice.file, notice.line, notice.message
