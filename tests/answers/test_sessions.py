"""A course knows what to begin when, and whether what one meeting makes is ready for a later one; runs of a class come back."""

from __future__ import annotations

import re
from datetime import date
from fractions import Fraction
from pathlib import Path

import pytest

from mothermold.answers.class_materials import class_materials
from mothermold.answers.class_runs import class_runs
from mothermold.answers.sessions import ReadyForMeeting, ready_for_meetings
from mothermold.desk.next_version import reason
from mothermold.model.course import Course
from mothermold.view.view import open_view

NAME = "silicone-pieces-autumn-2026"
FILE = f"recipes/courses/{NAME}.yaml"


def _ready(book: Path) -> dict[tuple[int, str], ReadyForMeeting]:
    view = open_view(book, "private")
    found = ready_for_meetings(view, view.models(Course)[NAME])
    return {(each.meeting, each.recipe.address): each for each in found}


def _moved(book: Path, before: str, after: str) -> None:
    file = book / FILE
    text = file.read_text(encoding="utf-8")
    assert text.count(before) == 1
    file.write_text(text.replace(before, after), encoding="utf-8")


def test_what_no_meeting_makes_is_begun_so_that_it_is_there_at_the_longest(sample_book: Path) -> None:
    """Worked by hand: the altered positive takes 10 h of bench and coats and dries 10 days, 16 at the longest; so 11 and 17."""
    told = _ready(sample_book)[0, "core/altered-positive"]
    assert (told.ready, told.usual, told.longest, told.begin) == ("before", 11, 17, date(2026, 9, 26))


@pytest.mark.parametrize(
    ("day", "ready", "between"),
    [
        ("2026-10-26", "not ready", 13),
        ("2026-10-27", "may be ready", 14),
        ("2026-11-06", "may be ready", 24),
        ("2026-11-07", "is ready", 25),
    ],
)
def test_a_mold_of_one_meeting_is_dry_for_another_or_may_be_or_is_not(
    own_sample_book: Path, day: str, ready: str, between: int
) -> None:
    """The mold takes 14 days, 25 at the longest: 5 or 10 for the sculpture, 8 or 14 to dry, and half a day of hands and setting."""
    _moved(own_sample_book, "day: 2026-10-27", f"day: {day}")
    told = _ready(own_sample_book)[1, "mold/face-mold"]
    assert (told.ready, told.usual, told.longest, told.between) == (ready, 14, 25, between)
    assert told.until == ("the sculpture is finished and signed off", "two weighings a day apart agree to 10 g")


def test_without_days_nothing_is_promised(own_sample_book: Path) -> None:
    _moved(own_sample_book, "    day: 2026-10-13\n", "")
    told = _ready(own_sample_book)
    assert told[1, "mold/face-mold"].ready == "unknown"
    assert told[0, "core/altered-positive"].begin is None


def test_what_is_worn_is_put_on_that_day(sample_book: Path) -> None:
    assert _ready(sample_book)[4, "application/full-face"].ready == "that day"


RUN = """\
id: {name}
recipe: cast/face-piece@{version}
course: {course}
started: 2026-10-27 10:00
who: [{who}]
outcome: {outcome}
{rest}"""
TORN = "went_wrong:\n  - {failure: air-at-cheek, step: fill}\n"


def _laid(book: Path, name: str, rest: str = "", who: str = "S01", outcome: str = "good", version: int = 4) -> None:
    text = RUN.format(name=name, course=NAME, who=who, outcome=outcome, rest=rest, version=version)
    (book / "recipes" / "runs" / f"{name}.yaml").write_text(text, encoding="utf-8")


def test_the_runs_of_a_class_say_which_step_trips_how_many_by_version(own_sample_book: Path) -> None:
    _laid(own_sample_book, "r-2026-10-27-table-1", TORN)
    _laid(own_sample_book, "r-2026-10-27-table-2", TORN, "S02", "scrapped")
    _laid(own_sample_book, "r-2026-10-27-table-3", who="S03")
    _laid(own_sample_book, "r-2026-10-27-table-4", TORN, "S04", version=3)
    three, four = class_runs(open_view(own_sample_book, "private"), NAME)
    assert (three.version, three.runs, [(each.step, each.runs) for each in three.tripped]) == (3, 1, [("fill", 1)])
    assert (four.version, four.runs, four.ended) == (4, 3, (2, 1))
    assert [(each.step, each.failure, each.runs) for each in four.tripped] == [("fill", "air-at-cheek", 2)]


def test_a_good_find_of_a_student_is_taken_into_the_book_under_the_code(own_sample_book: Path) -> None:
    name = "r-2026-10-27-table-3"
    _laid(own_sample_book, name, "changed:\n  - step: fill\n    note: Poured along the brow first.\n", who="S03")
    view = open_view(own_sample_book, "private")
    (told,) = class_runs(view, NAME)
    assert told.finds == ((name, "S03"),)
    assert reason(view, f"run/{name}") == ("Found by S03 in the run of 2026-10-27: Poured along the brow first.", ())


def test_what_a_course_takes_is_what_its_recipes_say_at_every_table(own_sample_book: Path) -> None:
    """The hair of one doing is read here from the recipe's file alone: 0.3 g, at four tables 1.2 g."""

    def hair(tables: str) -> dict[str, Fraction]:
        file = own_sample_book / FILE
        file.write_text(re.sub(r"(?m)^    tables: \d+$", f"    tables: {tables}", file.read_text("utf-8")), "utf-8")
        view = open_view(own_sample_book, "private")
        told = class_materials(view, view.models(Course)[NAME])
        assert told.unread == ()
        return told.taken.amounts["hair-human"]

    text = (own_sample_book / "recipes/finish/hair-punching.yaml").read_text(encoding="utf-8")
    once = sum(Fraction(each) for each in re.findall(r"material: hair-human, .*?amount: ([\d.]+) g", text))
    assert hair("4") == {"g": 4 * once}
    assert hair("9") == {"g": 9 * once}


def test_each_table_has_a_mold_of_its_own_and_the_class_one_batch_of_color(sample_book: Path) -> None:
    """Every table pours its stone, where a table that only casts would take none; the washes are weighed once for a build."""
    view = open_view(sample_book, "private")
    told = class_materials(view, view.models(Course)[NAME])
    whole, one = told.taken.amounts, told.one.amounts
    assert whole["gypsum-cement"]["g"] == 4 * one["gypsum-cement"]["g"] > 40_000
    assert whole["paint-acrylic-olive"] == one["paint-acrylic-olive"]
