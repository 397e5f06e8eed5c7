"""The plan of a build: it can be followed, it is the same every time, and what cannot be says what would make it possible."""

from __future__ import annotations

import copy
import json
import re
import shutil
from collections.abc import Callable
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import Any

import icalendar
import pytest

from answers.plan_checker import faults
from answers.planned_books import PlannedBook, made_at_random, recipe
from campaigns.seeds import short
from mothermold.answers.plan import plan_build
from mothermold.answers.plan_calendar import calendar_text
from mothermold.answers.plan_text import plan_text
from mothermold.answers.result import Result
from mothermold.cli.main import main
from mothermold.ground.errors import RefusedError
from mothermold.view.view import View, open_view

MADE = tuple(range(200))


def asked(book: PlannedBook, folder: Path, **more: Any) -> Result:
    return plan_build(open_view(book.laid_out(folder), "private"), "watch", **{"today": book.today.isoformat(), **more})


def simple(*, chair_in: int = 21, people: int = 1, spares: int = 0, **build: Any) -> PlannedBook:
    """A mold and its pieces, painted: a day and a night to dry, one casting a day, and a chair some days ahead."""
    book = made_at_random(0)
    book.documents |= {
        "core/core.yaml": recipe("core", {"hands_on": "60 min"}),
        "mold/mold.yaml": recipe("mold", {"hands_on": "2 h", "until": {"what": "dry", "usual": "2 days", "longest": "4 days"}, "holds": "mold"}),
        "cast/piece.yaml": recipe("cast", {"hands_on": "60 min", "wait": "6 h", "holds": "mold"}, {"hands_on": "30 min", "wait": "12 h", "holds": "bench"}),
        "finish/paint.yaml": recipe("finish", {"hands_on": "2 h"}),
        "application/on.yaml": recipe("application", {"hands_on": "60 min"}, {"hands_on": "60 min", "after": "step-1"}),
    }  # fmt: skip
    book.documents["book.yaml"] |= {
        "hours": dict.fromkeys(("mon", "tue", "wed", "thu", "fri"), "09:00-18:00"),
        "holidays": [],
    }
    chair = book.today + timedelta(days=chair_in)
    book.build |= {
        "people": people,
        "days": [{"day": str(chair), "look": "full", "chair": "06:00", "ready": "09:00", "wrap": "17:00"}],
        "looks": [{"id": "full", "pieces": [{"thing": "piece"}], "application": "application/on@1", "removal": "removal/off@1", "spares": spares}],
    } | build  # fmt: skip
    return book


@pytest.fixture
def laid(tmp_path: Path) -> Callable[..., Result]:
    return lambda book, **more: asked(book, tmp_path, **more)


@pytest.mark.parametrize(
    ("name", "today"), short([("saltpan-keeper", "2026-06-10"), ("saltpan-keeper", "2026-01-12")], 1)
)
def test_the_sample_builds_plan_can_be_followed(name: str, today: str, sample_view: Callable[[str], View]) -> None:
    view = sample_view("private")
    result = plan_build(view, name, today=today)
    assert result.ok
    # A later day of the book knows pieces that the runs of that day leave over; the checker counts from nothing.
    assert [each for each in faults(result.data, view, name) if "are needed" not in each] == []


@pytest.mark.parametrize("seed", short(MADE, 6))
def test_every_plan_of_a_book_made_at_random_can_be_followed(seed: int, tmp_path: Path) -> None:
    book = made_at_random(seed)
    result = asked(book, tmp_path)
    if result.ok:
        assert list(faults(result.data, open_view(tmp_path, "private"), "watch")) == []
    else:
        assert result.data["tasks"] == []
        assert result.data["late"]
        assert all(row["remedy"] for row in result.data["late"])


def moved(row: dict[str, Any], length: timedelta) -> None:
    for each in (row, *row["parts"]):
        for key in ("start", "end"):
            each[key] = (datetime.fromisoformat(each[key]) + length).isoformat()
    if row["waits_until"]:
        row["waits_until"] = (datetime.fromisoformat(row["waits_until"]) + length).isoformat()


def to(row: dict[str, Any], moment: str) -> None:
    moved(row, datetime.fromisoformat(moment) - datetime.fromisoformat(row["start"]))


def faulty(data: Any, change: Callable[[dict[str, Any]], None]) -> dict[str, Any]:
    other = copy.deepcopy(dict(data))
    change({row["id"]: row for row in other["tasks"]})
    return other


def test_the_checker_finds_each_fault_it_is_there_for(tmp_path: Path) -> None:
    book = simple(spares=1)
    book.documents["cast/piece.yaml"]["steps"][1]["within"] = {"time": "3 h", "after": "step-1", "from": "wait"}
    book.build["approvals"] = [{"what": "core", "due": str(book.today + timedelta(days=12))}]
    data = asked(book, tmp_path).data
    view = open_view(tmp_path, "private")
    assert list(faults(data, view, "watch")) == []
    rows = {row["id"]: row for row in data["tasks"]}
    changes: dict[str, Callable[[dict[str, Any]], None]] = {
        "outside of working hours": lambda r: moved(r["core/step-1"], timedelta(hours=-14)),
        "day off": lambda r: to(r["core/step-1"], f"{book.today - timedelta(days=1)}T10:00:00+01:00"),
        "in mold mold at once": lambda r: [to(r[f"piece 2/{s}"], rows[f"piece 1/{s}"]["start"]) for s in ("step-1", "step-2")] and None,
        "pairs of hands": lambda r: to(r["painted 2/step-1"], rows["piece 1/step-1"]["start"]),
        "begins later than": lambda r: moved(r["piece 1/step-2"], timedelta(days=1)),
        "begins before": lambda r: moved(r["mold/step-1"], timedelta(days=9)),
        "waits too short": lambda r: r["mold/step-1"].update(waits_until=r["mold/step-1"]["end"]),
        "min of work": lambda r: r["core/step-1"]["parts"][0].update(end=r["core/step-1"]["start"]),
        "is not over when it must be ready": lambda r: [moved(row, timedelta(hours=2)) for n, row in r.items() if "application" in n] and None,
        "begins before the wearer sits down": lambda r: [moved(row, timedelta(hours=-1)) for n, row in r.items() if "application" in n] and None,
        "begins before the day is wrapped": lambda r: [moved(row, timedelta(hours=-6)) for n, row in r.items() if "removal" in n] and None,
        "over only after the chair": lambda r: moved(r["painted 1/step-1"], timedelta(days=14)),
        "after its sign-off": lambda r: moved(r["core/step-1"], timedelta(days=14)),
        "lacks": lambda r: r["piece 1/step-2"].update(job="piece 9"),
    }  # fmt: skip
    for words, change in changes.items():
        found = list(faults(faulty(data, change), view, "watch"))
        assert any(words in each for each in found), (words, found)


def test_the_shape_of_the_json_is_the_promised_one(laid: Callable[..., Result]) -> None:
    data = laid(simple()).data
    assert {"build", "start", "end", "makespan_h", "tasks", "late"} <= data.keys()
    assert (data["build"], data["late"]) == ("watch", [])
    keys = {"id", "thing", "recipe", "step", "start", "end", "hands_on_min", "resources", "critical"}
    assert all(keys <= row.keys() for row in data["tasks"])
    length = datetime.fromisoformat(data["end"]) - datetime.fromisoformat(data["start"])
    assert data["makespan_h"] == length.total_seconds() / 3600
    assert all(datetime.fromisoformat(row["start"]).utcoffset() == timedelta(hours=1) for row in data["tasks"])


def test_backward_is_as_late_as_two_working_days_before_the_chair(laid: Callable[..., Result]) -> None:
    rows = {row["id"]: row for row in laid(simple()).data["tasks"]}
    # The chair is on a Monday at six: Thursday and Friday are in hand.
    assert rows["painted 1/step-1"]["end"] == "2026-03-18T18:00:00+01:00"
    assert rows["painted 1/step-1"]["slack_min"] == 2 * 24 * 60
    assert not any(row["critical"] for row in rows.values())


def test_what_is_waited_for_shows_its_longest_as_a_risk_and_has_time_for_it(laid: Callable[..., Result]) -> None:
    rows = {row["id"]: row for row in laid(simple()).data["tasks"]}
    dry, cast = rows["mold/step-1"], rows["piece 1/step-1"]
    assert datetime.fromisoformat(dry["waits_until"]) == datetime.fromisoformat(dry["end"]) + timedelta(days=2)
    assert dry["risk"] == {
        "until": (datetime.fromisoformat(dry["end"]) + timedelta(days=4)).isoformat(),
        "late_by_min": 0,
    }
    assert cast["start"] >= dry["risk"]["until"]


def test_forward_begins_when_it_is_told_and_is_as_short_as_can_be(laid: Callable[..., Result]) -> None:
    data = laid(simple(), start="2026-03-04 09:00").data
    assert data["start"] == "2026-03-04T09:00:00+01:00"
    rows = {row["id"]: row for row in data["tasks"]}
    # An hour, two hours and two days; six hours of the seven from noon do not fit before six.
    assert rows["piece 1/step-1"]["start"] == "2026-03-06T12:00:00+01:00"
    assert rows["painted 1/step-1"]["end"] == "2026-03-10T11:00:00+01:00"


def test_a_run_that_ended_well_is_done_and_one_under_way_leaves_what_remains(laid: Callable[..., Result]) -> None:
    book = simple()
    run = {"id": "r-core", "recipe": "core/core@1", "thing": "core", "started": "2026-02-26 09:00", "outcome": "good"}
    begun = {
        "id": "r-piece",
        "recipe": "cast/piece@1",
        "thing": "piece",
        "started": "2026-03-02 07:00",
        "took": [{"step": "step-1", "done": "2026-03-02 08:00"}],
    }
    made = {
        "id": "r-mold",
        "recipe": "mold/mold@1",
        "thing": "mold",
        "started": "2026-02-27 09:00",
        "outcome": "usable",
    }
    book.documents |= {f"builds/watch/runs/{each['id']}.yaml": each for each in (run, begun, made)}
    rows = {row["id"]: row for row in laid(book).data["tasks"] if not row.get("chair")}
    assert set(rows) == {"piece 1/step-2", "painted 1/step-1"}
    assert rows["piece 1/step-2"]["start"] >= "2026-03-02T14:00:00+01:00"


def test_a_run_under_way_that_notes_no_step_counts_as_not_begun_and_the_plan_says_so(
    laid: Callable[..., Result],
) -> None:
    book = simple()
    book.documents["builds/watch/runs/r-core.yaml"] = {
        "id": "r-core",
        "recipe": "core/core@1",
        "thing": "core",
        "started": "2026-03-02 07:00",
    }
    result = laid(book)
    assert "core/step-1" in {row["id"] for row in result.data["tasks"]}
    assert any("r-core" in each.message for each in result.notices if each.code == "not-planned")


def test_a_piece_in_hand_is_not_cast_again_and_is_finished(laid: Callable[..., Result]) -> None:
    book = simple(spares=1)
    kept = {
        "id": "r-piece",
        "recipe": "cast/piece@1",
        "thing": "piece",
        "started": "2026-02-26 09:00",
        "outcome": "good",
        "kept": [{"piece": "P-01", "grade": "hero"}],
    }
    book.documents["builds/watch/runs/r-piece.yaml"] = kept
    data = laid(book).data
    assert data["castings"] == [{"thing": "piece", "cast": 1, "in_hand": 1}]
    assert {row["job"] for row in data["tasks"] if row["thing"] == "painted"} == {"painted P-01", "painted 1"}


def mold(name: str, run: str, state: str = "in use") -> dict[str, dict[str, Any]]:
    made = {"id": run, "recipe": "mold/mold@1", "thing": "mold", "started": "2026-02-20 09:00", "outcome": "good"}
    return {
        f"builds/watch/molds/{name}.yaml": {"title": name, "made": run, "state": state},
        f"builds/watch/runs/{run}.yaml": made,
    }


def test_a_broken_mold_is_made_again_and_one_in_use_is_not(laid: Callable[..., Result]) -> None:
    book = simple()
    book.documents |= mold("mold-1", "r-mold-1", "broken")
    assert "mold/step-1" in {row["id"] for row in laid(book).data["tasks"]}
    book.documents |= mold("mold-2", "r-mold-2")
    data = laid(book).data
    assert "mold/step-1" not in {row["id"] for row in data["tasks"]}
    assert next(row for row in data["tasks"] if row["id"] == "piece 1/step-1")["resources"] == ["hands", "mold mold-2"]


def test_a_mold_that_dries_can_be_cast_in_when_it_is_usually_dry(laid: Callable[..., Result]) -> None:
    book = simple(chair_in=7)
    book.documents |= mold("mold-1", "r-mold-1", "drying")
    book.documents["builds/watch/runs/r-mold-1.yaml"]["started"] = "2026-03-02 08:00"
    book.documents["builds/watch/runs/r-mold-1.yaml"]["finished"] = "2026-03-02 08:30"
    rows = {row["id"]: row for row in laid(book).data["tasks"]}
    assert rows["piece 1/step-1"]["start"] >= "2026-03-04T08:30:00+01:00"


def test_done_once_for_the_build_is_planned_before_the_first_casting_only(laid: Callable[..., Result]) -> None:
    book = simple(spares=1)
    book.documents["cast/piece.yaml"]["steps"].insert(
        0, {"id": "soften", "title": "Soften", "hands_on": "30 min", "once": "build"}
    )
    rows = {row["id"]: row for row in laid(book).data["tasks"]}
    assert [name for name in rows if name.endswith("/soften")] == ["piece 1/soften"]
    assert rows["piece 1/soften"]["end"] <= min(rows["piece 1/step-1"]["start"], rows["piece 2/step-1"]["start"])


PATCHED = {
    "steps": [
        {
            "id": "glue",
            "title": "Glue",
            "hands_on": "30 min",
            "uses": [{"material": "glue", "as": "glue", "on": "skin", "amount": "1 ml"}],
        }
    ]
}


def test_a_patch_test_is_put_on_a_week_before_and_read_after_48_hours(laid: Callable[..., Result]) -> None:
    book = simple()
    book.documents["application/on.yaml"] |= PATCHED
    book.documents["materials/glue.yaml"] = {"title": "Glue", "families": ["adhesive-acrylic"]}
    rows = {row["id"]: row for row in laid(book).data["tasks"]}
    on, read = rows["patch test W1/put on"], rows["patch test W1/read"]
    assert datetime.fromisoformat(read["start"]) - datetime.fromisoformat(on["end"]) >= timedelta(hours=48)
    assert on["start"] <= "2026-03-16T06:00:00+01:00"
    book.build["cleared"] = [
        {"wearer": "W1", "application": "application/on@1", "tested": "2026-02-20", "on": "2026-02-23"}
    ]
    assert not any(name.startswith("patch") for name in (row["id"] for row in laid(book).data["tasks"]))
    book.build["cleared"] = [{"wearer": "W1", "application": "application/on@1", "tested": "2026-03-01"}]
    rows = {row["id"]: row for row in laid(book).data["tasks"]}
    assert "patch test W1/put on" not in rows
    assert rows["patch test W1/read"]["start"] >= "2026-03-03T00:00:00+01:00"


# What cannot be.


def apply(remedy: str, book: PlannedBook) -> dict[str, Any]:
    """Does in the book what a remedy says; what else is to be asked then."""
    if match := re.search(r"`spares: (\d+)`", remedy):
        book.build["looks"][0]["spares"] = int(match[1])
    elif match := re.search(r"`people: (\d+)`", remedy):
        book.build["people"] = int(match[1])
    elif match := re.search(r"Begin \d+ days? earlier, on ([\d-]+)", remedy):
        return {"today": match[1]}
    elif match := re.search(r"sit down (\d+) min earlier", remedy):
        for day in book.build["days"]:
            day["chair"] = (
                datetime.fromisoformat(f"2026-01-01T{day['chair']}") - timedelta(minutes=int(match[1]))
            ).strftime("%H:%M")
    elif "Another mold" in remedy:
        book.documents |= mold("mold-9", "r-mold-9")
    elif match := re.search(r"Have it by ([\d-]+)", remedy):
        book.build["looks"][0]["supplied"][0]["due"] = match[1]
    elif "may_pause" in remedy:
        book.documents["finish/paint.yaml"]["steps"][0]["may_pause"] = "yes"
    else:
        pytest.fail(remedy)
    return {}


def too_many_spares() -> tuple[PlannedBook, str]:
    book = simple(chair_in=2, spares=4)
    book.documents |= mold("mold-1", "r-mold-1")
    return book, "Give up"


def one_mold_for_four_faces() -> tuple[PlannedBook, str]:
    book = simple(chair_in=3)
    book.build["looks"][0]["pieces"] = [{"thing": "piece", "count": 4}]
    book.documents |= mold("mold-1", "r-mold-1")
    return book, "Another mold"


def too_late_begun() -> tuple[PlannedBook, str]:
    return simple(chair_in=4), "Begin"


def too_few_hands() -> tuple[PlannedBook, str]:
    book = simple(chair_in=21)
    book.documents["finish/paint.yaml"]["steps"][0]["people"] = 2
    return book, "1 more helper"


def chair_too_short() -> tuple[PlannedBook, str]:
    book = simple()
    book.build["days"][0]["ready"] = "07:30"
    return book, "sit down 30 min earlier"


def lenses_too_late() -> tuple[PlannedBook, str]:
    book = simple()
    book.build["looks"][0]["supplied"] = [{"what": "lenses", "due": book.build["days"][0]["day"]}]
    return book, "Have it by"


def work_longer_than_a_day() -> tuple[PlannedBook, str]:
    book = simple()
    book.documents["finish/paint.yaml"]["steps"][0]["hands_on"] = "10 h"
    return book, "may_pause: yes"


IMPOSSIBLE = [
    too_many_spares,
    one_mold_for_four_faces,
    too_late_begun,
    too_few_hands,
    chair_too_short,
    lenses_too_late,
    work_longer_than_a_day,
]


@pytest.mark.parametrize("made", IMPOSSIBLE, ids=lambda made: made.__name__)
def test_the_named_remedy_applied_to_the_book_makes_the_plan_possible(
    made: Callable[[], tuple[PlannedBook, str]], tmp_path: Path
) -> None:
    book, words = made()
    result = asked(book, tmp_path)
    assert not result.ok
    data = dict(result.data)
    assert (data["build"], data["start"], data["makespan_h"], data["tasks"]) == (None, None, None, [])
    remedy = data["late"][0]["remedy"]
    assert words in remedy
    more = apply(remedy, book)
    shutil.rmtree(tmp_path / "recipes")
    after = asked(book, tmp_path, **more)
    assert after.ok, plan_text(after)


def test_the_days_named_as_an_earlier_beginning_are_the_fewest(tmp_path: Path) -> None:
    book, _ = too_late_begun()
    match = re.search(r"Begin (\d+) days? earlier, on ([\d-]+)", asked(book, tmp_path).data["late"][0]["remedy"])
    assert match is not None
    day = date.fromisoformat(match[2])
    assert day == book.today - timedelta(days=int(match[1]))
    assert asked(book, tmp_path, today=day.isoformat()).ok
    assert not asked(book, tmp_path, today=(day + timedelta(days=1)).isoformat()).ok


# What the plan cannot know, and what is asked wrongly.


def codes(result: Result) -> set[str]:
    return {each.code for each in result.notices}


def test_a_book_without_hours_is_planned_from_nine_to_six_and_says_so(laid: Callable[..., Result]) -> None:
    book = simple()
    del book.documents["book.yaml"]["hours"]
    result = laid(book)
    assert "hours-not-known" in codes(result)
    assert any("Monday to Friday" in each for each in result.data["assumes"])


def test_what_has_no_time_and_what_is_no_thing_is_said(laid: Callable[..., Result]) -> None:
    book = simple(approvals=[{"what": "wig", "due": "2026-03-10"}])
    del book.documents["finish/paint.yaml"]["steps"][0]["hands_on"]
    result = laid(book)
    assert {"time-not-known", "not-planned"} <= codes(result)


def test_days_that_are_past_leave_nothing_to_plan(laid: Callable[..., Result]) -> None:
    result = laid(simple(), today="2026-12-01")
    assert result.ok
    assert result.data["tasks"] == []
    assert "days-past" in codes(result)


@pytest.mark.parametrize(
    ("more", "code"),
    [
        ({"today": "soon"}, "bad-moment"),
        ({"start": "noon"}, "bad-moment"),
        ({"move": "2026-03-23"}, "bad-moment"),
        ({"move": "2026-03-24=2026-03-25"}, "bad-moment"),
    ],
)
def test_a_moment_that_is_none_is_refused(laid: Callable[..., Result], more: dict[str, str], code: str) -> None:
    with pytest.raises(RefusedError) as refusal:
        laid(simple(), **more)
    assert [each.code for each in refusal.value.notices] == [code]


@pytest.mark.parametrize(
    "build",
    [
        {
            "things": [
                {"id": "a", "recipe": "core/core@1", "from": ["b"]},
                {"id": "b", "recipe": "core/core@1", "from": ["a"]},
            ]
        },
        {"looks": [{"id": "full", "pieces": [{"thing": "piece"}], "spares": 99999999}]},
        {"days": [{"day": "2026-03-20", "look": "full"}, {"day": "2036-12-30", "look": "full"}]},
    ],
    ids=["a circle", "spares", "years"],
)
def test_what_no_shop_could_do_is_refused_at_once(laid: Callable[..., Result], build: dict[str, Any]) -> None:
    with pytest.raises(RefusedError) as refusal:
        laid(simple(**build))
    assert [each.code for each in refusal.value.notices] == ["not-plannable"]


@pytest.mark.parametrize(
    "step",
    [
        {"hands_on": "9999 h"},
        {"hands_on": "9999 h", "may_pause": "yes"},
        {"coats": {"count": 99999999, "between": "2 h"}, "hands_on": "1 min"},
        {"wait": "9999 h"},
    ],
)
def test_numbers_beyond_all_measure_make_no_plan_and_take_no_time(
    laid: Callable[..., Result], step: dict[str, Any]
) -> None:
    book = simple(people=99999999)
    book.documents["finish/paint.yaml"]["steps"][0] = {"id": "step-1", "title": "Paint", **step}
    result = laid(book)
    assert not result.ok
    assert result.data["late"]


def test_a_book_nothing_is_saved_of_must_be_told_the_day(tmp_path: Path) -> None:
    view = open_view(simple().laid_out(tmp_path), "private")
    with pytest.raises(RefusedError) as refusal:
        plan_build(view, "watch")
    assert [each.code for each in refusal.value.notices] == ["today-not-known"]


def test_a_moved_day_is_planned_there(laid: Callable[..., Result]) -> None:
    data = laid(simple(), move="2026-03-23=2026-03-30").data
    assert {row["day"] for row in data["tasks"] if row["day"]} == {"2026-03-30"}


# How it is told.


def test_the_calendar_is_valid_and_the_same_each_time(laid: Callable[..., Result]) -> None:
    book = simple(title="The watch, by night; a story")
    text = calendar_text(laid(book))
    assert text == calendar_text(laid(book))
    calendar = icalendar.Calendar.from_ical(text)
    events = list(calendar.walk("VEVENT"))
    result = laid(book)
    assert len(events) == sum(len(row["parts"]) for row in result.data["tasks"])
    assert not any(event.errors for event in events)
    assert len({str(event["UID"]) for event in events}) == len(events)
    first = min(events, key=lambda event: event.decoded("DTSTART"))
    assert first.decoded("DTSTART") == datetime.fromisoformat(result.data["start"])
    assert all(len(line.encode()) <= 75 for line in text.split("\r\n"))


def test_the_same_plan_comes_on_every_run_of_the_command(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    simple(spares=1).laid_out(tmp_path)
    words = ["-C", str(tmp_path), "plan", "watch", "--today", "2026-03-02"]
    told = []
    for _ in range(2):
        assert main([*words, "--format", "json"]) == 0
        told.append(capsys.readouterr().out)
    assert told[0] == told[1]
    assert json.loads(told[0])["late"] == []
    assert main(words) == 0
    assert "Wed 18 Mar 2026" in capsys.readouterr().out
    assert main([*words, "--format", "ics"]) == 0
    assert capsys.readouterr().out.startswith("BEGIN:VCALENDAR")


def test_without_the_part_for_planning_the_command_says_what_to_install(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    simple().laid_out(tmp_path)
    monkeypatch.setattr("mothermold.answers.plan.has_solver", lambda: False)
    assert main(["-C", str(tmp_path), "plan", "watch"]) == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert "mothermold[plan]" in told.err


def test_a_plan_that_cannot_be_ends_with_1_and_says_what_would_help(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    too_late_begun()[0].laid_out(tmp_path)
    assert main(["-C", str(tmp_path), "plan", "watch", "--today", "2026-03-02"]) == 1
    assert "What would make it possible" in capsys.readouterr().out
    assert main(["-C", str(tmp_path), "plan", "watch", "--for", "class"]) == 1
    assert "only-private" in capsys.readouterr().err
