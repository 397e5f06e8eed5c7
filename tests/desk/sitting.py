"""A sitting with `new`: a keyboard that answers, a small book with a history, and what is read back afterwards."""

from __future__ import annotations

import io
import re
import shutil
import sys
from collections.abc import Sequence
from datetime import datetime
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from mothermold.answers.schemas import write_schemas
from mothermold.book.document import Document
from mothermold.book.library import read_book
from mothermold.cli.asking import Terminal
from mothermold.desk.starting import start
from mothermold.history.making import Recorder
from mothermold.view.view import open_view

GOOD = Path(__file__).parents[1] / "data" / "good"
NOW = datetime(2026, 6, 1, 14, 30, tzinfo=ZoneInfo("UTC"))


class Answers(io.StringIO):
    """A keyboard: gives one answer after the other, then ends or is interrupted."""

    def __init__(self, answers: Sequence[str], *, interrupted: bool = False) -> None:
        super().__init__("".join(f"{answer}\n" for answer in answers))
        self.interrupted = interrupted

    def readline(self, *_args: Any) -> str:  # type: ignore[override]
        line = super().readline()
        if not line and self.interrupted:
            raise KeyboardInterrupt
        return line


def small_shop(folder: Path) -> Path:
    """A small book with a history: its cast recipe has two versions."""
    shutil.copytree(GOOD, folder)
    write_schemas(folder / "schema")
    file = folder / "recipes" / "cast" / "cheek.yaml"
    second = file.read_text()
    first = (
        re.sub(r"(?m)^(?:why|fixes): .*\n", "", second).replace("version: 2", "version: 1").replace("96 ml", "90 ml")
    )
    recorder = Recorder(folder)
    for text, day in ((first, 1), (second, 2)):
        file.write_text(text)
        recorder.save("Saved.", NOW.replace(day=day))
    return folder


def files(folder: Path) -> dict[str, bytes]:
    found = (path for path in (folder / "recipes").rglob("*") if path.is_file())
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in found}


def begin(
    book: Path, kind: str | None, answers: Sequence[str], monkeypatch: pytest.MonkeyPatch, source: str | None = None
) -> Document:
    """Answers every question; the document as the book reads it afterwards."""
    keyboard = Answers(answers)
    monkeypatch.setattr(sys, "stdin", keyboard)
    path = start(book, Terminal(), kind, source=source, now=NOW)
    assert keyboard.read() == "", "more was answered than was asked"
    assert path is not None
    file = path.relative_to(book).as_posix()
    wrong = [each for each in open_view(book, "private").notices if each.file == file and each.severity == "error"]
    assert wrong == []
    return next(document for document in read_book(book).documents.every() if document.file == file)
