"""What was worked out once and kept is what would be worked out anew, whatever happens to the book in between."""

from __future__ import annotations

import random
import shutil
from itertools import pairwise
from pathlib import Path
from typing import Final

import pytest

from campaigns.seeds import seeds
from history.repositories import FIRST, RECIPE, Repository, empty_book, recipe, start_repository
from mothermold.ground.notices import Notice
from mothermold.view import judging
from mothermold.view.view import Whole

PICTURE: Final = "recipes/pictures/mold.svg"
DRAWN: Final = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 10 10"><circle cx="{}" r="1"/></svg>\n'
NOTE: Final = (
    "title: Air\nseen_at: cast\nsymptoms: a bubble\nvisibility: {}\nfixes:\n  - do: Vent it\n    in: cast/cheek@{}\n"
)
RUN: Final = "id: first\nkind: run\nrecipe: cast/cheek@{}\nstarted: 2026-03-02 09:00\nvisibility: {}\noutcome: {}\n"
COURSE: Final = "title: Term\nvisibility: class\npins: [cast/cheek@{}]\n"
BOOK: Final = "title: {}\ncurrency: EUR\ntime_zone: {}\n"
LEVELS: Final = ("private", "class", "public")

Said = dict[str, tuple[Notice, ...]]


def said(repository: Repository) -> Said:
    whole = Whole.open(repository.folder)
    return {edition: whole.edition(edition).notices for edition in LEVELS}


def said_anew(repository: Repository) -> Said:
    """The same of a book beside which nothing is kept."""
    kept, aside = (repository.folder / ".git" / name for name in ("mothermold", "aside"))
    kept.rename(aside)
    try:
        return said(repository)
    finally:
        shutil.rmtree(kept, ignore_errors=True)
        aside.rename(kept)


def _text(chance: random.Random) -> str:
    pictures = f"    pictures: [{{file: {chance.choice(['mold.svg', 'gone.svg'])}, shows: The mold}}]\n"
    return recipe(
        chance.randint(1, 3),
        chance.choice(["draft", "locked"]),
        why=chance.choice([None, "Softer."]),
        fixes=chance.choice([[], ["air"], ["nobody"]]),
        deadener=chance.choice(["60 %", "70 %", "170 %", "a lot"]),
        more=chance.choice(["", pictures]) + f"visibility: {chance.choice(LEVELS)}\n",
    )


def edit(repository: Repository, chance: random.Random) -> str:
    """One thing somebody does to a book; what it was."""
    version, level, folder = chance.randint(1, 3), chance.choice(LEVELS), repository.folder
    material = empty_book()["recipes/materials/deadener.yaml"]
    files: dict[str, str | None] = {
        RECIPE: _text(chance),
        "recipes/failures/air.yaml": NOTE.format(level, version),
        "recipes/runs/first.yaml": RUN.format(version, level, chance.choice(["good", "bad", "nonsense"])),
        "recipes/courses/term.yaml": COURSE.format(version),
        "recipes/materials/deadener.yaml": f"{material}visibility: {level}\n",
        "recipes/book.yaml": BOOK.format(chance.choice(["A book", "[]"]), chance.choice(["Europe/Berlin", "Nowhere"])),
        PICTURE: chance.choice(["no drawing\n", DRAWN.format(3), DRAWN.format(4)]),
        "recipes/lost.yaml": "title: Lost\n",
        ".gitignore": chance.choice(["", "recipes/runs/\n", "recipes/failures/air.yaml\n"]),
    }
    deed = chance.choice([*files, *files, "delete", "save", "save", "undo", "move", "another line"])
    if deed in files:
        repository.write({deed: files[deed]})
    elif deed == "delete":
        here = sorted(file for file in files if (folder / file).exists())
        (folder / chance.choice(here)).unlink()
    elif deed == "save":
        repository.save(FIRST, {})
    elif deed == "undo":
        repository.git("reset", "--quiet", chance.choice(["--hard", "--soft"]), "HEAD^")
        repository.save(FIRST, {})
    elif deed == "move" and (folder / RECIPE).exists():
        text = (folder / RECIPE).read_text() + "formerly: [cast/cheek]\n"
        repository.write({RECIPE: None, "recipes/cast/jowl.yaml": text})
    elif deed == "another line":
        repository.git("commit", "--quiet", "--allow-empty", "-m", "Saved")
        repository.git("checkout", "--quiet", "--detach", "HEAD")
    return deed


@pytest.mark.parametrize("seed", seeds(3, 40))
def test_after_every_edit_what_is_kept_is_what_would_be_said_anew(tmp_path: Path, seed: int) -> None:
    repository, chance = start_repository(tmp_path), random.Random(seed)
    repository.save(FIRST, empty_book() | {RECIPE: recipe(1), "recipes/failures/air.yaml": NOTE.format("class", 1)})
    repository.save(FIRST, {RECIPE: recipe(2, why="Softer.")})
    heard = [said(repository)]
    for _ in range(20):
        deed = edit(repository, chance)
        anew = said_anew(repository)
        assert said(repository) == anew, deed
        assert said(repository) == anew, deed
        heard += [anew]
    assert sum(one != other for one, other in pairwise(heard)) > 4


def test_what_was_said_of_the_same_book_is_not_worked_out_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    repository = start_repository(tmp_path)
    repository.save(FIRST, empty_book() | {RECIPE: recipe(1, fixes=["nobody"])})
    before = said(repository)
    assert before["private"]

    def again(*_told: object) -> None:
        raise AssertionError

    monkeypatch.setattr(judging, "judge", again)
    assert said(repository) == before
    repository.write({RECIPE: recipe(1)})
    with pytest.raises(AssertionError):
        said(repository)


def test_what_another_edition_lacks_is_told_to_the_owner_alone(tmp_path: Path) -> None:
    repository = start_repository(tmp_path)
    files = empty_book() | {RECIPE: recipe(1, more="visibility: public\n")}
    materials = {name: f"{text}visibility: class\n" for name, text in files.items() if "materials/" in name}
    repository.save(FIRST, files | materials)
    codes = {edition: [each.code for each in told] for edition, told in said(repository).items()}
    assert "invisible-material" in codes["private"]
    assert "invisible-material" not in codes["class"]
