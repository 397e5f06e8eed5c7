"""When to make the next mold, from what its like gave; and how the rim grew over its castings."""

from __future__ import annotations

from pathlib import Path

import pytest

from mothermold.answers.mold_life import EndedMold, ended_molds, next_mold_words, rims_of
from mothermold.model.mold import Mold
from mothermold.pages.all_pages import page_at
from mothermold.view.view import open_view
from view.looks import lay_out, write

MADE = "id: {name}\nrecipe: {recipe}\nstarted: 2026-01-{day:02} 09:00\noutcome: good\nvisibility: {seen}\n"
MOLD = "title: {title}\nmade: {made}\nstate: {state}\nvisibility: {seen}\n"
CAST = "id: r-{mold}-{number}\nrecipe: cast/cheek@2\nmold: {mold}\nstarted: 2026-02-{number:02} 09:00\noutcome: good\nvisibility: public\n{more}"


def mold(
    root: Path,
    number: int,
    state: str,
    castings: int,
    recipe: str = "mold/cheek-mold@1",
    seen: str = "public",
    more: str = "",
) -> str:
    name = f"mold-{number}"
    write(root, f"runs/r-made-{number}", MADE.format(name=f"r-made-{number}", recipe=recipe, day=number, seen=seen))
    write(root, f"molds/{name}", MOLD.format(title=f"Mold {number}", made=f"r-made-{number}", state=state, seen=seen))
    for each in range(1, castings + 1):
        write(root, f"runs/r-{name}-{each}", CAST.format(mold=name, number=each, more=more.format(value=each)))
    return name


def said(root: Path, name: str, edition: str = "private") -> str:
    view = open_view(root, edition)  # type: ignore[arg-type]
    page = page_at(view, f"molds/{name}.html")
    assert page is not None
    return page.body


def test_it_goes_by_the_molds_of_the_same_recipe_that_ended_and_were_cast_in(tmp_path: Path) -> None:
    root = lay_out(tmp_path)
    mold(root, 1, "broken", 5)
    mold(root, 2, "retired", 7)
    mold(root, 3, "broken", 0)
    mold(root, 4, "in use", 9)
    mold(root, 5, "broken", 2, recipe="mold/other@1")
    name = mold(root, 6, "in use", 4)
    view = open_view(root, "private")
    found = ended_molds(view, name, view.models(Mold)[name])
    assert [(each.name, each.state, each.castings) for each in found] == [
        ("mold-1", "broken", 5),
        ("mold-2", "retired", 7),
    ]
    body = said(root, name)
    assert "2 molds made by the same recipe gave 5 to 7 castings before they ended (2 molds say little)" in body
    assert "this one has given 4. Have the next one ready before one more casting." in body
    assert "make the next one now" in said(root, "mold-4")
    # Of one that is gone nothing is said, nor where nothing ended before.
    assert "made by the same recipe gave" not in said(root, "mold-1")
    mold(root, 7, "in use", 3, recipe="mold/third@1")
    assert "made by the same recipe gave" not in said(root, "mold-7")


def test_a_class_is_told_only_of_the_molds_it_may_see(tmp_path: Path) -> None:
    root = lay_out(tmp_path)
    mold(root, 1, "broken", 5, seen="private")
    name = mold(root, 2, "in use", 4)
    assert "One mold made by the same recipe gave 5 castings before it ended (one mold says little)" in said(root, name)
    assert "made by the same recipe gave" not in said(root, name, "class")


@pytest.mark.parametrize(
    ("given", "counts", "words"),
    [
        (0, [], ""), (3, [6, 9, 8], "gave 6 to 9 castings before they ended; this one has given 3. Have the next one ready before 3 more castings."),
        (6, [6, 9, 8], "this one has given 6: make the next one now, while this one still casts."),
        (0, [1], "One mold made by the same recipe gave 1 casting before it ended (one mold says little); this one has given 0. Have the next one ready before one more casting."),
    ],
)  # fmt: skip
def test_small_numbers_are_said_to_be_small(given: int, counts: list[int], words: str) -> None:
    ended = [EndedMold(f"m{count}", f"M{count}", "broken", count) for count in counts]
    told = next_mold_words(given, ended)
    assert told.endswith(words)
    assert ("little" in told) == (0 < len(counts) < 3)


def test_the_rim_is_laid_beside_its_castings_where_it_was_measured_more_than_once(tmp_path: Path) -> None:
    root = lay_out(tmp_path)
    measured = (
        "measured: [{{what: Rim at the jaw, value: 0.{value} mm}}, {{what: piece with flashing, value: 21{value} g}}]\n"
    )
    name = mold(root, 1, "in use", 3, more=measured)
    write(
        root,
        "runs/r-mold-1-4",
        CAST.format(
            mold=name,
            number=4,
            more="measured: [{what: flash on the nose, value: 3 g}, {what: hardness, value: 5 g}]\n",
        ),
    )
    rows = rims_of(open_view(root, "private").evidence.lineage.in_mold(name))
    assert [(row.casting, dict(row.values)) for row in rows] == [
        (number, {"rim at the jaw": f"0.{number} mm", "piece with flashing": f"21{number} g"}) for number in (1, 2, 3)
    ]
    body = said(root, name)
    assert "Rim and flashing over its castings" in body
    assert "flash on the nose" not in body.partition("Rim and flashing")[2].partition("Cast in it")[0].casefold()
