"""Whatever happens to the file of kept answers, what is asked is answered rightly, and nobody is told of the file."""

from __future__ import annotations

import multiprocessing
import os
import random
import shutil
import sqlite3
from collections.abc import Callable, Iterator, Sequence
from contextlib import closing, contextmanager
from fractions import Fraction
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, Final

import pytest

from campaigns.seeds import seeds
from history.repositories import FIRST, RECIPE, SECOND, Repository, empty_book, recipe, start_repository
from mothermold.ground import store
from mothermold.ground.notices import Notice
from mothermold.ground.store import NOWHERE, Store, digest
from mothermold.view.view import Whole

FILE: Final = "answers.sqlite"
ANSWER: Final = {"rows": [1, 2.5, None, True, "größer \udcff"], "ok": False}


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return tmp_path / "mothermold"


@pytest.fixture
def filled(folder: Path) -> Path:
    """A folder whose file holds thirty answers."""
    kept = Store(folder)
    for number in range(30):
        kept.put("sums", f"key {number}", answer(number), most=100)
    return folder


def answer(number: int) -> list[Any]:
    return [number, "x" * 40 * number]


@contextmanager
def changed(folder: Path) -> Iterator[sqlite3.Connection]:
    """The file as another program holds it."""
    with closing(sqlite3.connect(folder / FILE, isolation_level=None)) as file:
        yield file


def wrong(folder: Path, numbers: Sequence[int] = range(30)) -> list[int]:
    """Which answers are told otherwise than they were kept; none told is not wrong."""
    kept = Store(folder)
    told = {number: kept.get("sums", f"key {number}") for number in numbers}
    return [number for number, found in told.items() if found not in (None, answer(number))]


def test_an_answer_is_told_as_it_was_kept(folder: Path) -> None:
    Store(folder).put("sums", "a", ANSWER, most=3)
    assert Store(folder).get("sums", "a") == ANSWER
    assert Store(folder).get("sums", "b") is None
    assert Store(folder).get("notices", "a") is None


def test_the_newest_answer_to_a_key_counts(folder: Path) -> None:
    kept = Store(folder)
    for number in (1, 2):
        kept.put("sums", "a", number, most=3)
    assert Store(folder).get("sums", "a") == 2


def test_where_there_is_no_place_nothing_is_kept() -> None:
    NOWHERE.put("sums", "a", 1, most=3)
    assert NOWHERE.get("sums", "a") is None


def test_asking_makes_neither_folder_nor_file(folder: Path) -> None:
    assert Store(folder).get("sums", "a") is None
    assert not folder.exists()
    folder.mkdir()
    assert Store(folder).get("sums", "a") is None
    assert list(folder.iterdir()) == []


@pytest.mark.parametrize(
    "value",
    [(1, 2), [(1,)], {1: "one"}, Fraction(1, 3), {"a set"}, float("nan"), b"bytes", [object()]],
    ids=["pair", "pair within", "number as key", "fraction", "set", "no number", "bytes", "thing"],
)
def test_what_json_does_not_give_back_as_it_was_is_not_kept(folder: Path, value: object) -> None:
    Store(folder).put("sums", "a", value, most=3)
    assert Store(folder).get("sums", "a") is None


def test_an_answer_too_large_is_not_kept(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(store, "_LARGEST", 5)
    kept = Store(folder)
    kept.put("sums", "just", "abc", most=3)
    kept.put("sums", "over", "abcd", most=3)
    assert (kept.get("sums", "just"), kept.get("sums", "over")) == ("abc", None)


def test_the_oldest_go_and_other_kinds_stay(folder: Path) -> None:
    kept = Store(folder)
    for number in range(7):
        kept.put("sums", str(number), number, most=3)
        kept.put("notices", str(number), number, most=100)
    assert [kept.get("sums", str(number)) for number in range(7)] == [None, None, None, None, 4, 5, 6]
    assert [kept.get("notices", str(number)) for number in range(7)] == list(range(7))


def test_many_of_one_kind_do_not_push_out_another(folder: Path) -> None:
    kept = Store(folder)
    for number in range(3):
        kept.put("log", str(number), number, most=3)
        for other in range(10):
            kept.put("answers", f"{number} {other}", other, most=200)
    assert [kept.get("log", str(number)) for number in range(3)] == [0, 1, 2]


def test_another_version_of_the_program_finds_nothing(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    Store(folder).put("sums", "a", 1, most=3)
    monkeypatch.setattr(store, "_program", lambda: "another")
    assert Store(folder).get("sums", "a") is None
    Store(folder).put("sums", "a", 2, most=3)
    assert Store(folder).get("sums", "a") == 2
    monkeypatch.undo()
    assert Store(folder).get("sums", "a") == 1


def test_a_changed_file_of_the_program_makes_it_another_version(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    program = tmp_path / "package" / "ground" / "store.py"
    program.parent.mkdir(parents=True)
    seen = set()
    monkeypatch.setattr(store, "__file__", str(program))
    for text, tick in (("a", 1), ("b", 2), ("bc", 2)):
        program.write_text(text)
        os.utime(program, (tick, tick))
        seen.add(store._program.__wrapped__())
    (program.parent / "rules.yaml").write_text("")
    seen.add(store._program.__wrapped__())
    assert len(seen) == 4


def test_no_two_orders_have_the_same_digest() -> None:
    told = [digest(*parts) for parts in (["ab", "c"], ["a", "bc"], ["abc"], ["c", "ab"], ["abc", ""], [], [""])]
    assert len(set(told)) == len(told)
    assert digest("a", 1, b"b") == digest(b"a", "1", "b")


# What may happen to the file


def test_a_deleted_file_is_begun_anew(filled: Path) -> None:
    kept = Store(filled)
    assert kept.get("sums", "key 3") == answer(3)
    shutil.rmtree(filled)
    assert kept.get("sums", "key 3") is None
    kept.put("sums", "key 3", answer(3), most=9)
    assert Store(filled).get("sums", "key 3") in (None, answer(3))
    Store(filled).put("sums", "key 3", answer(3), most=9)
    assert Store(filled).get("sums", "key 3") == answer(3)


def garbage(data: bytes) -> bytes:
    return random.Random(0).randbytes(len(data))


def half(data: bytes) -> bytes:
    return data[: len(data) // 2]


def crumb(data: bytes) -> bytes:
    return data[:700]


def empty(_data: bytes) -> bytes:
    return b""


def prose(_data: bytes) -> bytes:
    return b"Kept for the bench.\n" * 90


@pytest.mark.parametrize("damage", [garbage, half, crumb, empty, prose])
def test_a_damaged_file_tells_nothing_wrong_and_is_begun_anew(filled: Path, damage: Callable[[bytes], bytes]) -> None:
    path = filled / FILE
    path.write_bytes(damage(path.read_bytes()))
    assert wrong(filled) == []
    for number in range(30):
        Store(filled).put("sums", f"key {number}", answer(number), most=100)
    assert [Store(filled).get("sums", f"key {number}") for number in range(30)] == [answer(n) for n in range(30)]


@pytest.mark.parametrize("seed", seeds(40, 600))
def test_bytes_changed_anywhere_in_the_file_tell_nothing_wrong(filled: Path, seed: int) -> None:
    chance, path = random.Random(seed), filled / FILE
    data = bytearray(path.read_bytes())
    for _ in range(chance.choice([1, 3, 30])):
        data[chance.randrange(len(data))] = chance.randrange(256)
    if chance.random() < 0.3:
        # A page that was never written, or one of earlier.
        page, other = (4096 * chance.randrange(len(data) // 4096) for _ in range(2))
        data[page : page + 4096] = data[other : other + 4096]
    path.write_bytes(data)
    assert wrong(filled) == []
    Store(filled).put("sums", "key 3", answer(3), most=100)
    assert wrong(filled) == []


@pytest.mark.parametrize(
    "value", [b"[1, 2]", b"[3,", None, "[1, 2]", 12, b""], ids=["other", "cut off", "none", "text", "number", "empty"]
)
def test_a_value_with_a_wrong_sum_is_not_believed(filled: Path, value: object) -> None:
    with changed(filled) as file:
        file.execute("UPDATE kept SET value = ?", [value])
    assert Store(filled).get("sums", "key 3") is None
    assert wrong(filled) == []


def test_the_answer_to_another_question_is_not_believed(filled: Path) -> None:
    with changed(filled) as file:
        (three,) = file.execute("SELECT sum, value FROM kept WHERE key LIKE '% key 3'")
        file.execute("UPDATE kept SET sum = ?, value = ?", three)
    assert [Store(filled).get("sums", f"key {number}") for number in (2, 3, 4)] == [None, answer(3), None]


def test_a_file_of_other_tables_is_left_alone(folder: Path) -> None:
    folder.mkdir()
    with changed(folder) as file:
        file.execute("CREATE TABLE kept (name TEXT)")
    Store(folder).put("sums", "a", 1, most=3)
    assert Store(folder).get("sums", "a") is None


@pytest.mark.parametrize("held", ["EXCLUSIVE", "IMMEDIATE"])
def test_while_another_program_holds_the_file_it_is_as_if_there_were_none(filled: Path, held: str) -> None:
    with changed(filled) as file:
        file.execute(f"BEGIN {held}")
        assert wrong(filled) == []
        Store(filled).put("sums", "new", 1, most=100)
        assert Store(filled).get("sums", "new") is None
        file.execute("COMMIT")
    assert Store(filled).get("sums", "key 3") == answer(3)
    Store(filled).put("sums", "new", 1, most=100)
    assert Store(filled).get("sums", "new") == 1


def a_file_instead(folder: Path) -> None:
    folder.write_text("mine")


def a_folder_for_the_file(folder: Path) -> None:
    (folder / FILE).mkdir(parents=True)


def nothing_around_it(folder: Path) -> None:
    folder.parent.rmdir()


@pytest.mark.parametrize("stands", [a_file_instead, a_folder_for_the_file, nothing_around_it])
def test_where_nothing_can_be_written_nothing_is_kept(tmp_path: Path, stands: Callable[[Path], None]) -> None:
    folder = tmp_path / "git" / "mothermold"
    folder.parent.mkdir()
    stands(folder)
    before = sorted(tmp_path.rglob("*"))
    kept = Store(folder)
    kept.put("sums", "a", 1, most=3)
    assert kept.get("sums", "a") is None
    assert sorted(tmp_path.rglob("*")) == before


def test_a_folder_that_may_not_be_looked_into_tells_nothing(filled: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def closed(path: Path) -> bool:
        raise PermissionError(13, "closed", path)

    monkeypatch.setattr(Path, "is_file", closed)
    assert Store(filled).get("sums", "key 3") is None


@contextmanager
def somebody_who_may_not_write() -> Iterator[None]:
    """Root may write everywhere, so meanwhile it is nobody."""
    was = os.geteuid()
    try:
        if was == 0:
            os.seteuid(65534)
        yield
    finally:
        os.seteuid(was)


@pytest.mark.skipif(os.name == "nt", reason="Windows has no such rights; CI runs this on Linux")
def test_a_folder_that_may_only_be_read_is_as_it_was(filled: Path) -> None:
    # Nobody may come into the folders of pytest.
    with TemporaryDirectory() as place:
        folder = Path(shutil.copytree(filled, Path(place) / "kept"))
        Path(place).chmod(0o755)
        folder.chmod(0o555)
        with somebody_who_may_not_write():
            with pytest.raises(PermissionError):
                (folder / "new").touch()
            Store(folder).put("sums", "new", 1, most=100)
            assert wrong(folder) == []
        folder.chmod(0o755)
        assert Store(folder).get("sums", "new") is None
        assert Store(folder).get("sums", "key 3") == answer(3)


class Full:
    """A file on a disk that has no room."""

    def __init__(self, file: sqlite3.Connection, failing: str) -> None:
        self.file, self.failing = file, failing

    def execute(self, words: str, given: Sequence[object] = ()) -> sqlite3.Cursor:
        if words.startswith(self.failing):
            raise sqlite3.OperationalError("database or disk is full")
        return self.file.execute(words, given)

    def __enter__(self) -> Full:
        self.file.__enter__()
        return self

    def __exit__(self, *told: Any) -> None:
        self.file.__exit__(*told)

    def close(self) -> None:
        self.file.close()


@pytest.mark.parametrize("failing", ["PRAGMA", "SELECT", "CREATE", "INSERT", "DELETE"])
def test_on_a_full_disk_what_was_kept_stays_and_nothing_is_said(
    filled: Path, monkeypatch: pytest.MonkeyPatch, failing: str
) -> None:
    connect = sqlite3.connect
    with monkeypatch.context() as full:
        full.setattr(sqlite3, "connect", lambda *told, **more: Full(connect(*told, **more), failing))
        assert wrong(filled) == []
        Store(filled).put("sums", "new", 1, most=100)
    assert Store(filled).get("sums", "key 3") == answer(3)
    assert Store(filled).get("sums", "new") == (1 if failing == "SELECT" else None)


def _keeps(folder: Path, of: int) -> None:
    kept = Store(folder)
    for number in range(of, 120, 2):
        kept.put("sums", f"key {number}", answer(number), most=1000)
        assert wrong(folder, range(number)) == []


def test_two_programs_may_keep_answers_at_once(folder: Path) -> None:
    spawned = multiprocessing.get_context("spawn")
    both = [spawned.Process(target=_keeps, args=(folder, of)) for of in range(2)]
    for each in both:
        each.start()
    for each in both:
        each.join()
    assert [each.exitcode for each in both] == [0, 0]
    assert wrong(folder, range(120)) == []
    kept = Store(folder)
    assert sum(kept.get("sums", f"key {number}") == answer(number) for number in range(120)) > 60


# A whole book


def book(folder: Path, *versions: str) -> Repository:
    repository = start_repository(folder)
    repository.save(FIRST, empty_book() | {RECIPE: versions[0]})
    for text in versions[1:]:
        repository.save(SECOND, {RECIPE: text})
    return repository


def told(repository: Repository) -> tuple[list[tuple[int, str]], tuple[Notice, ...]]:
    """What `versions` and `check` say."""
    view = Whole.open(repository.folder).edition("private")
    listed = view.versions("cast/cheek")
    assert listed is not None
    return [(row.number, str(row.moment)) for row in listed.rows], view.notices


def test_the_answers_of_another_book_are_no_answers_here(tmp_path: Path) -> None:
    one = book(tmp_path / "one", recipe(1))
    other = book(tmp_path / "other", recipe(1), recipe(2, fixes=["gone"]))
    before = told(one), told(other)
    assert before[0] != before[1]
    (mine, theirs) = (each.folder / ".git" / "mothermold" for each in (one, other))
    shutil.rmtree(mine)
    shutil.copytree(theirs, mine)
    assert (told(one), told(other)) == before
    shutil.copytree(mine, theirs, dirs_exist_ok=True)
    assert (told(one), told(other)) == before


@pytest.mark.parametrize("damage", [garbage, half, empty])
def test_a_damaged_file_changes_nothing_of_what_a_book_says(tmp_path: Path, damage: Callable[[bytes], bytes]) -> None:
    repository = book(tmp_path / "one", recipe(1), recipe(2, fixes=["gone"]))
    before = told(repository)
    for path in (repository.folder / ".git" / "mothermold").iterdir():
        path.write_bytes(damage(path.read_bytes()))
    assert told(repository) == before
    assert told(repository) == before


def test_a_file_that_grew_too_large_is_begun_anew(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(store, "_FULL", 200_000)
    kept = Store(tmp_path / "kept")
    for number in range(3):
        kept.put("room", str(number), ["x" * 90_000], most=99)
    assert [kept.get("room", str(number)) is not None for number in range(3)] == [True, True, True]
    kept.put("room", "3", ["x"], most=99)
    assert [kept.get("room", str(number)) is not None for number in range(4)] == [False, False, False, True]
    assert (tmp_path / "kept" / "answers.sqlite").stat().st_size < 50_000
