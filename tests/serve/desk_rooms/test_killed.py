"""Killed at any operation of what a page does, each file is what it was or what it was to be, and the history is whole."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import sys
import traceback
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path

import pytest

from book.photos import jpeg, patches
from campaigns.seeds import seeds
from mothermold.cli.main import main
from mothermold.serve.inbox import Inbox
from serve.desk_rooms.sitting_down import Desk

_RECIPE = "recipes/cast/nose-piece.yaml"
_RUN = "id: r-2026-10-20-nose-1\nkind: run\nrecipe: cast/nose-piece@4\nstarted: 2026-10-20 10:00\n"
_WRITES = (
    "os.rename",
    "os.remove",
    "os.link",
    "os.mkdir",
    "os.chmod",
    "os.truncate",
    "subprocess.Popen",
    "tempfile.mkstemp",
)


def _changed(book: Path) -> None:
    file = book / _RECIPE
    file.write_text(file.read_text("utf-8").replace("title: ", "title: Our ", 1), "utf-8")


def _handed_over(book: Path) -> None:
    (book / "inbox").mkdir()
    (book / "inbox" / "run.yaml").write_text(_RUN, "utf-8")


def _chosen(desk: Desk) -> Mapping[str, str | list[str]]:
    desk.choose(("a.jpg", jpeg(patches())), ("b.jpg", jpeg(patches(200, 100))))
    return {"title": "Our nose"}


def _sent_with_photos(book: Path) -> None:
    photos = {f"photo-{name}.jpg": jpeg(patches(size, 60)) for name, size in (("a", 90), ("b", 100))}
    text = _RUN + "photos:\n" + "".join(f"  - file: {name}\n    alt: As cast\n" for name in photos)
    Inbox(book).keep(text, photos=photos)


def _boxes(desk: Desk) -> dict[str, str | list[str]]:
    return {name: [each.value] for name, each in desk.controls.items() if each.sort == "checkbox"}


@dataclass(frozen=True)
class Deed:
    """A button of the desk: what lies in the book before, where the button is, its words, and what is typed beside it."""

    prepare: Callable[[Path], None]
    page: str
    button: str
    typed: Callable[[Desk], Mapping[str, str | list[str]]] = lambda _desk: {}


_DEEDS = {
    "written": Deed(lambda _book: None, "desk/recipe/cast/nose-piece", "Write it", lambda _desk: {"title": "Our nose"}),
    "saved": Deed(_changed, "desk/save", "Save", lambda _desk: {"why": "So."}),
    "undone": Deed(lambda _book: None, "desk/undo", "Take it back"),
    "brought": Deed(_handed_over, "desk/inbox", "Take", _boxes),
    "written with photos": Deed(lambda _book: None, "desk/recipe/cast/nose-piece", "Write it", _chosen),
    "brought with photos": Deed(_sent_with_photos, "desk/inbox", "Take", _boxes),
}


def _state(book: Path) -> dict[str, bytes]:
    found = (path for name in ("recipes", "inbox") for path in (book / name).rglob("[!.]*") if path.is_file())
    return {path.relative_to(book).as_posix(): path.read_bytes() for path in found}


def _saves(book: Path) -> str:
    told = subprocess.run(["git", "log", "--format=%s"], cwd=book, check=True, capture_output=True, text=True)
    return told.stdout


def _pressed_until(book: Path, deed: str, last: int) -> bool:
    """Presses the button in a process that is killed before its operation of that number; whether it was done before."""
    child = os.fork()
    if child == 0:
        try:
            desk, seen = Desk(book).go(_DEEDS[deed].page), 0

            def hook(event: str, given: tuple[object, ...]) -> None:
                nonlocal seen
                flags = given[2] if event == "open" else 0
                seen += event in _WRITES or bool(
                    isinstance(flags, int) and flags & (os.O_WRONLY | os.O_RDWR | os.O_CREAT)
                )
                if seen == last and event != "os.kill":
                    os.kill(os.getpid(), signal.SIGKILL)

            typed = _DEEDS[deed].typed(desk)
            sys.addaudithook(hook)
            desk.press(_DEEDS[deed].button, typed)
        except BaseException:
            traceback.print_exc()
            os._exit(1)
        os._exit(0)
    code = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
    assert code in (0, -signal.SIGKILL)
    return code == 0


@pytest.mark.skipif(os.name == "nt", reason="Windows knows no kill -9; CI runs this on Linux")
@pytest.mark.parametrize("deed", _DEEDS)
@pytest.mark.parametrize("part", seeds(1, 4))
def test_killed_at_any_operation_a_file_is_old_or_new_and_the_history_whole(
    deed: str, part: int, sample_book: Path, tmp_path: Path
) -> None:
    prepared, done = tmp_path / "prepared", tmp_path / "done"
    shutil.copytree(sample_book, prepared)
    _DEEDS[deed].prepare(prepared)
    old, old_saves = _state(prepared), _saves(prepared)
    shutil.copytree(prepared, done)
    assert _pressed_until(done, deed, -1)
    new, new_saves = _state(done), _saves(done)
    assert (old, old_saves) != (new, new_saves), "the button did nothing"
    for last in range(part + 1, 400, 36):
        book = tmp_path / "book"
        shutil.rmtree(book, ignore_errors=True)
        shutil.copytree(prepared, book)
        is_done = _pressed_until(book, deed, last)
        now = _state(book)
        for file in {*old, *new, *now}:
            assert now.get(file) in (old.get(file), new.get(file)), (last, file)
        assert _saves(book) in (old_saves, new_saves), last
        assert (
            subprocess.run(["git", "fsck", "--strict"], cwd=book, check=False, capture_output=True).returncode == 0
        ), last
        assert main(["-C", str(book), "check"]) in (0, 1), last
        if is_done:
            return
    pytest.fail("it never came to an end")
