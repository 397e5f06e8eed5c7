"""The page of a plan and today's share of it on the home page: what is shown, to whom, and when it is made again."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from answers.planned_books import PlannedBook
from answers.test_plan import simple, too_late_begun
from mothermold.answers import plan
from mothermold.pages import plans
from mothermold.pages.all_pages import addresses, page_at
from mothermold.pages.drawn.plan_weeks import NAMES, PlanBar, plan_weeks
from mothermold.view.view import View, open_view

PAGE = "plans/watch.html"


def opened(book: PlannedBook, folder: Path, edition: Any = "private") -> View:
    # Today is the day of the newest run, where nothing is saved.
    run = {"id": "r-practice", "started": f"{book.today} 08:00", "kind": "test", "visibility": "public"}
    book.documents["runs/r-practice.yaml"] = run
    return open_view(book.laid_out(folder), edition)


def body(view: View, address: str = PAGE) -> str:
    page = page_at(view, address)
    assert page is not None
    return page.body


def test_the_page_shows_the_plan_day_by_day_and_as_a_picture(tmp_path: Path) -> None:
    told = body(opened(simple(spares=1), tmp_path))
    assert "Plan: The watch" in told
    assert re.search(r'<time datetime="2026-03-18">', told)
    assert "slack 2 d" in told
    assert 'aria-label="The plan week by week; the list below says the same"' in told
    assert "2 working days are in hand before each deadline." in told
    assert "style=" not in told


def test_the_page_of_a_plan_that_cannot_be_says_what_would_help(tmp_path: Path) -> None:
    told = body(opened(too_late_begun()[0], tmp_path))
    assert "What would make it possible" in told
    assert re.search(r"Begin \d+ days? earlier", told)


def test_a_build_without_days_ahead_says_so(tmp_path: Path) -> None:
    book = simple(days=[])
    assert "no day in the chair yet" in body(opened(book, tmp_path))


def test_without_the_part_for_planning_the_page_says_what_to_install(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(plans, "has_solver", lambda: False)
    assert "mothermold[plan]" in body(opened(simple(), tmp_path))


@pytest.mark.parametrize("edition", ["class", "public"])
def test_a_plan_is_in_the_private_edition_only(edition: str, tmp_path: Path) -> None:
    book = simple()
    book.build["visibility"] = "public"
    view = opened(book, tmp_path, edition)
    assert "watch" in view.on("build")
    assert PAGE not in addresses(view)
    assert page_at(view, PAGE) is None
    assert "plans/" not in body(view, "builds/watch.html")
    assert PAGE in addresses(open_view(tmp_path, "private"))


def test_the_page_of_the_build_leads_to_its_plan(tmp_path: Path) -> None:
    assert 'href="../plans/watch.html"' in body(opened(simple(), tmp_path), "builds/watch.html")


def test_todays_work_stands_on_the_home_page(tmp_path: Path) -> None:
    book = simple()
    assert "Today at the bench" not in body(opened(book, tmp_path), "index.html")
    book.today = date(2026, 3, 18)
    for name in ("core", "mold"):
        run = {
            "id": f"r-{name}",
            "recipe": f"{name}/{name}@1",
            "thing": name,
            "started": "2026-03-02 09:00",
            "outcome": "good",
        }
        book.documents[f"builds/watch/runs/r-{name}.yaml"] = run
    told = body(opened(book, tmp_path), "index.html")
    assert "Today at the bench" in told
    assert "plans/watch.html" in told


def test_a_plan_is_made_once_for_what_was_looked_at(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    made = []
    honest = plans.planned
    monkeypatch.setattr(plans, "planned", lambda *given, **more: made.append(1) or honest(*given, **more))
    view = opened(simple(), tmp_path)
    first = body(view)
    body(view, "index.html")
    assert body(view) == first
    assert len(made) == 1


def test_what_cannot_be_in_time_is_said_on_the_home_page_and_what_would_help_is_worked_out_for_its_own_alone(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked = []
    honest = plan.what_is_late
    monkeypatch.setattr(plan, "what_is_late", lambda *given: asked.append(1) or honest(*given))
    view = opened(simple(chair_in=4), tmp_path)
    assert "As it is written it cannot be done in time" in body(view, "index.html")
    assert not asked
    assert re.search(r"Begin \d+ days? earlier", body(view))
    body(view)
    assert len(asked) == 1


def test_the_picture_folds_empty_weeks_and_lays_no_chair_over_another() -> None:
    day = date(2026, 3, 4)
    bars = [PlanBar("face", day, day, "work"), PlanBar("face", date(2026, 5, 4), date(2026, 5, 6), "waits")]
    chairs = [date(2026, 5, 7), date(2026, 5, 8)]
    drawn = plan_weeks([("face", "Face")], bars, chairs, day)
    assert drawn is not None
    assert [each.text for each in drawn.columns if each.is_folded] == ["8 weeks"]
    assert drawn.today == NAMES + 2 * 8.0
    assert len({each.y for each in drawn.chairs}) == 2
    wait, work = drawn.bars
    assert (work.x, work.wide) == (drawn.today, 8.0)
    assert wait.wide == 24.0
    assert plan_weeks([("face", "Face")], [], [], day) is None
