"""What the pages of molds, builds, courses, mixes and runs reckon beside what the documents say."""

from __future__ import annotations

import re
from fractions import Fraction
from pathlib import Path

import pytest

from history.repositories import FIRST, RECIPE, SECOND, Repository, empty_book, recipe, start_repository
from mothermold.book.document import read_document
from mothermold.model.mold import Mold
from mothermold.pages.documents import document_page
from mothermold.pages.mixes import mixes_shown
from mothermold.pages.molds import HEIGHT, WIDTH, drying_curve
from mothermold.pages.molds import content as mold_content
from mothermold.pages.prose import typed
from mothermold.pages.runs import by_month, entries
from mothermold.pages.wording import gear_words, held_words
from mothermold.quantities.wording import on_scale, times_words
from mothermold.trade.vocabulary import family_words
from mothermold.view.view import View, open_view

MOLD = """\
title: Cheek mold
made: 2026-02-02
cavity: {volume: 100 ml, how: water}
weights:
  - {date: 2026-02-09, weight: 7.42 kg, state: dry}
  - {date: 2026-02-02, weight: 8.52 kg, state: wet}
  - {date: 2026-02-08, weight: 7.42 kg, state: drying}
"""
BUILD = """\
title: The Ferryman
things:
  - {id: cheek-left, recipe: cast/cheek@1, worn: yes}
looks:
  - id: full
    pieces: [{thing: cheek-left, count: 2}]
    spares: 1
days:
  - {day: 2026-02-10, look: full}
  - {day: 2026-05-01, look: full}
  - {day: 2026-05-02, look: full}
"""
RUN = """\
id: r-{name}
recipe: cast/cheek@1
thing: cheek-left
started: {day} 09:00
outcome: good
{more}"""
COURSE = "title: Pieces\nterm: spring 2026\npins: [cast/cheek@1]\nsessions: []\n"


@pytest.fixture(scope="module")
def view(tmp_path_factory: pytest.TempPathFactory) -> View:
    book: Repository = start_repository(tmp_path_factory.mktemp("parts") / "book")
    book.save(FIRST, empty_book() | {RECIPE: recipe(1)})
    build = "recipes/builds/ferryman"
    book.save(
        SECOND,
        {
            RECIPE: recipe(2, why="Softer.", deadener="80 %"),
            f"{build}/build.yaml": BUILD,
            "recipes/molds/cheek-mold.yaml": MOLD,
            "recipes/courses/pieces.yaml": COURSE,
            f"{build}/runs/r-a.yaml": RUN.format(
                name="a", day="2026-01-30", more="mold: cheek-mold\nkept: [{piece: L-1}, {piece: L-2}]\n"
            ),
            f"{build}/runs/r-b.yaml": RUN.format(
                name="b",
                day="2026-02-03",
                more="kept: [{piece: L-3}, {piece: L-4}]\nused: [{piece: L-1, then: discarded}]\n",
            ),
            "recipes/runs/r-c.yaml": RUN.format(name="c", day="2026-02-04", more="").replace("thing: cheek-left\n", ""),
        },
    )
    return open_view(book.folder, "private")


def test_weighings_become_a_falling_line_within_its_box(view: View) -> None:
    mold = view.documents.on("mold")["cheek-mold"].model
    assert isinstance(mold, Mold)
    curve = drying_curve(mold.weights)
    assert curve is not None
    assert (curve.first, curve.last) == ("8.52 kg", "7.42 kg")
    assert curve.dots == ((8.0, 8.0), (268.6, HEIGHT - 8.0), (WIDTH - 8.0, HEIGHT - 8.0))
    assert drying_curve(mold.weights[:2]) is None


def test_two_equal_weighings_by_date_and_not_by_line_make_stone_dry(view: View) -> None:
    dry = "The last two weighings are equal"
    assert dry in str(mold_content(view, view.of(Mold)["cheek-mold"]))
    later = MOLD + "  - {date: 2026-02-10, weight: 7.40 kg}\n"
    wet = read_document("mold", "cheek-mold", "recipes/molds/cheek-mold.yaml", later.encode())
    assert dry not in str(mold_content(view, wet))  # type: ignore[arg-type]


def test_pieces_that_can_be_worn_are_held_against_the_days_to_come_and_the_spares(view: View) -> None:
    page = document_page(view, "build", "ferryman").body
    # Saved on February 16: two days to come, two pieces a day, one set to spare; one of four was thrown away,
    # and no run painted the others.
    assert (
        '<span class="tag open">6 short</span><a href="#thing-cheek-left">cheek left</a> <span class="quiet">0 that can be worn '
        "and 3 without paint, 6 needed for 2 days of the look “full” and 1 to spare</span>"
    ) in page
    assert ">v2 is in use now</a>)</span></td>" in page
    assert re.search(r'<td class="across" data-label="So far">2 runs: 2 good; the last good, 2026-\d\d-\d\d</td>', page)
    assert re.findall(r'<span class="tag">([^<]*)</span><a', page) == ["not graded"] * 3 + ["used up"]


def test_a_course_says_which_pin_has_a_newer_version(view: View) -> None:
    page = document_page(view, "course", "pieces").body
    assert '>Small cheek piece</a> <span class="quiet">cast/cheek@1</span>' in page
    assert "Version 2 is in use now: <a href" in page


def test_the_page_of_a_course_tells_what_changed_since_the_versions_it_teaches(view: View) -> None:
    page = document_page(view, "course", "pieces").body
    assert "What changed since" in page
    assert "Small cheek piece: version 1 to 2" in page
    assert "Deadener fluid 60 % → 80 % of Platinum gel silicone, part A." in page


def test_runs_stand_under_their_months_and_are_told_apart(view: View) -> None:
    runs = [view.documents.on("run")[name].model for name in ("r-c", "r-b", "r-a")]
    months = by_month(entries(view, runs))  # type: ignore[arg-type]
    assert [(month, [entry.id for entry in group]) for month, group in months] == [
        ("February 2026", ["r-c", "r-b"]),
        ("January 2026", ["r-a"]),
    ]
    first = months[1][1][0]
    assert (first.build, first.apart) == ("The Ferryman", "cheek left, in “Cheek mold”")
    assert (months[0][1][0].build, months[0][1][0].apart) == ("", "")


def test_a_mix_is_weighed_as_the_books_scales_show_it(tmp_path: Path) -> None:
    book = start_repository(tmp_path / "book")
    settings = "title: Small\nscales:\n  - {id: bench, step: 1 g, up_to: 5 kg}\n"
    book.save(FIRST, empty_book() | {"recipes/book.yaml": settings, RECIPE: recipe(1)})
    view = open_view(book.folder, "private")
    document = view.documents.on("recipe")["cast/cheek"]
    assert document.model is not None
    (mix,) = mixes_shown(view, document.model, document.said["mixes"], [None])  # type: ignore[arg-type]
    first = mix.parts[0][2]
    assert on_scale(first.weigh, first.step) == "70"
    assert mix.ratio == "100 : 60 by weight"


@pytest.mark.parametrize(
    ("value", "step", "shown"),
    [
        (Fraction(44), Fraction(1, 10), "44.0"),
        (Fraction(44), Fraction(1), "44"),
        (Fraction(89, 2), Fraction(1, 2), "44.5"),
        (Fraction(123, 1000), Fraction(1, 1000), "0.123"),
        (Fraction(40), Fraction(5), "40"),
    ],
)
def test_a_weight_shows_as_many_places_as_the_scale(value: Fraction, step: Fraction, shown: str) -> None:
    assert on_scale(value, step) == shown


def test_what_is_typed_is_set_apart_and_nothing_in_a_notice_becomes_html() -> None:
    assert typed("Type `a <b>` or *c*, once.") == "Type <code>a &lt;b&gt;</code> or *c*, once."
    assert typed("one ` alone <i>") == "one ` alone &lt;i&gt;"


def test_counts_are_said_as_one_says_them() -> None:
    assert [times_words(count) for count in (1, 2, 3)] == ["once", "twice", "3 times"]


@pytest.mark.parametrize(
    ("family", "said"),
    [
        ("clay-sulfur-free", "sulfur-free clay"), ("release-silicone", "silicone release"), ("paint-cream", "cream paint"),
        ("adhesive-spirit-gum", "spirit gum"), ("remover-silicone", "silicone adhesive remover"),
        ("platinum-silicone", "platinum silicone"), ("vacuum-formed-sheet", "vacuum-formed sheet"), ("powder", "powder"),
    ],
)  # fmt: skip
def test_a_family_is_named_as_one_says_it(family: str, said: str) -> None:
    assert family_words(family) == said


def test_equipment_is_named_as_one_says_it() -> None:
    assert gear_words(["lifting", "open-mixing"]) == "heavy lifting, open mixing"


def test_a_waiting_ties_up_the_mold_and_never_a_person() -> None:
    assert [held_words(each) for each in ("mold", "nothing", "person")] == ["the mold", "nothing", "somebody's time"]
