"""What a draft hears and what only a locked recipe does; what no step uses is said and silences nothing else."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from history.repositories import start_repository
from mothermold.ground.notices import Notice
from mothermold.view.view import open_view

GOOD = Path(__file__).parents[1] / "data" / "good"
EAR = """\
title: Ear tip
stage: cast
version: 1
status: {status}
mixes:
  - id: soft
    parts:
      - {{material: gel-silicone-a, parts: 100}}
      - {{material: gel-silicone-b, parts: 100}}
    batch: 60 g
  - id: spare
    parts:
      - {{material: gel-silicone-a, parts: 100}}
      - {{material: deadener-fluid, amount: a splash}}
    batch: 60 g
steps:
  - id: fill
    title: Fill
    do: Slowly.
    hands_on: 10 min
    wait: 4 h
"""
BROW = """\
title: Brow piece
stage: application
version: 1
status: {status}
surfaces:
  - {{id: piece-back, material: encapsulant-alcohol}}
steps:
  - id: clean
    title: Degrease the temple
    do: Outward.
    hands_on: 5 min
    uses:
      - {{material: isopropanol-99, as: clean, on: skin, amount: 1 ml}}
  - id: glue
    title: Glue it
    do: Press.
    hands_on: 5 min
    uses:
      - {{material: glue, as: glue, on: [skin, piece-back], amount: 1 ml}}
"""
GLUE = "title: Glue\nfamilies: [adhesive-acrylic]\n"


@pytest.fixture
def book(good_book: Path) -> Path:
    return good_book


def write(book: Path, name: str, text: str) -> None:
    path = book / "recipes" / f"{name}.yaml"
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")


def told(book: Path) -> list[Notice]:
    return [notice for notice in open_view(book, "private").notices if notice.code != "no-repository"]


def codes(book: Path) -> list[tuple[str, str]]:
    return [(notice.code, notice.severity) for notice in told(book)]


def test_a_mix_no_step_uses_is_a_warning_when_locked_and_something_to_write_in_a_draft(book: Path) -> None:
    write(book, "cast/ear", EAR.format(status="locked"))
    assert codes(book) == [("mix-unused", "warning"), ("mix-unused", "warning"), ("by-eye", "advice")]
    write(book, "cast/ear", EAR.format(status="draft"))
    assert codes(book) == [("mix-unused", "advice"), ("mix-unused", "advice")], "craft waits until it is locked"
    write(book, "cast/ear", EAR.format(status="retired"))
    assert codes(book) == []


def test_it_can_be_accepted_with_a_reason(book: Path) -> None:
    accepts = "accepts:\n  - {rule: mix-unused, where: cast/ear, because: Both are for the class to compare.}\n"
    write(book, "cast/ear", EAR.format(status="draft") + accepts)
    assert codes(book) == []


@pytest.mark.parametrize(
    ("rule", "where", "left"),
    [
        ("by-eye", "cast/ear", ["mix-unused", "mix-unused"]),
        ("mix-unused", "cast/cheek", ["mix-unused", "mix-unused", "by-eye"]),
        ("mix-unused", "cast/ear@2", ["mix-unused", "mix-unused", "by-eye"]),
        ("mix-unused", "cast/ear@1", ["by-eye"]),
    ],
)
def test_what_is_accepted_is_this_very_rule_in_this_very_recipe(
    book: Path, rule: str, where: str, left: list[str]
) -> None:
    accepts = f"accepts:\n  - {{rule: {rule}, where: {where}, because: Both are for the class to compare.}}\n"
    write(book, "cast/ear", EAR.format(status="locked") + accepts)
    assert [code for code, _severity in codes(book) if code in ("mix-unused", "by-eye")] == left


@pytest.mark.parametrize(("status", "is_used"), [("locked", True), ("retired", False)])
def test_a_recipe_that_cannot_be_read_uses_its_materials_unless_it_is_retired(
    book: Path, status: str, is_used: bool
) -> None:
    write(book, "materials/glue", GLUE)
    torn = BROW.format(status=status).replace("stage: application", "stage: application\nhardness: 5")
    write(book, "application/brow", torn)
    found = {notice.code for notice in told(book)}
    assert "unknown-key" in found
    assert ("no-sheet" in found) is is_used


def test_it_is_no_slip_so_what_a_locked_recipe_changed_is_still_told(book: Path, tmp_path: Path) -> None:
    write(book, "cast/ear", EAR.format(status="locked"))
    repository = start_repository(tmp_path / "kept")
    shutil.copytree(book / "recipes", tmp_path / "kept" / "recipes", dirs_exist_ok=True)
    repository.git("add", "--all")
    repository.git("commit", "--quiet", "-m", "Saved.")
    write(tmp_path / "kept", "cast/ear", EAR.format(status="locked").replace("10 min", "12 min"))
    assert {"locked-changed", "mix-unused"} <= {notice.code for notice in told(tmp_path / "kept")}


def test_a_recipe_with_an_error_is_not_asked_for_its_consequence(book: Path) -> None:
    write(book, "cast/ear", EAR.format(status="draft") + "    uses: [{mix: sofd, as: cast}, {mix: spare, as: cast}]\n")
    assert codes(book) == [("unknown-mix", "error")]


@pytest.mark.parametrize("status", ["draft", "locked"])
def test_where_somebody_can_be_hurt_a_draft_is_told_as_much_as_a_locked_recipe(book: Path, status: str) -> None:
    write(book, "application/brow", BROW.format(status=status))
    write(book, "materials/glue", GLUE)
    safety = {"solvent-near-eyes", "no-patch-test", "no-removal", "one-brush-two-faces", "no-sheet"}
    found = {notice.code for notice in told(book)}
    assert safety <= found
    assert ("no-waiting" in found) == (status == "locked")


def test_of_a_retired_recipe_nothing_is_said_and_nothing_of_its_materials(book: Path) -> None:
    write(book, "application/brow", BROW.format(status="retired"))
    write(book, "materials/glue", GLUE)
    assert codes(book) == []


# A slip in one file hides nothing that is said of others


@pytest.fixture
def advised(tmp_path: Path) -> Path:
    """A good book with a recipe that hears of a mix nobody uses, a material without its sheet, and another recipe with it."""
    book = Path(shutil.copytree(GOOD, tmp_path / "book"))
    (book / "recipes/materials/plain-pigment.yaml").write_text("title: Pigment\nfamilies: [silicone-pigment]\n")
    spare = EAR.format(status="locked").replace("deadener-fluid, amount: a splash", "plain-pigment, amount: 1 g")
    (book / "recipes/cast/ear.yaml").write_text(spare)
    return book


def said_of_others(book: Path, *but: str) -> set[tuple[str, str | None]]:
    return {(each.code, each.file) for each in open_view(book, "private").notices if each.file not in but}


def test_an_unreadable_value_in_a_material_hides_no_advice_on_the_recipes_with_it(advised: Path) -> None:
    before = said_of_others(advised)
    assert ("mix-unused", "recipes/cast/ear.yaml") in before
    sheet = advised / "recipes/materials/gel-silicone-a.yaml"
    sheet.write_text(sheet.read_text() + "drop: about a gram\n")
    mine = "recipes/materials/gel-silicone-a.yaml"
    assert [each.severity for each in open_view(advised, "private").notices if each.file == mine] == ["error"]
    assert said_of_others(advised, mine) == before


def test_a_recipe_that_cannot_be_read_hides_no_advice_on_its_materials(advised: Path) -> None:
    before = said_of_others(advised, "recipes/cast/ear.yaml")
    assert ("no-sheet", "recipes/materials/plain-pigment.yaml") in before
    ear = advised / "recipes/cast/ear.yaml"
    ear.write_text(ear.read_text().replace("hands_on: 10 min", "hands_on: soon"))
    assert said_of_others(advised, "recipes/cast/ear.yaml") == before


def test_a_missing_failure_note_hides_no_advice_on_the_recipe_that_names_it(advised: Path) -> None:
    ear = advised / "recipes/cast/ear.yaml"
    ear.write_text(ear.read_text() + "fixes: [never-written]\n")
    codes = {each.code for each in open_view(advised, "private").notices if each.file == "recipes/cast/ear.yaml"}
    assert {"unknown-reference", "mix-unused"} <= codes
