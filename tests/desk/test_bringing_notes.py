"""`bring` takes what a phone noted beside runs: failure notes, each a document of its own, and lots, each with its material."""

from __future__ import annotations

from pathlib import Path

import pytest

from desk.answering import files
from desk.test_bringing import WHOLE, bring, put, refused
from desk.test_bringing import book as book  # noqa: PLC0414 - the book with a build of its own
from desk.test_bringing import phone as phone  # noqa: PLC0414 - where it comes from
from mothermold.ground.errors import RefusedError
from mothermold.view.view import open_view

NOTE = """\
# Noted on the phone.
title: Seam lifts at the heel
seen_at: cast
noticed: [cast/cheek]
symptoms:
  - "seam: lifts # at the heel"
harm: cosmetic
"""
NOTE_AT = "recipes/failures/seam-lifts.yaml"
LOT = "# Noted on the phone.\nmaterial: gel-silicone-a\nlot: 26F9\ngot: 2026-05-19\nuse_by: 2027-02-01\n"
GEL = "recipes/materials/gel-silicone-a.yaml"


def changed(before: dict[str, bytes], book: Path) -> set[str]:
    after = files(book)
    return {name for name in before.keys() | after.keys() if before.get(name) != after.get(name)}


def test_a_failure_note_comes_in_by_the_name_of_its_file_and_the_book_finds_nothing_wrong(
    book: Path, phone: Path
) -> None:
    before = {notice.message for notice in open_view(book, "private").notices}
    said, told = bring(book, put(phone, NOTE, "seam-lifts.yaml"))
    assert said == "1 failure note came in. Keep it with `mothermold save`."
    assert told == f"{NOTE_AT} is new."
    assert (book / NOTE_AT).read_text() == NOTE
    assert {notice.message for notice in open_view(book, "private").notices} == before
    assert bring(book, put(phone, NOTE, "seam-lifts.yaml"))[0] == "1 failure note was in the book already."


def test_a_file_whose_name_can_be_none_gives_the_note_the_name_of_its_title(book: Path, phone: Path) -> None:
    bring(book, put(phone, NOTE, "Download (3).yaml.txt"))
    assert (book / "recipes/failures/seam-lifts-at-the-heel.yaml").read_text() == NOTE


@pytest.mark.parametrize("there", ["torn-edge", "unread"])
def test_a_note_of_a_name_that_is_taken_is_told_and_nothing_written_over(book: Path, phone: Path, there: str) -> None:
    if there == "unread":
        (book / "recipes/failures/unread.yaml").write_text("title: [\n")
    before = files(book)
    with pytest.raises(RefusedError) as refusal:
        bring(book, put(phone, NOTE, f"{there}.yaml"), answers={})
    (notice,) = refusal.value.notices
    assert (notice.code, f"`{there}`" in notice.message) == ("name-taken", True)
    assert files(book) == before


@pytest.mark.parametrize(
    ("wrong", "code"),
    [
        (NOTE.replace("seen_at: cast", "seen_at: casting-about"), "unknown-word"),
        (NOTE.replace("cast/cheek", "cast/chin"), "unknown-reference"),
        (NOTE.replace("harm: cosmetic", "harm: huge"), "unknown-word"),
        (NOTE.replace("title: Seam lifts at the heel", "title:"), "empty-value"),
    ],
)
def test_a_note_the_book_would_call_wrong_stays_out(book: Path, phone: Path, wrong: str, code: str) -> None:
    before = files(book)
    assert refused(book, put(phone, wrong, "seam-lifts.yaml")) == [code]
    assert files(book) == before


@pytest.mark.parametrize(
    "lots", ["", "lots:\n  # in the fridge\n  - lot: 20E5   # by hand\n    got: 2026-02-03\n", "lots:\n  - {lot: 20E5}\n", "lots: []\n"]
)  # fmt: skip
def test_a_lot_stands_with_its_material_and_no_other_line_is_touched(book: Path, phone: Path, lots: str) -> None:
    text = (book / GEL).read_text().split("lots:")[0].rstrip() + "\n" + lots
    (book / GEL).write_bytes(text.replace("\n", "\r\n").encode())
    before = files(book)
    said, told = bring(book, put(phone, LOT, "lot.yaml"))
    assert said == "1 lot came in. Keep it with `mothermold save`."
    assert told == f"{GEL} has more in it now."
    assert changed(before, book) == {GEL}
    after = (book / GEL).read_bytes().decode()
    assert "\r\n" in after
    assert all(line in after.split("\r\n") for line in text.split("\n") if line not in ("lots: []", ""))
    material = open_view(book, "private").on("material")["gel-silicone-a"]
    assert material.raw["lots"][-1] == {"lot": "26F9", "got": "2026-05-19", "use_by": "2027-02-01"}  # type: ignore[index]
    assert bring(book, put(phone, LOT, "lot.yaml"))[0] == "1 lot was in the book already."


def test_a_lot_that_says_more_is_renewed_and_one_that_says_otherwise_asked_about(book: Path, phone: Path) -> None:
    bring(book, put(phone, LOT, "lot.yaml"))
    less = put(phone, "material: gel-silicone-a\nlot: 26F9\n", "less.yaml")
    assert bring(book, less)[0] == "1 lot was in the book already."
    more = put(phone, LOT + "opened: 2026-05-20\n", "more.yaml")
    assert bring(book, more)[0] == "1 lot got more. Keep it with `mothermold save`."
    before = files(book)
    other = put(phone, LOT.replace("05-19", "05-18"), "other.yaml")
    with pytest.raises(RefusedError) as refusal:
        bring(book, other)
    (notice,) = refusal.value.notices
    assert notice.code == "lot-differs"
    assert notice.message == "`26F9` is in the book. At lot 26F9, got it says `2026-05-19`, the file `2026-05-18`."
    assert refused(book, other, answers={"Take the file instead?": False}) == ["lot-differs"]
    assert files(book) == before
    assert bring(book, other, answers={"Take the file instead?": True})[0].startswith("1 lot got more.")
    lot = open_view(book, "private").on("material")["gel-silicone-a"].raw["lots"][-1]  # type: ignore[index]
    assert lot == {"lot": "26F9", "got": "2026-05-18", "opened": "2026-05-20", "use_by": "2027-02-01"}


@pytest.mark.parametrize(
    ("wrong", "code", "words"),
    [
        (LOT.replace("silicone-a", "silicone-c"), "unknown-reference", "No material is called `gel-silicone-c`."),
        (LOT.replace("2026-05-19", "19 May"), "bad-date", "`19 May`"),
        (LOT + "title: x\n", "not-a-run", ""),
        (LOT.replace("2026-05-19", "{a: b}"), "wrong-shape", ""),
        (LOT.replace("lot: 26F9", "lot: {a: b}"), "not-a-run", ""),
        (LOT.replace("lot: 26F9", "lot:"), "not-a-run", ""),
        (LOT.replace("gel-silicone-a", "[gel-silicone-a]"), "not-a-run", ""),
    ],
)
def test_a_lot_that_cannot_stand_is_told_and_its_material_left(
    book: Path, phone: Path, wrong: str, code: str, words: str
) -> None:
    before, path = files(book), put(phone, wrong, "lot.yaml")
    with pytest.raises(RefusedError) as refusal:
        bring(book, path)
    (notice,) = refusal.value.notices
    assert (notice.code, notice.file, words in notice.message) == (code, path.as_posix(), True)
    assert files(book) == before


def test_a_lot_of_a_material_that_cannot_be_read_waits(book: Path, phone: Path) -> None:
    (book / GEL).write_text("title: [\n")
    before = files(book)
    with pytest.raises(RefusedError):
        bring(book, put(phone, LOT, "lot.yaml"))
    assert files(book) == before


def test_the_inbox_is_emptied_of_all_three_and_they_are_counted_apart(book: Path) -> None:
    inbox = book / "inbox"
    put(inbox, WHOLE)
    put(inbox, NOTE, "seam-lifts.yaml")
    put(inbox, LOT, "lot-1.yaml")
    put(inbox, LOT.replace("26F9", "26F8"), "lot-2.yaml")
    assert bring(book)[0] == "1 run, 1 failure note and 2 lots came in. Keep them with `mothermold save`."
    assert list(inbox.iterdir()) == []
