"""Every family against every other: each pair that can meet is decided in one row, and what a row says of rules is true."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from pathlib import Path

from mothermold.ground.reading import read_table
from mothermold.model.recipe import BODY_SURFACES
from mothermold.trade import pairs
from mothermold.trade.pairs import Pair, can_meet, meetings, spoken_of
from mothermold.trade.rules import rules
from mothermold.trade.vocabulary import FAMILIES


def told(found: Iterable[Pair]) -> str:
    """Pairs, a used family a line, as a row of the file wants them."""
    on: dict[str, list[str]] = {}
    for used, lies in sorted(found):
        on.setdefault(used, []).append(lies)
    return "\n".join(f"  - {{use: [{used}], meets: [{', '.join(lies)}], ...}}" for used, lies in on.items())


def test_every_pair_that_can_meet_is_decided() -> None:
    undecided = can_meet() - {pair for row in meetings() for pair in row.pairs}
    assert not undecided, f"undecided, {len(undecided)} pairs:\n{told(undecided)}"


def test_no_pair_is_decided_that_cannot_meet() -> None:
    idle = {pair for row in meetings() for pair in row.pairs} - can_meet()
    assert not idle, f"these cannot meet:\n{told(idle)}"


def test_no_pair_is_listed_twice() -> None:
    twice = {pair for pair, times in Counter(pair for row in meetings() for pair in row.pairs).items() if times > 1}
    assert not twice, f"listed twice:\n{told(twice)}"


def test_a_row_names_exactly_the_rules_that_speak_of_its_pairs() -> None:
    # Read here from the rules themselves and not through the module: every rule named exists and covers each pair of its
    # row, and no rule covers a pair that is called fine or not known.
    covers = {
        name: {(used, met) for used in rule.used.families for met in rule.met.families | rule.met.traces}
        for name, rule in rules().items()
        if rule.met is not None
    }
    for row in meetings():
        assert set(row.rules) <= covers.keys()
        wrong = [pair for pair in row.pairs if {name for name, on in covers.items() if pair in on} != set(row.rules)]
        assert not wrong, f"{row.rules or row.fine or row.not_known}:\n{told(wrong)}"


def test_a_row_says_one_thing() -> None:
    for row in meetings():
        assert [bool(row.rules), bool(row.fine), bool(row.not_known)].count(True) == 1
        assert row.pairs


def test_every_family_meets_something_or_is_left_out_with_a_reason() -> None:
    met = {family for pair in can_meet() for family in pair}
    table = read_table(Path(pairs.__file__).with_name("pairs.yaml"))
    rows = [row for row in table["left_out"] if row["because"]]
    out = {family for row in rows for name in row["families"] for family in table["groups"].get(name, [name])}
    assert met | out == set(FAMILIES) | BODY_SURFACES
    # A rule may still speak of a cover left out of the places; nothing lies in both.
    assert out & met == {family for pair in spoken_of() for family in pair} & out


def test_what_the_trade_is_sure_of_is_not_called_unknown() -> None:
    unknown = {pair for row in meetings() if row.not_known for pair in row.pairs}
    sure = {
        ("platinum-silicone", "tin-silicone"), ("platinum-silicone", "clay-sulfur"), ("remover-ester", "adhesive-silicone"),
        ("remover-silicone", "adhesive-acrylic"), ("water", "gelatin"), ("gypsum-cement", "skin"), ("naphtha", "skin"),
        ("encapsulant-alcohol", "petroleum-jelly"), ("adhesive-acrylic", "remover-ester"), ("acetone", "lace"),
    }  # fmt: skip
    assert not sure & unknown
    assert unknown
    assert len(unknown) < len(can_meet()) / 2
