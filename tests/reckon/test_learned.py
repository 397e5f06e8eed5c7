"""What runs say of a recipe's numbers: bands that hold as often as they say, and no word where there are too few."""

from __future__ import annotations

import random
from fractions import Fraction
from typing import Any

import pytest
from scipy.stats import binomtest

from campaigns.seeds import short
from mothermold.model.recipe import Recipe
from mothermold.reckon.learned import BenchRun, Observed, band, demold_by_room, learned, median, one_sided


def numbers(*values: object) -> list[Fraction]:
    return [Fraction(str(value)) for value in values]


def recipe(version: int = 1, fills: str = "180 ml", hands_on: str = "10 min") -> Recipe:
    part = {"material": "gel-silicone-a", "parts": "100"}
    step = {"id": "fill", "title": "Fill", "hands_on": hands_on, "wait": "4 h", "uses": [{"mix": "base", "as": "cast"}]}
    mix = {"id": "base", "parts": [part], "fills": fills}
    head = {"title": "A piece", "stage": "cast", "version": str(version), "status": "locked"}
    return Recipe.model_validate({**head, "mixes": [mix], "steps": [step]})


def bench(
    number: int, *, version: int = 1, piece: Any = None, hands_on: Any = None, holds: int | None = None
) -> BenchRun:
    took = {"fill": (Fraction(hands_on), None)} if hands_on is not None else {}
    weight = Fraction(str(piece)) if piece is not None else None
    return BenchRun(
        f"r-{number}",
        version,
        None,
        "mold-1",
        None if holds is None else Fraction(holds),
        took,
        {"base": Fraction(250)},
        weight,
    )


def of(what: str, found: list[Observed]) -> Observed:
    (one,) = [each for each in found if each.what == what]
    return one


DENSITY = {"base": Fraction("1.05")}


def test_of_nine_the_band_lies_between_the_first_and_the_last() -> None:
    assert band(numbers(5, 3, 9, 1, 7, 2, 8, 4, 6)) == (1, 9)
    assert median(numbers(5, 3, 9, 1)) == 4
    # Of nineteen it lies between the second and the last but one.
    assert band([Fraction(each) for each in range(1, 20)]) == (2, 18)


def test_of_eight_there_is_no_band_and_how_many_more_it_takes_is_said() -> None:
    found = of("hands-on", learned(recipe(), {1: recipe()}, [bench(n, hands_on=12) for n in range(8)], {}))
    assert (found.band, found.more_needed, found.middle) == (None, 1, 12)


@pytest.mark.parametrize("shape", short(["even", "normal", "skewed"], 3))
def test_bands_of_a_thousand_simulated_books_hold_as_often_as_they_say(shape: str) -> None:
    chance = random.Random(f"books {shape}")

    def minutes() -> Fraction:
        drawn = {
            "even": lambda: chance.uniform(8, 14),
            "normal": lambda: chance.gauss(20, 3),
            "skewed": lambda: chance.lognormvariate(3, 0.4),
        }[shape]()
        return Fraction(round(drawn * 60), 60)

    held = 0
    for _book in range(1000):
        ends = band([minutes() for _run in range(chance.randint(9, 40))])
        assert ends is not None
        held += ends[0] <= minutes() <= ends[1]
    assert 750 <= held <= 850


def test_the_sign_test_is_that_of_the_reference_library() -> None:
    for above in range(13):
        values = numbers(*[2] * above, *[0] * (12 - above))
        assert float(one_sided(values, Fraction(1))) == pytest.approx(binomtest(above, 12).pvalue)
    assert one_sided(numbers(1, 1), Fraction(1)) == 1, "what is equal is on no side"


def test_six_castings_of_six_that_took_more_say_otherwise_than_the_recipe_and_five_do_not() -> None:
    weights = (208, 205, 211, 207, 209, 208)
    text = recipe()
    six = of("piece", learned(text, {1: text}, [bench(n, piece=w) for n, w in enumerate(weights)], DENSITY))
    assert (six.written, six.middle, six.disagrees, six.path) == (189, 208, True, ("mixes", 0, "fills"))
    five = of("piece", learned(text, {1: text}, [bench(n, piece=w) for n, w in enumerate(weights[:5])], DENSITY))
    assert not five.disagrees
    mixed = of(
        "piece", learned(text, {1: text}, [bench(n, piece=w) for n, w in enumerate((*weights[:5], 180))], DENSITY)
    )
    assert not mixed.disagrees


def test_what_no_scale_and_no_clock_could_tell_apart_is_no_disagreement() -> None:
    text = recipe()
    near = of("piece", learned(text, {1: text}, [bench(n, piece=195) for n in range(12)], DENSITY))
    assert not near.disagrees
    times = of("hands-on", learned(text, {1: text}, [bench(n, hands_on=11) for n in range(12)], DENSITY))
    assert not times.disagrees
    slower = of("hands-on", learned(text, {1: text}, [bench(n, hands_on=13) for n in range(12)], DENSITY))
    assert slower.disagrees


def test_a_run_of_another_version_counts_where_that_said_the_same() -> None:
    texts = {1: recipe(1, hands_on="5 min"), 2: recipe(2)}
    runs = [bench(0, version=1, piece=200, hands_on=6), bench(1, version=2, piece=201, hands_on=11)]
    found = learned(texts[2], texts, runs, DENSITY)
    assert of("piece", found).runs == ("r-0", "r-1"), "the mix is the same"
    assert of("hands-on", found).runs == ("r-1",), "the step is another"


def test_a_mold_with_a_record_of_its_own_is_no_word_on_the_recipe_but_on_that_record() -> None:
    text = recipe()
    found = learned(text, {1: text}, [bench(n, piece=230, holds=219) for n in range(8)], DENSITY)
    assert [(each.what, each.mold, each.disagrees) for each in found] == [
        ("piece", "mold-1", False),
        ("cups", "", False),
    ]
    assert of("cups", found).middle == 20
    wrong = of("piece", learned(text, {1: text}, [bench(n, piece=230, holds=200) for n in range(8)], DENSITY))
    assert (wrong.written, wrong.disagrees, wrong.path) == (210, True, ("cavity", "volume"))


def test_a_piece_that_waits_longer_in_its_mold_is_no_disagreement() -> None:
    text = recipe()
    runs = [
        BenchRun(f"r-{n}", 1, Fraction(21), "", None, {"fill": (None, Fraction(300 + n))}, {}, None) for n in range(10)
    ]
    waiting = of("waiting", learned(text, {1: text}, runs, DENSITY))
    assert (waiting.written, waiting.disagrees) == (240, False)


def test_the_time_in_the_mold_is_told_by_the_room() -> None:
    step = {"id": "fill", "title": "Fill", "wait": {"demold": "base"}}
    head = {"title": "A piece", "stage": "cast", "version": "1", "status": "locked", "mixes": [], "steps": [step]}
    text = Recipe.model_validate(head)
    runs = [
        BenchRun(f"r-{n}", 1, Fraction(room), "", None, {"fill": (None, Fraction(waited))}, {}, None)
        for n, (room, waited) in enumerate(((21, 290), ("18.4", 330), (21, 280)))
    ]
    assert demold_by_room(text, {1: text}, runs) == {"fill": [(18, [330]), (21, [290, 280])]}
