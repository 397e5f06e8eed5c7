"""What an ``of`` has become once parts were replaced in its mix, in a premix, and in a premix of a premix."""

from __future__ import annotations

from mothermold.compare.following import Mixes, followed, renames


def in_mix(mix: str, name: str, old: Mixes, new: Mixes) -> str:
    """What a name in an ``of`` of a mix has become."""
    return followed(name, renames(old, new)[mix])


def test_a_part_replaced_in_its_own_mix_has_a_new_name_there() -> None:
    old, new = {"gel": ["a", "b", "old"]}, {"gel": ["a", "b", "new"]}
    assert [in_mix("gel", name, old, new) for name in ("a", "b", "old")] == ["a", "b", "new"]


def test_a_part_replaced_in_a_premix_has_a_new_name_through_it_and_not_beside_it() -> None:
    old = {"gel": ["base", "old"], "base": ["a", "old"]}
    new = {"gel": ["base", "old"], "base": ["a", "new"]}
    assert [in_mix("gel", name, old, new) for name in ("base/old", "base/a", "old")] == ["base/new", "base/a", "old"]
    assert in_mix("base", "old", old, new) == "new"


def test_a_part_replaced_two_premixes_deep_has_a_new_name_through_each_of_them() -> None:
    old = {"gel": ["outer", "fluid"], "outer": ["inner", "b"], "inner": ["a", "old"]}
    new = {"gel": ["outer", "fluid"], "outer": ["inner", "b"], "inner": ["a", "new"]}
    assert [in_mix("gel", name, old, new) for name in ("outer/old", "inner/old")] == ["outer/new", "inner/new"]


def test_a_replacement_in_the_premix_that_comes_last_is_found_there_too() -> None:
    old = {"gel": ["one", "two"], "one": ["a"], "two": ["deep"], "deep": ["b", "old"]}
    new = {"gel": ["one", "two"], "one": ["a"], "two": ["deep"], "deep": ["b", "new"]}
    assert [in_mix("gel", name, old, new) for name in ("two/old", "one/old")] == ["two/new", "one/old"]


def test_what_still_lies_elsewhere_in_the_premix_keeps_its_name() -> None:
    old = {"gel": ["outer"], "outer": ["inner", "x"], "inner": ["a", "x"]}
    new = {"gel": ["outer"], "outer": ["inner", "x"], "inner": ["a", "y"]}
    assert [in_mix("gel", name, old, new) for name in ("outer/x", "inner/x")] == ["outer/x", "inner/y"]


def test_the_outer_premixs_own_replacement_outranks_the_one_inside_it() -> None:
    old = {"gel": ["outer"], "outer": ["inner", "x"], "inner": ["a", "x"]}
    new = {"gel": ["outer"], "outer": ["inner", "z"], "inner": ["a", "y"]}
    assert [in_mix("gel", name, old, new) for name in ("outer/x", "inner/x")] == ["outer/z", "inner/y"]


def test_a_premix_in_itself_is_looked_through_once() -> None:
    old, new = {"gel": ["gel", "old"]}, {"gel": ["gel", "new"]}
    assert in_mix("gel", "gel/old", old, new) == "gel/new"


def test_a_mix_on_one_side_only_has_no_renames() -> None:
    assert renames({"gel": ["a"], "gone": ["b"]}, {"gel": ["a"], "come": ["c"]}) == {"gel": {}}


def test_a_name_follows_its_part_its_premix_or_the_part_inside_it() -> None:
    names = {"old": "new", "base": "ground", "stem/old": "stem/new"}
    assert followed("old", names) == "new"
    assert followed("base", names) == "ground"
    assert followed("base/a", names) == "ground/a"
    assert followed("stem/old", names) == "stem/new"
    assert followed("stem/a", names) == "stem/a"
    assert followed("a", names) == "a"
