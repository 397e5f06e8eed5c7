"""What a batch goes by, and what is said beside it: the mold, the clock, the lots."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from mothermold.answers.batch import BatchAsked, mix_batch
from mothermold.answers.batch_room import room_words
from mothermold.answers.records import last_casting
from mothermold.ground.errors import RefusedError
from mothermold.reckon.cure import at_temperature
from mothermold.view.view import View, open_view
from view.good import RUN, change

GOOD = Path(__file__).parents[1] / "data" / "good"
MOLD = "recipes/molds/cheek-mold-1.yaml"
CAVITY = "cavity: {volume: 96 ml, how: casting, date: 2026-03-10, run: r-2026-03-10-cheek-1, flashing: included}\n"


@pytest.fixture
def book(good_book: Path) -> Path:
    return good_book


def view_of(book: Path) -> View:
    return open_view(book, "private")


def told(book: Path, **asked: Any) -> list[str]:
    """The codes a batch comes with, but what every book without git is told."""
    result = mix_batch(view_of(book), "cast/cheek", "base", BatchAsked(**asked))
    return [notice.code for notice in result.notices if notice.file is not None]


def total(book: Path, **asked: Any) -> float:
    return float(mix_batch(view_of(book), "cast/cheek", "base", BatchAsked(**asked)).data["total_g"])


# What a mold takes


def test_the_molds_own_record_comes_first(book: Path) -> None:
    assert total(book, mold="cheek-mold-1") == total(book, fill="96 ml")
    assert told(book, mold="cheek-mold-1") == []


def test_without_a_record_the_last_good_casting_with_its_flashing_decides_and_says_so(book: Path) -> None:
    change(book, MOLD, CAVITY, "")
    # 98 g as weighed, no percent on top, 15 g for cups and stick.
    assert total(book, mold="cheek-mold-1") == pytest.approx(98 + 15)
    assert told(book, mold="cheek-mold-1") == ["by-last-casting"]


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("outcome: good", "outcome: scrapped"),
        ("outcome: good\n", ""),
        ("piece with flashing", "piece, flashing trimmed"),
        ("value: 98 g", "value: 98 mm"),
    ],
)
def test_a_scrapped_an_unfinished_or_a_trimmed_casting_says_nothing_of_a_mold(old: str, new: str, book: Path) -> None:
    change(book, MOLD, CAVITY, "")
    change(book, RUN, old, new)
    with pytest.raises(RefusedError) as refusal:
        mix_batch(view_of(book), "cast/cheek", "base", BatchAsked(mold="cheek-mold-1"))
    assert [notice.code for notice in refusal.value.notices] == ["no-cavity"]


def test_of_several_castings_the_newest_counts(book: Path) -> None:
    text = (book / RUN).read_text(encoding="utf-8")
    later = text.replace("2026-03-10", "2026-04-10").replace("98 g", "101 g").replace("C-01", "C-02")
    (book / RUN.replace("03-10", "04-10")).write_text(later, encoding="utf-8")
    casting = last_casting(view_of(book), "cheek-mold-1", "cast/cheek")
    assert casting is not None
    assert (str(casting.run.id), str(casting.weight)) == ("r-2026-04-10-cheek-1", "101 g")


@pytest.mark.parametrize("state", ["broken", "retired"])
def test_no_batch_is_mixed_for_a_mold_out_of_use_and_what_is_known_of_it_is_told(state: str, book: Path) -> None:
    repair = "repairs: [{date: 2026-03-12, what: Strapped for pressing clay.}]"
    change(book, MOLD, "repairs: []", repair)
    change(book, MOLD, "state: in use", f"state: {state}")
    with pytest.raises(RefusedError) as refusal:
        mix_batch(view_of(book), "cast/cheek", "base", BatchAsked(mold="cheek-mold-1"))
    (notice,) = refusal.value.notices
    assert notice.code == "mold-out-of-use"
    for words in (
        f"is {state}.",
        "Written about it on 2026-03-12: Strapped for pressing clay.",
        "Last cast in it on 2026-03-10, r-2026-03-10-cheek-1.",
        "It stands at C2.",
    ):
        assert words in notice.message
    assert "96 ml" in notice.help


def test_in_place_of_a_broken_mold_another_of_the_recipe_is_named(book: Path) -> None:
    other = (book / MOLD).read_text(encoding="utf-8").replace("Cheek mold 1", "Cheek mold 2")
    (book / MOLD.replace("-1.yaml", "-2.yaml")).write_text(other, encoding="utf-8")
    run = (book / RUN).read_text(encoding="utf-8").replace("2026-03-10", "2026-03-20").replace("mold-1", "mold-2")
    (book / RUN.replace("03-10", "03-20")).write_text(run.replace("C-01", "C-02"), encoding="utf-8")
    change(book, MOLD, "state: in use", "state: broken")
    with pytest.raises(RefusedError) as refusal:
        mix_batch(view_of(book), "cast/cheek", "base", BatchAsked(mold="cheek-mold-1"))
    assert "`--mold cheek-mold-2`" in refusal.value.notices[0].help


def test_a_repaired_mold_is_mixed_for_and_a_drying_one_with_a_warning(book: Path) -> None:
    change(book, MOLD, "state: in use", "state: repaired")
    assert told(book, mold="cheek-mold-1") == []
    change(book, MOLD, "state: repaired", "state: drying")
    assert told(book, mold="cheek-mold-1") == ["mold-drying"]
    (notice,) = [
        each
        for each in mix_batch(view_of(book), "cast/cheek", "base", BatchAsked(mold="cheek-mold-1")).notices
        if each.code == "mold-drying"
    ]
    assert "last weighed on 2026-03-04: 1.4 kg" in notice.message


def test_a_casting_by_another_recipe_says_nothing_for_this_one(book: Path) -> None:
    other = (book / "recipes/cast/cheek.yaml").read_text(encoding="utf-8").replace("version: 2", "version: 1")
    (book / "recipes/cast/trial.yaml").write_text(other.replace("fixes: [air-at-cheek]\n", ""), encoding="utf-8")
    change(book, MOLD, CAVITY, "")
    change(book, RUN, "recipe: cast/cheek@2", "recipe: cast/trial@1")
    assert last_casting(view_of(book), "cheek-mold-1", "cast/cheek") is None
    assert last_casting(view_of(book), "cheek-mold-1", "cast/trial") is not None


def test_what_is_in_the_cup_before_the_poured_part_is_told_with_what_must_be_added(book: Path) -> None:
    own = {
        each["material"]: each["weigh"]
        for each in mix_batch(view_of(book), "cast/cheek", "base", BatchAsked()).data["parts"]
    }
    more = mix_batch(view_of(book), "cast/cheek", "base", BatchAsked(poured=("gel-silicone-b=60 g",))).data
    new = {each["material"]: each["weigh"] for each in more["parts"]}
    ((only),) = more["in_the_cup"]
    assert only["material"] == "softened-a"
    assert only["add_g"] == pytest.approx(new["softened-a"] - own["softened-a"])
    assert only["add_g"] > 0
    less = mix_batch(view_of(book), "cast/cheek", "base", BatchAsked(poured=("gel-silicone-b=20 g",))).data
    assert less["in_the_cup"][0]["add_g"] < 0


# Whether there is time


def test_at_the_temperature_of_the_label_there_is_time(book: Path) -> None:
    # Ten minutes to mix and degas, ten to fill and close; the label says 25.
    assert told(book, room="23 degC") == told(book) == []


def test_warmth_takes_the_time_away_at_the_short_end_of_the_band(book: Path) -> None:
    rooms = range(23, 36)
    short = {room: at_temperature(25, 23, room).short for room in rooms}
    assert [told(book, room=f"{room} degC") for room in rooms] == [
        ["pot-life-too-short"] if short[room] < 20 else [] for room in rooms
    ]
    assert min(room for room in rooms if short[room] < 20) == 26


def test_a_fahrenheit_room_is_the_same_room(book: Path) -> None:
    assert told(book, room="86 degF") == told(book, room="30 degC") == ["pot-life-too-short"]


CHEEK = "recipes/cast/cheek.yaml"


def room_of(book: Path, room: str, mix: str = "base") -> tuple[dict[str, Any], dict[str, str]]:
    """The times in a room, and what is said, by code."""
    result = mix_batch(view_of(book), "cast/cheek", mix, BatchAsked(room=room))
    return result.data["room"], {each.code: each.message for each in result.notices if each.file is not None}


def test_a_batch_in_a_room_has_its_times_as_bands_with_the_end_that_counts(book: Path) -> None:
    room, _ = room_of(book, "18 degC")
    for name, minutes in (("pot_life", 25), ("demold", 240), ("full_cure", 1440)):
        band = at_temperature(minutes, 23, 18)
        assert [room[name][end] for end in ("short_min", "usual_min", "long_min")] == [
            band.short,
            band.usual,
            band.long,
        ]
    assert any(
        "demold 4 h 54 min to 6 h 19 min (written 4 h at 23 degC): not before the long end" in each
        for each in room_words(room)
    )
    assert mix_batch(view_of(book), "cast/cheek", "base", BatchAsked()).data["room"] is None


def test_a_pot_life_nobody_wrote_is_said_and_no_silence(book: Path) -> None:
    written = "    pot_life: {time: 25 min, at: 23 degC, basis: label}\n"
    _room, said = room_of(book, "24 degC", "film")
    assert said == {
        "pot-life-not-known": "`film` has no pot life written: how long it can be poured at 24 degC is not known."
    }
    assert told(book) == []
    change(book, CHEEK, written, "    pot_life: {time: 25 min}\n")
    room, said = room_of(book, "24 degC")
    assert room["pot_life"] is None
    assert said == {
        "pot-life-not-known": "The pot life of `base`, 25 min, says no temperature: what it is at 24 degC is not known."
    }
    change(book, CHEEK, "    pot_life: {time: 25 min}\n", "")
    # A step starts its clock, so it is said in any room.
    assert told(book) == ["pot-life-not-known"]


def test_a_pot_life_beside_steps_without_times_cannot_be_judged_and_that_is_said(book: Path) -> None:
    change(book, CHEEK, "    hands_on: 10 min\n    starts: base\n", "    starts: base\n")
    _room, said = room_of(book, "24 degC")
    assert list(said) == ["pot-life-not-known"]
    assert said["pot-life-not-known"].startswith("From B to closed `base` has no time written: whether the ")
    assert told(book) == []


@pytest.mark.parametrize(
    ("asks", "inside"),
    [
        ("19-23 degC", range(19, 24)),
        ("23 degC", range(20, 27)),
        ("64-68 degF", range(18, 21)),
        ("60-65 degC", range(15, 31)),
    ],
)
def test_a_room_outside_what_a_step_of_the_mix_says_is_told(asks: str, inside: range, book: Path) -> None:
    change(book, CHEEK, "    holds: mold\n", f"    holds: mold\n    temperature: {asks}\n")
    said = {room: room_of(book, f"{room} degC")[1] for room in range(15, 31)}
    assert [room for room in said if "room-outside" not in said[room]] == list(inside)
    if asks == "19-23 degC":
        assert said[28]["room-outside"] == "The room is 28 degC, and step `fill` is written for 19-23 degC."


def test_what_an_oven_heats_asks_nothing_of_the_room(book: Path) -> None:
    change(book, CHEEK, "    holds: mold\n", "    holds: mold\n    temperature: 35 degC\n    with: [oven]\n")
    assert "room-outside" not in room_of(book, "20 degC")[1]


def test_under_15_degrees_platinum_silicone_is_told_to_stall(book: Path) -> None:
    assert "cold-silicone" not in room_of(book, "15 degC")[1]
    assert room_of(book, "14 degC")[1]["cold-silicone"] == (
        "The room is 14 degC, and `gel-silicone-a` is used at step `fill`: under 15 degC the cure stalls."
    )


@pytest.mark.parametrize(
    ("room", "code"), [("45 degC", "beyond-range"), ("24", "missing-unit"), ("20-25 degC", "bad-quantity")]
)
def test_a_room_that_cannot_be_reckoned_with_is_refused(room: str, code: str, book: Path) -> None:
    with pytest.raises(RefusedError) as refusal:
        mix_batch(view_of(book), "cast/cheek", "base", BatchAsked(room=room))
    assert [notice.code for notice in refusal.value.notices] == [code]


# The lots


def test_a_lot_is_told_the_day_after_its_last_and_not_before(book: Path) -> None:
    # Opened 2026-02-10, and an opened one keeps 6 months of the calendar.
    assert told(book, today="2026-08-10") == []
    assert told(book, today="2026-08-11") == ["lot-past-date"]


def test_parts_of_a_kit_that_came_on_different_days_under_different_numbers_are_told_once(book: Path) -> None:
    change(book, "recipes/materials/gel-silicone-b.yaml", "got: 2026-02-03", "got: 2026-03-03")
    assert told(book) == ["kit-lots-differ"]


def test_a_day_that_is_none_is_refused(book: Path) -> None:
    with pytest.raises(RefusedError) as refusal:
        mix_batch(view_of(book), "cast/cheek", "base", BatchAsked(today="tomorrow"))
    assert [notice.code for notice in refusal.value.notices] == ["bad-date"]


# How much is left

A, B, D = (f"recipes/materials/{name}.yaml" for name in ("gel-silicone-a", "gel-silicone-b", "deadener-fluid"))


def left(book: Path, **asked: Any) -> list[tuple[str, str]]:
    result = mix_batch(view_of(book), "cast/cheek", "base", BatchAsked(**asked))
    return [(each.code, each.message) for each in result.notices if each.code in ("too-little-left", "left-not-known")]


def test_what_is_left_is_told_where_the_batch_needs_more(book: Path) -> None:
    lots = "lots: [{lot: D-1, opened: 2026-02-10, left: 100 g}, {lot: D-2, opened: 2026-03-10, left: 45 g}]\nsds:"
    change(book, D, "sds:", lots)
    # 800 ml and 10 % in three parts of nearly one weight: the deadener is 1.2 of 3.2.
    ((code, words),) = [each for each in left(book, fill="800 ml") if "deadener" in each[1]]
    needed = next(
        part["grams"]
        for part in mix_batch(view_of(book), "cast/cheek", "base", BatchAsked(fill="800 ml", flat=True)).data["parts"]
        if part["material"] == "deadener-fluid"
    )
    assert code == "too-little-left"
    assert words == (
        f"145 g of `deadener-fluid` are left, {needed:.4g} g are needed, unless `softened-a` is mixed already."
    )
    assert left(book) == []


def test_only_the_open_lot_counts_and_the_closed_one_is_named(book: Path) -> None:
    change(book, A, "left: 640 g", "left: 20 g")
    result = mix_batch(view_of(book), "cast/cheek", "base", BatchAsked())
    (notice,) = [each for each in result.notices if each.code == "too-little-left"]
    assert notice.message.startswith("20 g of `gel-silicone-a` are left,")
    assert "`0030`" in notice.help


def test_a_volume_left_is_weighed_by_its_density(book: Path) -> None:
    change(book, B, "left: 700 g", "left: 20 ml")
    ((_code, words),) = left(book)
    assert words.startswith("19.8 g of `gel-silicone-b` are left,")


def test_what_nobody_wrote_is_said_as_not_known_only_beside_what_somebody_wrote(book: Path) -> None:
    change(book, B, "{lot: 1.10, got: 2026-02-03, left: 700 g}", "{lot: 1.10, left: 12 g}, {lot: 1.11}")
    change(book, B, "lots:\n  - ", "lots: [")
    change(book, B, "{lot: 1.11}", "{lot: 1.11}]")
    ((code, words),) = left(book)
    assert code == "left-not-known"
    assert words.startswith("12 g of `gel-silicone-b` are left, ")
    assert words.endswith("how much lot 1.11 still holds is not known.")
    change(book, B, "{lot: 1.10, left: 12 g}", "{lot: 1.10}")
    assert left(book) == []


def test_all_used_up_is_nothing_left(book: Path) -> None:
    change(book, B, "left: 700 g", "left: 0 g")
    ((_code, words),) = left(book)
    assert words.startswith("0 g of `gel-silicone-b` are left, ")


def test_who_says_what_is_there_is_believed_before_the_lots(book: Path) -> None:
    change(book, B, "left: 700 g", "left: 12 g")
    assert left(book, have=("gel-silicone-b=60 g",)) == []
    assert left(book, poured=("gel-silicone-b=60 g",)) == []
    change(book, A, "left: 640 g", "left: 12 g")
    assert [words.split("`")[1] for _code, words in left(book, have=("softened-a=60 g",))] == ["gel-silicone-b"]
