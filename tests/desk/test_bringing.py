"""`bring` takes runs from the bench into the book: each once, whole, and nothing the book would call wrong."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import Any

import pytest

from desk.answering import Scripted, files
from mothermold.cli.main import main
from mothermold.desk import bringing, bringing_photos
from mothermold.desk.bringing import bring_runs
from mothermold.desk.only_adds import first_difference
from mothermold.ground.errors import CannotRunError, RefusedError
from mothermold.view.view import open_view

GOOD = Path(__file__).resolve().parents[1] / "data" / "good"
ID = "r-2026-05-20-cheek-1432"
PLACE = f"recipes/builds/old-baker/runs/{ID}.yaml"
HALF = f"""\
# Noted at the bench.
format: 1
id: {ID}
kind: run
recipe: cast/cheek@2
started: 2026-05-20 14:32
mold: cheek-mold-1
batch:
  - mix: base
    weighed: 120.5 g
took:
  - step: mix
    done: 2026-05-20 15:02
changed:
  - step: mix
    note: "Poured: \\"twice\\" # in two lifts"
"""
WHOLE = (
    HALF.replace("started: 2026-05-20 14:32\n", "started: 2026-05-20 14:32\nfinished: 2026-05-20 19:05\n")
    + "outcome: good\n"
)


@pytest.fixture
def book(tmp_path: Path) -> Path:
    folder = Path(shutil.copytree(GOOD, tmp_path / "book"))
    # The mold belongs to the build, as most do.
    (folder / "recipes/builds/old-baker/molds").mkdir()
    (folder / "recipes/molds/cheek-mold-1.yaml").rename(folder / "recipes/builds/old-baker/molds/cheek-mold-1.yaml")
    return folder


@pytest.fixture
def phone(tmp_path: Path) -> Path:
    folder = tmp_path / "phone"
    folder.mkdir()
    return folder


def bring(book: Path, *given: Path, answers: dict[str, Any] | None = None, to: str | None = None) -> tuple[str, str]:
    """What is said at the end, and on the way."""
    asking = Scripted(answers)
    said = bring_runs(book, [str(each) for each in given], asking, to=to, asks=answers is not None)
    return said, asking.told


def refused(book: Path, *given: Path, **how: Any) -> list[str]:
    """The codes of a refusal."""
    with pytest.raises(RefusedError) as refusal:
        bring(book, *given, **how)
    return [notice.code for notice in refusal.value.notices]


def put(folder: Path, text: str, name: str = f"{ID}.yaml") -> Path:
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return path


def test_a_run_comes_in_at_the_build_of_its_mold_and_the_book_finds_nothing_wrong(book: Path, phone: Path) -> None:
    before = {notice.message for notice in open_view(book, "private").notices}
    said, told = bring(book, put(phone, WHOLE))
    assert said == "1 run came in. Keep it with `mothermold save`."
    assert told == f"{PLACE} is new."
    assert (book / PLACE).read_text(encoding="utf-8") == WHOLE
    assert {notice.message for notice in open_view(book, "private").notices} == before


def test_brought_twice_it_is_there_once(book: Path, phone: Path) -> None:
    path = put(phone, WHOLE)
    bring(book, path)
    after = files(book)
    assert bring(book, path, put(phone, WHOLE, f"{ID} (1).yaml"))[0] == "2 runs were in the book already."
    assert files(book) == after
    assert path.exists()


def test_the_id_inside_counts_and_not_the_name_of_the_file(book: Path, phone: Path) -> None:
    bring(book, put(phone, WHOLE, "download (3).yaml.txt"))
    assert (book / PLACE).exists()


def test_a_run_handed_over_half_way_gets_more_at_the_end_and_loses_nothing_to_the_older_file(
    book: Path, phone: Path
) -> None:
    half, whole = put(phone, HALF, "half.yaml"), put(phone, WHOLE, "whole.yaml")
    bring(book, half)
    assert bring(book, whole) == ("1 run got more. Keep it with `mothermold save`.", f"{PLACE} has more in it now.")
    assert bring(book, half)[0] == "1 run was in the book already."
    assert (book / PLACE).read_text(encoding="utf-8") == WHOLE


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        (WHOLE.replace("120.5 g", "121 g"), "At batch 1, weighed it says `120.5 g`, the file `121 g`."),
        (WHOLE.replace("mold: cheek-mold-1\n", "who: [R1]\n"), "It says mold, the file does not."),
        (
            WHOLE.replace("  - step: mix\n    done: 2026-05-20 15:02\n", "").replace("took:\n", "who: [R1]\n"),
            "It says took, the file does not.",
        ),
    ],
)
def test_where_the_book_says_otherwise_it_is_asked_and_by_itself_refused(
    changed: str, said: str, book: Path, phone: Path
) -> None:
    bring(book, put(phone, WHOLE))
    before, other = files(book), put(phone, changed, "other.yaml")
    with pytest.raises(RefusedError) as refusal:
        bring(book, other)
    (notice,) = refusal.value.notices
    assert (notice.code, notice.file) == ("run-differs", other.as_posix())
    assert notice.message == f"`{ID}` is in the book. {said}"
    assert PLACE in notice.help
    assert refused(book, other, answers={"Take the file instead?": False}) == ["run-differs"]
    assert files(book) == before
    assert bring(book, other, answers={"Take the file instead?": True})[0].startswith("1 run got more.")
    assert (book / PLACE).read_text(encoding="utf-8") == changed


def test_a_comment_written_by_hand_is_not_lost_without_asking(book: Path, phone: Path) -> None:
    bring(book, put(phone, HALF))
    for comment in ("  # the red cup", " # the red cup", "\n# the red cup"):
        (book / PLACE).write_text(HALF.replace("120.5 g", f"120.5 g{comment}"), encoding="utf-8")
        assert refused(book, put(phone, WHOLE)) == ["run-differs"]
        assert "# the red cup" in (book / PLACE).read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("wrong", "code", "words"),
    [
        (WHOLE.replace("cheek@2", "cheek@99"), "version-missing", "`cast/cheek` has no version 99."),
        (WHOLE.replace("cast/cheek", "cast/chin"), "unknown-reference", "No recipe is called `cast/chin`."),
        (WHOLE.replace("mold: cheek-mold-1", "mold: cheek-mold-9"), "unknown-reference", "No mold is called `cheek-mold-9`."),
        (WHOLE.replace("step: mix", "step: melt", 1), "unknown-step", "`cast/cheek@2` has no step `melt`."),
        (WHOLE.replace("mix: base", "mix: bass"), "unknown-mix", "`cast/cheek@2` has no mix `bass`."),
        (WHOLE + "cups: [{parts: [{mix: bass}]}]\n", "unknown-mix", "`cast/cheek@2` has no mix `bass`."),
        (WHOLE.replace("120.5 g", "120,5 g"), "decimal-comma", "The comma in `120,5 g` can mean a decimal or thousands."),
        (WHOLE + "kept: [{piece: C-01}]\n", "duplicate-id", "A piece `C-01` exists already, from `r-2026-03-10-cheek-1`."),
        (WHOLE.replace(ID, "../../r-x"), "bad-name", ""),
        (WHOLE.replace(ID, "R-Upper"), "bad-name", ""),
        (WHOLE.replace(ID, "r-" + "x" * 200), "bad-name", ""),
        (WHOLE.replace("outcome: good", "outcome: splendid"), "unknown-word", ""),
        ("title: Deadener\nfamilies: silicone-deadener\n", "not-a-run", ""),
        ("just words\n", "broken-layout", ""),
        ("", "broken-layout", ""),
    ],
)  # fmt: skip
def test_what_the_book_would_call_wrong_is_told_in_one_message_and_not_written(
    wrong: str, code: str, words: str, book: Path, phone: Path
) -> None:
    before, path = files(book), put(phone, wrong)
    with pytest.raises(RefusedError) as refusal:
        bring(book, path)
    (notice,) = refusal.value.notices
    assert notice.code == code
    assert notice.file == path.as_posix()
    assert words in notice.message
    assert notice.help
    assert files(book) == before


def test_a_good_run_comes_in_beside_a_bad_one(book: Path, phone: Path) -> None:
    put(phone, WHOLE)
    put(phone, WHOLE.replace(ID, "r-2026-05-20-other").replace("cheek@2", "cheek@99"), "other.yaml")
    put(phone, "words about a cat\n", "cat.txt")
    asking = Scripted()
    with pytest.raises(RefusedError) as refusal:
        bring_runs(book, [str(phone)], asking, asks=False)
    assert [notice.code for notice in refusal.value.notices] == ["version-missing"]
    assert "1 run came in, 1 run could not come in." in asking.told
    assert (book / PLACE).exists()


def test_the_inbox_is_emptied_of_what_came_in_and_keeps_what_did_not(book: Path) -> None:
    inbox = book / "inbox"
    put(inbox, WHOLE)
    put(inbox, WHOLE, f"{ID}-2.yaml")
    bad = put(inbox, WHOLE.replace(ID, "r-2026-05-20-bad").replace("cheek@2", "cheek@99"), "bad.yaml")
    put(inbox, "*\n", ".gitignore")
    assert refused(book) == ["version-missing"]
    assert sorted(path.name for path in inbox.iterdir()) == [".gitignore", "bad.yaml"]
    bad.unlink()
    assert bring(book)[0] == "Nothing to bring: the inbox is empty."


def test_killed_before_the_inbox_is_emptied_the_run_is_there_once(book: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = put(book / "inbox", WHOLE)
    with monkeypatch.context() as killed:
        killed.setattr(Path, "unlink", lambda *_, **__: (_ for _ in ()).throw(KeyboardInterrupt))
        # The writing itself takes its passing file away with the same call, so it is put in place by renaming.
        killed.setattr(
            bringing_photos, "write_text", lambda target, text, **_how: target.write_text(text, encoding="utf-8")
        )
        with pytest.raises(KeyboardInterrupt):
            bring(book)
    assert path.exists()
    assert (book / PLACE).exists()
    assert bring(book)[0] == "1 run was in the book already."
    assert not path.exists()


def test_what_two_bring_at_the_same_moment_is_there_once_and_both_end_well(
    book: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The other one comes in between the look of this one and its writing, and between its list and its look."""
    for text, name in ((WHOLE, f"{ID}.yaml"), (WHOLE.replace(ID, "r-2026-05-20-b"), "b.yaml")):
        put(book / "inbox", text, name)
    real, others = bringing_photos.write_text, []

    def late(path: Path, text: str, *, replaces: str | None = None) -> None:
        if not others:
            others.append(None)
            others.append(bring(book)[0])
        real(path, text, replaces=replaces)

    monkeypatch.setattr(bringing_photos, "write_text", late)
    told = bring(book)[0]
    assert (others[1], told) == (
        "2 runs came in. Keep them with `mothermold save`.",
        "2 runs were in the book already.",
    )
    assert (book / PLACE).exists()
    assert list((book / "inbox").iterdir()) == []


def test_two_that_say_more_of_one_run_at_the_same_moment_both_end_well(
    book: Path, phone: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    bring(book, put(phone, HALF))
    put(phone, WHOLE)
    real, others = bringing_photos.write_text, []

    def late(path: Path, text: str, *, replaces: str | None = None) -> None:
        if not others:
            others.append(None)
            others.append(bring(book, phone)[0])
        real(path, text, replaces=replaces)

    monkeypatch.setattr(bringing_photos, "write_text", late)
    assert bring(book, phone)[0] == "1 run was in the book already."
    assert others[1] == "1 run got more. Keep it with `mothermold save`."
    assert (book / PLACE).read_text() == WHOLE


@pytest.mark.parametrize(
    ("text", "to", "place"),
    [
        (WHOLE.replace("mold: cheek-mold-1\n", "thing: cheek\n"), None, PLACE),
        (WHOLE.replace("mold: cheek-mold-1\n", ""), None, f"recipes/runs/{ID}.yaml"),
        (WHOLE.replace("mold: cheek-mold-1\n", ""), "old-baker", PLACE),
        (WHOLE, None, PLACE),
    ],
)
def test_a_run_lies_with_the_build_it_belongs_to(
    text: str, to: str | None, place: str, book: Path, phone: Path
) -> None:
    bring(book, put(phone, text), to=to)
    assert (book / place).exists()


def test_a_build_that_is_not_there_and_a_path_that_is_not_there_are_said(book: Path, phone: Path) -> None:
    assert refused(book, put(phone, WHOLE), to="old-bakr") == ["unknown-reference"]
    with pytest.raises(CannotRunError, match="There is no file or folder"):
        bring(book, phone / "nowhere.yaml")


def test_a_file_that_is_too_large_or_only_a_pointer_is_not_read(book: Path, phone: Path) -> None:
    large = put(phone, "#" * 1_000_001, "large.yaml")
    assert refused(book, large) == ["too-large"]
    pointer = phone / "pointer.yaml"
    pointer.symlink_to(put(phone, WHOLE))
    assert refused(book, pointer) == ["not-a-run"]


def test_a_file_that_may_not_be_read_keeps_no_other_from_coming_in(
    book: Path, phone: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def read(path: Path) -> bytes:
        if path.name == "a.yaml":
            raise CannotRunError(f"{path} could not be read: Permission denied.")
        return path.read_bytes()

    monkeypatch.setattr(bringing, "read_bytes", read)
    put(phone, WHOLE, "a.yaml")
    put(phone, WHOLE, "b.yaml")
    assert refused(book, phone) == ["not-a-run"]
    assert (book / PLACE).exists()


def test_a_folder_in_the_inbox_is_emptied_too(book: Path) -> None:
    path = put(book / "inbox" / "from-the-phone", WHOLE, f"{ID}.YAML")
    assert bring(book)[0].startswith("1 run came in.")
    assert not path.exists()


def test_what_is_doubtful_in_the_second_handing_over_is_told(book: Path, phone: Path) -> None:
    bring(book, put(phone, HALF))
    doubtful = WHOLE + "went_wrong:\n  - {what: Edge torn while lifting, step: open}\n"
    told = {notice.code for notice in open_view(book, "private").notices}
    said = bring(book, put(phone, doubtful))[1]
    fresh = {notice.code for notice in open_view(book, "private").notices} - told
    assert fresh
    assert all(f"({code})" in said for code in fresh)


def test_the_command_ends_with_0_with_1_and_with_2(book: Path, phone: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = put(phone, WHOLE)
    assert main(["-C", str(book), "bring", str(path)]) == 0
    assert "1 run came in." in capsys.readouterr().out
    assert main(["-C", str(book), "bring", str(put(phone, WHOLE.replace("120.5", "121"), "b.yaml"))]) == 1
    out, err = capsys.readouterr()
    assert "1 run could not come in." in out
    assert "(run-differs)" in err
    assert main(["-C", str(book), "bring", str(phone / "nowhere")]) == 2


@pytest.mark.parametrize(
    ("old", "new", "difference"),
    [
        ({"a": "1"}, {"a": "1", "b": "2"}, None),
        ({"a": ["1"]}, {"a": ["1", "2"]}, None),
        ({"a": ["1", "2"]}, {"a": ["1"]}, "Of a it has 2, the file 1."),
        ({"a": ["1", "2"]}, {"a": ["2", "1"]}, "At a 1 it says `1`, the file `2`."),
        ({"a": {"b_c": "1"}}, {"a": {"b_c": "2"}}, "At a, b c it says `1`, the file `2`."),
        ({"a": "1"}, {"a": ["1"]}, "At a it says `1`, the file `['1']`."),
    ],
)
def test_adding_is_more_keys_and_more_entries_at_the_end(old: Any, new: Any, difference: str | None) -> None:
    assert first_difference(old, new) == difference
