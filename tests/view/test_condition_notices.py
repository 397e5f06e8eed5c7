"""What finished runs noted of room, mold and materials, against the version they did."""

from __future__ import annotations

from pathlib import Path

import pytest

from mothermold.reckon.cure import at_temperature
from mothermold.view.view import open_view
from view.good import RUN, change

GOOD = Path(__file__).parents[1] / "data" / "good"
CHEEK = "recipes/cast/cheek.yaml"
NOTED = "{room: 21 degC, humidity: 48 %, mold_temp: 20 degC, material_temp: 21 degC}"


@pytest.fixture
def book(good_book: Path) -> Path:
    return good_book


def told(book: Path, edition: str = "private") -> list[tuple[str, str, str]]:
    notices = open_view(book, edition).notices  # type: ignore[arg-type]
    return [(each.code, str(each.severity), each.message) for each in notices if each.file == RUN]


def noted(book: Path, **degrees: int) -> None:
    change(book, RUN, NOTED, "{" + ", ".join(f"{key}: {value} degC" for key, value in degrees.items()) + "}")


def unlogged(book: Path) -> None:
    """Without a pot life of its own, and without a word about the mixing."""
    change(book, RUN, ", pot_life: 22 min}", "}")
    change(book, RUN, "  - step: mix\n    note: 1:1", "  - note: 1:1")


def test_a_run_within_what_its_version_says_is_told_nothing(book: Path) -> None:
    assert told(book) == []


def test_a_warm_room_is_told_where_it_left_less_than_the_work_needs(book: Path) -> None:
    unlogged(book)
    noted(book, room=25)
    assert at_temperature(25, 23, 25).short > 20
    assert told(book) == []
    change(book, RUN, "{room: 25 degC}", "{room: 28 degC}")
    assert told(book) == [
        (
            "run-outside-room",
            "advice",
            "The room was 28 degC, the pot life of `base` is written for 23 degC: it may have ended after 16 min, and from B "
            "to closed the steps take 20 min.",
        )
    ]


def test_a_run_that_says_at_that_step_what_was_done_about_it_is_not_told(book: Path) -> None:
    unlogged(book)
    noted(book, room=28)
    change(book, RUN, "  - note: 1:1", "  - step: open\n    note: Parts from the refrigerator.")
    assert [each[0] for each in told(book)] == ["run-outside-room"]
    change(book, RUN, "  - step: open\n    note: Parts", "  - step: mix\n    note: Parts")
    assert told(book) == []


def test_the_materials_own_temperature_outranks_the_rooms(book: Path) -> None:
    unlogged(book)
    noted(book, room=28, material_temp=22)
    assert told(book) == []


def test_a_pot_life_that_was_logged_wins_over_any_reckoning(book: Path) -> None:
    noted(book, room=28)
    assert told(book) == []


def test_a_room_too_far_from_the_recipe_is_said_not_to_be_reckoned(book: Path) -> None:
    unlogged(book)
    noted(book, room=39)
    assert [message for _code, _severity, message in told(book)] == [
        "The room was 39 degC, the pot life of `base` is written for 23 degC: that is too far apart to work out."
    ]


def test_a_step_says_which_room_it_is_for(book: Path) -> None:
    change(book, CHEEK, "    with: [spray-gun]\n", "    with: [spray-gun]\n    temperature: 19-23 degC\n")
    change(book, RUN, "waited: 4 h 10 min", "waited: 20 h")
    noted(book, room=24, material_temp=24, mold_temp=18)
    assert {message for _code, _severity, message in told(book)} == {
        "The room was 24 degC, and step `encapsulate` is written for 19-23 degC.",
        "The mold was 18 degC, and step `encapsulate` is written for 19-23 degC.",
    }


@pytest.mark.parametrize(
    ("mold", "waited", "code"), [(20, "4 h 10 min", []), (18, "4 h 10 min", ["run-outside-room"]), (18, "7 h", [])]
)
def test_a_cold_mold_opened_before_the_long_end_is_told(mold: int, waited: str, code: list[str], book: Path) -> None:
    change(book, RUN, "waited: 4 h 10 min", f"waited: {waited}")
    noted(book, room=21, mold_temp=mold)
    found = told(book)
    assert [each[0] for each in found] == code
    if code:
        assert "it may take 6 h 19 min, and 4 h 10 min were waited" in found[0][2]


@pytest.mark.parametrize("degrees", [{"room": 14}, {"room": 21, "mold_temp": 14}, {"room": 21, "material_temp": 12}])
def test_platinum_silicone_in_the_cold_is_told_by_its_rule(degrees: dict[str, int], book: Path) -> None:
    change(book, RUN, "waited: 4 h 10 min", "waited: 20 h")
    noted(book, **degrees)
    found = told(book)
    assert [each[:2] for each in found] == [("cold-silicone", "warning")]
    assert "is used at step `fill`: under 15 degC the cure stalls." in found[0][2]


def test_what_the_recipe_accepts_with_a_reason_is_not_told_of_its_runs(book: Path) -> None:
    change(book, RUN, "waited: 4 h 10 min", "waited: 20 h")
    noted(book, room=14)
    change(
        book,
        CHEEK,
        "steps:\n",
        "accepts:\n  - {rule: cold-silicone, where: cast/cheek#fill, because: Two days in the cold.}\nsteps:\n",
    )
    assert [each[0] for each in told(book)] == []


def test_a_test_is_not_asked_nor_a_run_under_way(book: Path) -> None:
    noted(book, room=12)
    assert "cold-silicone" in [each[0] for each in told(book)]
    text = (book / RUN).read_text(encoding="utf-8")
    change(book, RUN, "kind: pull", "kind: test")
    assert told(book) == []
    (book / RUN).write_text(
        text.replace("outcome: good\n", "").replace("finished: 2026-03-10 15:40\n", ""), encoding="utf-8"
    )
    assert told(book) == []


@pytest.mark.parametrize("edition", ["class", "public"])
def test_an_edition_that_shows_run_and_recipe_tells_it_too(edition: str, book: Path) -> None:
    noted(book, room=12)
    assert "cold-silicone" in [each[0] for each in told(book, edition)]


@pytest.mark.parametrize("line", ["outcome: good\n", "finished: 2026-03-10 15:40\n"])
def test_a_run_is_over_that_says_when_it_ended_or_how_it_went(line: str, book: Path) -> None:
    noted(book, room=12)
    change(book, RUN, line, "")
    assert "cold-silicone" in [each[0] for each in told(book)]
