"""When a run began and ended, in the words of the bench; what is not plain is left as typed and refused by the reader."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from desk.sitting import begin, small_shop
from mothermold.desk.drafts.moments import said_moment
from mothermold.model.settings import Settings

NOW = datetime(2026, 11, 29, 14, 30, tzinfo=ZoneInfo("UTC"))
SETTINGS = Settings.model_validate({"title": "A book", "hours": {"sat": "10:00-16:00"}})


@pytest.mark.parametrize(
    ("typed", "moment"),
    [
        ("now", "2026-11-29 14:30"),
        ("today", "2026-11-29 09:00"),
        ("yesterday", "2026-11-28 10:00"),
        ("Yesterday 14:10", "2026-11-28 14:10"),
        ("yesterday at 9:05", "2026-11-28 09:05"),
        ("yesterday 2:10 pm", "2026-11-28 14:10"),
        ("12:05 am", "2026-11-29 00:05"),
        ("28.11.2026", "2026-11-28 10:00"),
        ("5.4.2026", "2026-04-05 09:00"),
        ("28.11.2026, 14:10", "2026-11-28 14:10"),
        ("2026-11-27", "2026-11-27 09:00"),
        ("2026-11-27 08:15", "2026-11-27 08:15"),
        ("2026-11-27T08:15", "2026-11-27 08:15"),
        ("8:15", "2026-11-29 08:15"),
        ("4/5/2026", "4/5/2026"),
        ("28/11/2026", "2026-11-28 10:00"),
        ("11/28/2026 14:10", "2026-11-28 14:10"),
        ("31.2.2026", "31.2.2026"),
        ("25:10", "25:10"),
        ("13:10 pm", "13:10 pm"),
        ("last week", "last week"),
        ("2026-11-27 08:15:30", "2026-11-27 08:15:30"),
    ],
)
def test_a_moment_is_taken_as_it_is_said(typed: str, moment: str) -> None:
    assert said_moment(typed, NOW, SETTINGS) == moment


def test_an_end_is_on_the_day_it_began_or_at_the_hour_the_book_closes() -> None:
    began = date(2026, 11, 27)
    assert said_moment("17:40", NOW, SETTINGS, day=began, is_end=True) == "2026-11-27 17:40"
    assert said_moment("yesterday", NOW, SETTINGS, day=began, is_end=True) == "2026-11-28 16:00"
    assert said_moment("2026-11-27", NOW, SETTINGS, day=began, is_end=True) == "2026-11-27 18:00"
    assert said_moment("today", NOW, SETTINGS, day=began, is_end=True) == "2026-11-29 14:30"


def test_today_is_never_later_than_now() -> None:
    early = datetime(2026, 11, 29, 7, 5, tzinfo=ZoneInfo("UTC"))
    assert said_moment("today", early, SETTINGS) == "2026-11-29 07:05"


def test_a_run_takes_yesterday_an_end_after_it_lots_and_a_note(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    shop = small_shop(tmp_path / "shop")
    path = shop / "recipes/materials/deadener-fluid.yaml"
    lots = "lots:\n  - {lot: 19A1, opened: 2025-11-02, left: 0 g}\n  - {lot: 20E5, opened: 2026-02-10}\n"
    path.write_text(path.read_text("utf-8") + lots, "utf-8")
    answers = [
        "", "none", "cast/cheek@2", "yesterday 14:10", "", "", "", "", "good",
        "11:00", "30.5.2026", "17:40", "", "", "deadener-fluid 20E5", "Rolled twice: once by hand.", "", "",
    ]  # fmt: skip
    run = begin(shop, "run", answers, monkeypatch)
    assert (run.raw["started"], run.raw["finished"]) == ("2026-05-31 14:10", "2026-05-31 17:40")
    assert run.raw["lots"] == [{"material": "deadener-fluid", "lot": "20E5"}]
    assert run.raw["changed"] == [{"note": "Rolled twice: once by hand."}]
    assert list(run.raw)[:6] == ["id", "kind", "recipe", "started", "finished", "changed"]
    told = capsys.readouterr().out
    assert "2026-05-31 11:00 is before it began, 2026-05-31 14:10. Type a later end, or Enter." in told
    assert "2026-05-30 18:00 is before it began" in told
    assert "  -> 2026-05-31 14:10" in told
    assert told.index("deadener-fluid 20E5") < told.index("deadener-fluid 19A1")


def test_a_day_that_is_two_days_is_refused_with_both(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    shop = small_shop(tmp_path / "shop")
    answers = ["", "none", "cast/cheek@2", "4/5/2026 10:00", "today", *[""] * 10]
    run = begin(shop, "run", answers, monkeypatch)
    assert run.raw["started"] == "2026-06-01 09:00"
    assert "Type `2026-05-04` or `2026-04-05`." in capsys.readouterr().out
