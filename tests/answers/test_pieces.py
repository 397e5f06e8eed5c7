"""What a piece is today follows from the last runs that used it and from its finish, with the reason."""

from __future__ import annotations

from pathlib import Path

import pytest

from mothermold.answers.pieces import Piece, pieces_of
from mothermold.pages.documents import document_page
from mothermold.view.view import View, open_view
from view.looks import BUILD, lay_out, sheet, write

PAINTED = BUILD.replace("looks:", "  - {id: face-painted, recipe: finish/prepaint@1, from: [face]}\nlooks:")
CAST = "id: r-cast\nrecipe: cast/cheek@2\nthing: {thing}\nstarted: 2026-03-02 09:00\nkind: {kind}\noutcome: {outcome}\n{more}"
LATER = "id: {name}\nrecipe: {recipe}\nkind: {kind}\nstarted: {day} 09:00\noutcome: {outcome}\n{more}used: [{{piece: F-1{then}}}]\n"
TEAR = "went_wrong: [{failure: torn-edge}]\n"


def book(folder: Path, *runs: str, build: str = PAINTED) -> View:
    root = lay_out(folder, build)
    sheet(root, "finish/prepaint", "isopropanol-99", role="paint")
    for text in runs:
        name = text.partition("\n")[0].removeprefix("id: ")
        write(root, f"builds/night-watchman/runs/{name}", text)
    return open_view(root, "private")


def cast(grade: str = "spare", *, outcome: str = "good", kind: str = "run", thing: str = "face", more: str = "") -> str:
    kept = f"kept: [{{piece: F-1{f', grade: {grade}' if grade else ''}}}]\n"
    text = CAST.format(thing=thing, kind=kind, outcome=outcome, more=more + kept)
    return text.replace("outcome: good\n", "") if kind == "test" else text


def later(
    name: str, recipe: str, then: str = "kept", *, outcome: str = "good", kind: str = "run", more: str = ""
) -> str:
    day = f"2026-03-{10 + int(name[-1]):02}"
    said = f", then: {then}" if then else ""
    return LATER.format(name=name, recipe=recipe, kind=kind, day=day, outcome=outcome, more=more, then=said)


def only(view: View) -> Piece:
    (piece,) = pieces_of(view, "night-watchman")
    return piece


PAINT = later("r-1", "finish/prepaint@1")
ON = "application/face@1"


@pytest.mark.parametrize(
    ("runs", "what", "because", "there", "wearable"),
    [
        ((cast("hero"), PAINT), "hero", "graded so when it was cast", True, True),
        ((cast("second"), PAINT), "second", "graded so when it was cast", True, True),
        ((cast("spare"), PAINT), "spare", "graded so when it was cast", True, True),
        ((cast("spare"),), "not painted", "no spare before it is painted", True, False),
        ((cast("hero"),), "hero", "graded so when it was cast", True, False),
        ((cast(""), PAINT), "not graded", "nobody graded it", True, True),
        ((cast("hero", outcome="scrapped"),), "scrapped", "its casting was scrapped", False, False),
        ((cast("hero", kind="test"),), "test", "it came from a test", True, False),
        ((cast("hero", more=TEAR),), "torn", "edge torn while lifting", True, False),
        ((cast("hero"), PAINT, later("r-2", ON, "discarded")), "worn", "worn", False, False),
        ((cast("hero"), PAINT, later("r-2", ON)), "worn", "worn", True, False),
        ((cast("hero"), PAINT, later("r-2", ON, "")), "worn", "worn; what became of it nobody wrote down", True, False),
        ((cast("hero"), later("r-1", "finish/prepaint@1", more=TEAR)), "torn", "edge torn while lifting", True, False),
        (
            (cast("hero"), later("r-1", "finish/prepaint@1", "repaired", more=TEAR)),
            "repaired",
            "repaired; edge torn while lifting",
            True,
            True,
        ),
        ((cast("hero", more=TEAR), later("r-1", "finish/prepaint@1", "repaired")), "repaired", "repaired", True, True),
        (
            (cast("hero"), later("r-1", "finish/prepaint@1", "kept", outcome="scrapped")),
            "scrapped",
            "the work on it was scrapped",
            False,
            False,
        ),
        ((cast("hero"), later("r-1", "finish/prepaint@1", "discarded")), "used up", "thrown away", False, False),
    ],
)  # fmt: skip
def test_a_piece_is_what_its_last_run_and_its_finish_made_of_it(
    runs: tuple[str, ...], what: str, because: str, there: bool, wearable: bool, tmp_path: Path
) -> None:
    piece = only(book(tmp_path, *runs))
    assert (piece.what, piece.because.casefold(), piece.is_there, piece.can_be_worn) == (what, because, there, wearable)
    said_by_casting = because in ("graded so when it was cast", "nobody graded it", "no spare before it is painted")
    assert (piece.by is None) == (said_by_casting or len(runs) == 1)


def test_a_test_uses_a_piece_up(tmp_path: Path) -> None:
    text = later("r-1", "finish/prepaint@1", kind="test").replace("outcome: good\n", "")
    assert only(book(tmp_path, cast("hero"), text)).what == "test"


def test_paint_that_went_wrong_beyond_use_or_in_a_test_is_no_paint(tmp_path: Path) -> None:
    under_way = PAINT.replace("outcome: good\n", "")
    piece = only(book(tmp_path, cast("spare"), under_way))
    assert (piece.what, piece.paint, piece.lacks_paint) == ("not painted", "no run says that it is painted", True)


def test_what_no_thing_of_the_build_paints_is_colored_on_the_face_where_the_sheet_says_so(tmp_path: Path) -> None:
    view = book(tmp_path / "a", cast("spare", thing="nose"))
    assert only(view).what == "not painted"
    root = tmp_path / "a" / "book"
    path = root / "recipes/application/nose.yaml"
    path.write_text(
        path.read_text("utf-8").replace("    title: Work\n", "    phase: color\n    title: Work\n"), "utf-8"
    )
    piece = only(open_view(root, "private"))
    assert (piece.what, piece.paint, piece.can_be_worn) == ("spare", "colored on the face", True)


def test_the_page_of_the_build_and_of_the_casting_say_what_a_piece_is_and_why(tmp_path: Path) -> None:
    days = "days:\n  - {day: 2027-05-04, look: full}\n"
    view = book(tmp_path, cast("spare"), build=PAINTED + days)
    body = document_page(view, "build", "night-watchman").body
    assert "not painted" in body
    assert "no spare before it is painted" in body
    assert "0 that can be worn and 1 without paint" in body
    assert "now not painted: no spare before it is painted" in document_page(view, "run", "r-cast").body
