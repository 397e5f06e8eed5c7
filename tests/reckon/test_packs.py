"""The packs that cover a need cost least, and of equal cost they are the fewest."""

from __future__ import annotations

import itertools
import math
import random
from fractions import Fraction

import pytest

from campaigns.seeds import seeds
from mothermold.reckon.packs import PackOffer, cheapest


def offer(size: object, price: object) -> PackOffer:
    return PackOffer(Fraction(str(size)), Fraction(str(price)))


def bought(need: object, *offers: PackOffer) -> dict[float, int]:
    return {float(each.size): count for each, count in cheapest(Fraction(str(need)), offers)}


def test_a_large_pack_is_bought_where_it_is_cheaper_than_small_ones() -> None:
    small, large = offer(500, "21.50"), offer(1000, "39.00")
    assert bought(400, small, large) == {500: 1}
    assert bought(900, small, large) == {1000: 1}
    assert bought(1300, small, large) == {1000: 1, 500: 1}


def test_of_equal_cost_the_fewest_packs_are_bought() -> None:
    assert bought(1000, offer(500, 10), offer(1000, 20)) == {1000: 1}
    assert bought(900, offer(1000, 20), offer(1200, 20)) == {1200: 1}, "for the same money more is better than less"


def test_nothing_needed_or_nothing_offered_buys_nothing() -> None:
    assert bought(0, offer(500, 10)) == bought(-3, offer(500, 10)) == bought(10) == {}


def test_a_need_beyond_any_bench_is_covered_at_once() -> None:
    got = bought(10**10, offer(1, 2), offer("0.5", 1), offer(7, "14.01"))
    assert got == {1: 10**10}


@pytest.mark.parametrize("seed", seeds(25, 200))
def test_every_other_combination_costs_more_or_is_no_better(seed: int) -> None:
    chance = random.Random(seed)
    offers = [offer(chance.randint(1, 12), chance.randint(1, 9)) for _ in range(chance.randint(1, 4))]
    need = Fraction(chance.randint(1, 40), chance.choice((1, 2, 3)))
    got = cheapest(need, offers)
    counts = itertools.product(*(range(math.ceil(need / each.size) + 1) for each in offers))
    covering = [
        (sum(n * o.price for n, o in zip(each, offers, strict=True)), sum(each))
        for each in counts
        if sum(n * o.size for n, o in zip(each, offers, strict=True)) >= need
    ]
    assert (sum(count * each.price for each, count in got), sum(count for _each, count in got)) == min(covering)
