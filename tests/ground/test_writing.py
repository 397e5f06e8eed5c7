"""A file is written whole or not at all, and never over a text nobody has read."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from mothermold.ground import writing
from mothermold.ground.errors import CannotRunError, RefusedError
from mothermold.ground.writing import broken_off, remove, replace_bytes, write_text


def test_a_new_file_is_written_with_its_folders(tmp_path: Path) -> None:
    write_text(tmp_path / "a" / "b" / "c.yaml", "title: größer\n")
    assert (tmp_path / "a" / "b" / "c.yaml").read_bytes() == "title: größer\n".encode()
    assert [path.name for path in (tmp_path / "a" / "b").iterdir()] == ["c.yaml"]


def test_an_existing_file_is_not_written_over(tmp_path: Path) -> None:
    path = tmp_path / "c.yaml"
    path.write_text("mine\n")
    with pytest.raises(RefusedError) as refusal:
        write_text(path, "yours\n")
    assert refusal.value.notices[0].code == "already-there"
    assert path.read_text() == "mine\n"


def test_a_file_changed_since_it_was_read_is_not_written_over(tmp_path: Path) -> None:
    path = tmp_path / "c.yaml"
    path.write_text("newer\n")
    with pytest.raises(RefusedError) as refusal:
        write_text(path, "mine\n", replaces="older\n")
    assert refusal.value.notices[0].code == "changed-meanwhile"
    assert path.read_text() == "newer\n"


def test_a_file_that_is_as_it_was_read_is_replaced_and_keeps_its_mode(tmp_path: Path) -> None:
    path = tmp_path / "c.yaml"
    path.write_text("older\n")
    path.chmod(0o600)
    write_text(path, "newer\n", replaces="older\n")
    assert path.read_text() == "newer\n"
    assert path.stat().st_mode & 0o777 == 0o600


@pytest.mark.parametrize("failing", ["mkstemp", "fsync", "fdopen", "link", "replace"])
@pytest.mark.parametrize("exists", [True, False], ids=["over an old file", "anew"])
def test_whatever_fails_the_old_file_stays_whole(
    failing: str, exists: bool, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "c.yaml"
    if exists:
        path.write_text("older\n")

    def fail(*_args: object, **_kwargs: object) -> None:
        raise OSError(28, "No space left on device")

    places: dict[str, tuple[object, str]] = {
        "mkstemp": (writing.tempfile, "mkstemp"),
        "fsync": (writing.os, "fsync"),
        "fdopen": (writing.os, "fdopen"),
        "link": (writing.os, "link"),
        "replace": (writing.Path, "replace"),
    }
    owner, name = places[failing]
    monkeypatch.setattr(owner, name, fail)
    try:
        write_text(path, "newer\n", replaces="older\n" if exists else None)
    except CannotRunError as problem:
        assert "No space left" in str(problem)  # noqa: PT017 - with a link failing nothing is raised
        assert path.exists() == exists
    # Without links a name is still taken, and replacing needs none.
    assert [entry.name for entry in tmp_path.iterdir()] in ([], ["c.yaml"])
    if path.exists():
        assert path.read_text() in ("older\n", "newer\n")


CHILD = """
import os, sys
from pathlib import Path
from mothermold.ground import writing
count = int(sys.argv[2])
seen = 0
def dying(function):
    def call(*args, **kwargs):
        global seen
        seen += 1
        if seen == count:
            os.kill(os.getpid(), 9)
        return function(*args, **kwargs)
    return call
for owner, name in ((writing.os, "fsync"), (writing.os, "fdopen"), (writing.tempfile, "mkstemp"), (writing.Path, "replace"), (writing.Path, "chmod")):
    setattr(owner, name, dying(getattr(owner, name)))
writing.write_text(Path(sys.argv[1]), "newer\\n" * 1000, replaces="older\\n" * 1000)
"""


@pytest.mark.skipif(os.name == "nt", reason="Windows knows no kill -9; CI runs this on Linux")
@pytest.mark.parametrize("count", range(1, 7))
def test_killed_at_any_moment_the_file_is_old_or_new(count: int, tmp_path: Path) -> None:
    path = tmp_path / "c.yaml"
    path.write_text("older\n" * 1000)
    subprocess.run([sys.executable, "-c", CHILD, str(path), str(count)], check=False)
    assert path.read_text() in ("older\n" * 1000, "newer\n" * 1000)


def test_a_name_taken_meanwhile_is_not_lost(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "c.yaml"
    original: Callable[..., object] = writing.os.fsync

    def someone_else_writes(descriptor: int) -> object:
        if not path.exists():
            path.write_text("theirs\n")
        return original(descriptor)

    monkeypatch.setattr(writing.os, "fsync", someone_else_writes)
    with pytest.raises(RefusedError):
        write_text(path, "mine\n")
    assert path.read_text() == "theirs\n"


def in_place(path: Path) -> None:
    path.write_text("theirs\n")


def by_a_rename(path: Path) -> None:
    path.with_suffix(".tmp").write_text("theirs\n")
    path.with_suffix(".tmp").replace(path)


def gone(path: Path) -> None:
    path.unlink()


@pytest.mark.parametrize("exchanges", [True, False], ids=["exchanged", "renamed"])
@pytest.mark.parametrize("saves", [in_place, by_a_rename, gone])
def test_what_an_editor_saves_while_ours_is_written_beside_it_stays(
    saves: Callable[[Path], None], exchanges: bool, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "c.yaml"
    path.write_text("older\n")
    sync = os.fsync

    def someone_saves(descriptor: int) -> None:
        saves(path)
        sync(descriptor)

    monkeypatch.setattr(writing.os, "fsync", someone_saves)
    if not exchanges:
        monkeypatch.setattr(writing, "exchange", lambda _one, _other: False)
    with pytest.raises(RefusedError, match="changed by someone else"):
        write_text(path, "mine\n", replaces="older\n")
    assert [(each.name, each.read_text()) for each in tmp_path.iterdir()] == (
        [] if saves is gone else [("c.yaml", "theirs\n")]
    )


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="the exchange of two names is tried on Linux")
@pytest.mark.parametrize("saves", [in_place, by_a_rename, gone])
@pytest.mark.parametrize("again", [False, True], ids=["once", "and once more"])
def test_what_an_editor_saves_between_the_last_look_and_the_exchange_stays(
    saves: Callable[[Path], None], again: bool, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "c.yaml"
    path.write_text("older\n")
    real, calls = writing.exchange, []

    def late(one: Path, other: Path) -> bool:
        calls.append(other)
        if len(calls) == 1:
            saves(path)
        if len(calls) == 2 and again:
            path.with_suffix(".tmp").write_text("newest\n")
            path.with_suffix(".tmp").replace(path)
        return real(one, other)

    monkeypatch.setattr(writing, "exchange", late)
    with pytest.raises(RefusedError, match="changed by someone else"):
        write_text(path, "mine\n", replaces="older\n")
    kept = "newest\n" if again else "theirs\n"
    assert [(each.name, each.read_text()) for each in tmp_path.iterdir()] == (
        [] if saves is gone else [("c.yaml", kept)]
    )


def test_a_file_is_removed_only_while_it_says_what_was_read(tmp_path: Path) -> None:
    path = tmp_path / "c.yaml"
    path.write_text("theirs\n")
    with pytest.raises(RefusedError, match="changed by someone else"):
        remove(path, holds=b"older\n")
    assert [(each.name, each.read_text()) for each in tmp_path.iterdir()] == [("c.yaml", "theirs\n")]
    remove(path, holds=b"theirs\n")
    remove(path, holds=b"theirs\n")
    assert list(tmp_path.iterdir()) == []


def test_what_a_stopped_write_left_is_known_and_what_a_running_one_writes_is_not_touched(tmp_path: Path) -> None:
    path = tmp_path / "recipes" / "c.yaml"
    path.parent.mkdir()
    path.write_text("older\n" * 1000)
    subprocess.run([sys.executable, "-c", CHILD, str(path), "2"], check=False)
    left = [each for each in path.parent.iterdir() if each != path]
    assert len(left) == 1
    (path.parent / f".c.yaml.{os.getpid()}-abcd1234.new").write_text("now\n")
    (path.parent / ".mine.new").write_text("an artist's own file\n")
    assert list(broken_off(tmp_path)) == left


def test_bytes_are_replaced_as_texts_are(tmp_path: Path) -> None:
    path = tmp_path / "c.jpg"
    replace_bytes(path, b"\xff1", replaces=None)
    with pytest.raises(RefusedError):
        replace_bytes(path, b"\xff2", replaces=b"\xff0")
    replace_bytes(path, b"\xff2", replaces=b"\xff1")
    assert path.read_bytes() == b"\xff2"
