"""Opens generated books in memory, asks them everything an edition can be asked, and gathers every text in it."""

from __future__ import annotations

import contextlib
import dataclasses
import json
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from pydantic import BaseModel

from mothermold.answers import batch, check, difference, export, versions
from mothermold.answers.result import Result
from mothermold.book import library
from mothermold.book.shelves import Shelves
from mothermold.cli.commands import question_of
from mothermold.ground.errors import RefusedError
from mothermold.ground.rendering import as_data, as_text
from mothermold.history import timeline
from mothermold.history.log import Blobs, Commit, Log
from mothermold.model import settings
from mothermold.model.names import Reference
from mothermold.view import judged
from mothermold.view import view as view_module
from mothermold.view.editions import EDITIONS
from mothermold.view.view import View, open_view
from view.books import GeneratedBook

_START = datetime(2026, 1, 5, 12, tzinfo=UTC)


def open_editions(book: GeneratedBook) -> dict[str, View]:
    """The book in each edition, read from memory once."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(library, "document_files", lambda _root: ((file, Path(file)) for file in sorted(book.files)))
        patch.setattr(settings, "available_timezones", lambda: {"UTC", "Europe/Berlin"})  # it reads a folder each time
        patch.setattr(library, "_bytes", lambda _file, path: book.files[path.as_posix()].encode())
        patch.setattr(timeline, "read_log", lambda _root, _files: _log(book))
        read = library.read_book(Path("a-book"))
        history = timeline.open_history(read)
        patch.setattr(view_module, "read_book", lambda _root, **_before: read)
        patch.setattr(judged, "open_history", lambda _book, _before: history)
        return {edition: open_view(Path("a-book"), edition) for edition in EDITIONS}


def _log(book: GeneratedBook) -> Log:
    commits: list[Commit] = []
    blobs: dict[str, bytes] = {}
    trunk: tuple[str, ...] = ()
    for number, saved in enumerate(book.commits):
        changed: dict[str, str | None] = {}
        for file, text in saved.files.items():
            changed[file] = None if text is None else f"{number:039x}b"
            if text is not None:
                blobs[f"{number:039x}b"] = text.encode()
        sha = f"{number:039x}c"
        commits.insert(0, Commit(sha, trunk, _START + timedelta(days=number), changed, saved.first_parent))
        if saved.first_parent:
            trunk = (sha,)
    return Log(tuple(commits), Blobs(blobs, lambda _names: blobs), ())


def printed(view: View, *, hidden_recipes: tuple[str, ...] = ()) -> Iterator[tuple[str, str]]:
    """Everything the commands say of a view, as JSON and as text, each with what was asked."""
    yield from _said("export", export.export_book(view))
    yield from _said("check", check.check_book(view))
    for address in view.recipes:
        yield from _asked("versions", lambda address=address: versions.list_versions(view, address))
        yield from _asked("diff", lambda address=address: difference.explain_difference(view, address))
        listed = view.versions(address)
        assert listed is not None
        first = str(listed.rows[0].number)
        yield from _asked(
            "diff", lambda address=address, a=first: difference.explain_difference(view, address, a, "working")
        )
        for row in listed.rows:
            asked = f"{address}@{row.number}"
            yield from _asked(
                "mix", lambda asked=asked: batch.mix_batch(view, asked, "base", batch.BatchAsked(fill="100 ml"))
            )
            yield from _asked(
                "mix", lambda asked=asked: batch.mix_batch(view, asked, "no-such-mix", batch.BatchAsked())
            )
            yield from _asked(
                "mix", lambda asked=asked: batch.mix_batch(view, asked, "base", batch.BatchAsked(mold="old", flat=True))
            )
        # What nobody can have: the answer may offer what is near, and only what may be seen.
        yield from _asked(
            "mix", lambda address=address: batch.mix_batch(view, f"{address}@99", None, batch.BatchAsked())
        )
        yield from _asked(
            "versions", lambda address=address: versions.list_versions(view, address[:-1]), echo=address[:-1]
        )
    for address in hidden_recipes:
        yield from _asked("versions", lambda address=address: versions.list_versions(view, address), echo=address)


def _asked(command: str, ask: Any, echo: str | None = None) -> Iterator[tuple[str, str]]:
    try:
        result = ask()
    except RefusedError as refusal:
        # Whoever asks for a name is told that name again; only the rest is the book's.
        said = "\n".join(as_text(notice) for notice in refusal.notices)
        yield command, said.replace(f"`{echo}`", "") if echo else said
    else:
        yield from _said(command, result)


def _said(command: str, result: Result) -> Iterator[tuple[str, str]]:
    data = {**result.data, "notices": [as_data(notice) for notice in result.notices]}
    yield command, json.dumps(data, ensure_ascii=False)
    if command != "export":  # its text is the same JSON
        yield command, question_of(command).text(result)


def reachable(view: View, addresses: tuple[str, ...]) -> Iterator[tuple[str, str]]:
    """Every text that can be reached through what a view shows openly, with where it was found."""
    seen: set[int] = set()
    public = dict(_shown(view))
    public["versions()"] = [view.versions(address) for address in (*view.recipes, *addresses)]
    for name, value in public.items():
        for text in _texts(value, seen):
            yield name, text


def _shown(value: Any) -> Iterator[tuple[str, Any]]:
    """What a thing of the package shows openly and without being asked something."""
    for name in dir(value):
        if not name.startswith("_") and not callable(shown := getattr(value, name)):
            yield name, shown


def _texts(start: Any, seen: set[int]) -> Iterator[str]:
    waiting = [start]
    while waiting:
        value = waiting.pop()
        if isinstance(value, str):
            yield value
            if isinstance(value, Reference):
                yield value.address
            continue
        if value is None or isinstance(value, int | float | datetime) or id(value) in seen:
            continue
        seen.add(id(value))
        if isinstance(value, dict):
            waiting += value.keys()
            waiting += value.values()
        elif isinstance(value, list | tuple | set | frozenset):
            waiting += value
        elif isinstance(value, BaseModel):
            waiting += vars(value).values()
            waiting += (value.model_extra or {}).values()
        elif dataclasses.is_dataclass(value) and not isinstance(value, type):
            waiting += [getattr(value, each.name) for each in dataclasses.fields(value)]
            with contextlib.suppress(TypeError):
                waiting += vars(value).values()
        elif isinstance(value, Path):
            yield value.as_posix()
        elif isinstance(value, Shelves):
            waiting.append(value.by_kind())
        elif type(value).__module__.startswith("mothermold."):
            waiting += [shown for _name, shown in _shown(value)]
        elif hasattr(value, "items"):
            waiting += [part for item in value.items() for part in item]
