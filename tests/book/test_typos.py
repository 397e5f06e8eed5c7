"""One slip of the fingers in a good file is found where it was made, and is told once."""

from __future__ import annotations

import random
import shutil
from collections import Counter
from pathlib import Path

import pytest

from book.test_bad_documents import PARSER_WORDS
from book.typos import SLIPS, Typo, judge, make_typos
from campaigns.seeds import parts
from mothermold.ground.notices import Notice
from mothermold.view.view import open_view

GOOD = Path(__file__).resolve().parents[1] / "data" / "good" / "recipes"
BOOKS = ("the sample book", "the good book")
SEED = 20_260_301
FEW, EACH = 10, 100


@pytest.fixture(scope="module")
def books(sample_book: Path, tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """Copies of the good books, to be damaged and mended; the sample with its history, in which versions are cited."""
    copies = {name: tmp_path_factory.mktemp("book") for name in BOOKS}
    shutil.copytree(sample_book, copies["the sample book"], dirs_exist_ok=True)
    shutil.copytree(GOOD, copies["the good book"] / "recipes")
    return copies


def notices_of(book: Path) -> list[Notice]:
    """All the book says, but that the good book lies in no repository, and what only sends the reader to the slip."""
    told = [notice for notice in open_view(book, "private").notices if notice.code != "no-repository"]
    return [notice for notice in told if not notice.help.endswith("has a slip of its own: mend that first.")]


@pytest.fixture(scope="module")
def typos(books: dict[str, Path]) -> dict[str, list[Typo]]:
    return {
        name: make_typos(root, SEED + number, EACH, recipe_references=True)
        for number, (name, root) in enumerate(books.items())
    }


@pytest.mark.parametrize("some", parts(FEW, EACH))
def test_the_first_notice_of_a_typo_lies_on_its_line_or_the_next(
    some: range, books: dict[str, Path], typos: dict[str, list[Typo]]
) -> None:
    missed: list[str] = []
    for name, root in books.items():
        for typo in typos[name][some.start : some.stop]:
            hit, notices = judge(typo, root, notices_of)
            told = [(notice.file, notice.line, notice.code, notice.message) for notice in notices]
            # The slip is one thing, or two; what hangs on it, as a test that no longer counts, may be told at several steps.
            assert len([notice for notice in notices if notice.file == typo.file]) <= 2, (typo, told)
            assert len({notice.code for notice in notices}) <= 2, (typo, told)
            for text in (text for notice in notices for text in (notice.message, notice.help)):
                # What was typed is quoted as it stands; the words around it are the reader's own.
                own = text.replace(typo.after.strip(), "")
                assert not [word for word in PARSER_WORDS if word.casefold() in own.casefold()], text
            if not hit:
                missed.append(f"{typo.kind}: {typo.file}:{typo.line}: {typo.after} -> {told}")
    total = sum(len(found[some.start : some.stop]) for found in typos.values())
    assert total == 2 * len(some)
    assert len(missed) <= 0.05 * total, "\n".join(missed)


def test_every_kind_of_slip_is_among_the_typos(typos: dict[str, list[Typo]]) -> None:
    kinds = Counter(typo.kind for found in typos.values() for typo in found)
    assert set(kinds) == set(SLIPS)


def test_a_typo_damages_one_line_and_no_comment(books: dict[str, Path], typos: dict[str, list[Typo]]) -> None:
    for name, root in books.items():
        for typo in typos[name]:
            good = (root / typo.file).read_text(encoding="utf-8").split("\n")
            bad = typo.text.split("\n")
            assert len(good) == len(bad)
            assert [number for number in range(len(good)) if good[number] != bad[number]] == [typo.line - 1]
            assert (good[typo.line - 1], bad[typo.line - 1]) == (typo.before, typo.after)
            assert not typo.before.lstrip().startswith("#")


def test_the_same_seed_makes_the_same_typos_and_another_seed_others(books: dict[str, Path]) -> None:
    root = books["the good book"]
    assert make_typos(root, 7, 12) == make_typos(root, 7, 12)
    assert make_typos(root, 7, 12) != make_typos(root, 8, 12)


def test_references_to_recipes_are_damaged_only_where_asked_for(books: dict[str, Path]) -> None:
    root = books["the good book"]
    kinds = ("reference: mistyped",)
    near = make_typos(root, 3, 60, kinds=kinds)
    far = make_typos(root, 3, 60, kinds=kinds, recipe_references=True)
    assert not [typo for typo in near if "cast/" in _differing(typo)]
    assert [typo for typo in far if "cast/" in _differing(typo)]


def _differing(typo: Typo) -> str:
    """The words of the line that the typo changed."""
    return " ".join(set(typo.before.split()) - set(typo.after.split()))


def test_a_comment_is_not_made_by_a_stray_hash(books: dict[str, Path]) -> None:
    for typo in make_typos(books["the good book"], 5, 150, kinds=("stray character",)):
        at = next(i for i, c in enumerate(typo.after) if not typo.before.startswith(typo.after[: i + 1]))
        made_by_hash = typo.after[at] == "#" and not typo.after[:at][-1:].strip()
        assert not made_by_hash


def test_a_reader_that_says_nothing_would_fail(books: dict[str, Path], typos: dict[str, list[Typo]]) -> None:
    name = random.Random(SEED).choice(list(books))
    hit, notices = judge(typos[name][0], books[name], lambda _book: ())
    assert not hit
    assert not notices
