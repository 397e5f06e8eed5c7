"""What keeps a rule at its exact limit: a whole day, four hours in the oven, the minutes a rule names, and one minute less."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest

from mothermold.trade.keeping import DAY, Keeping, dries, minutes_since
from mothermold.trade.layers import Act, Contact, Face, Layer, LayerPlace
from mothermold.trade.rules import Remedy, Rule, rules

NOWHERE = LayerPlace("cast/piece", "nowhere", "Nowhere")
NOTHING = Act(
    NOWHERE, 0, frozenset(), frozenset(), "", True, Fraction(0), Fraction(0), Fraction(0), False, None, "", False,
    frozenset(), frozenset(),
)  # fmt: skip
BEFORE = ("laid", "between")


def act(step: str, number: int, *, thing: str | None = None, minutes: int = 0, **more: Any) -> Act:
    """Something done in a step of one recipe, ``minutes`` after its start and over at once."""
    at = Fraction(minutes)
    place = LayerPlace("cast/piece", step, step.capitalize(), thing)
    return replace(NOTHING, at=place, number=number, starts=at, works_until=at, **more)


def rule(*kept_by: tuple[Remedy, ...]) -> Rule:
    return replace(rules()["platinum-on-tin"], kept_by=kept_by)


LAID = act("laid", 0, families=frozenset({"tin-silicone"}), materials=frozenset({"tin"}), role="cast")
BASE = Layer(LAID.families, LAID.materials, "cast", LAID)


def keeping(kept_by: Remedy, contact: Act, *between: Act, layer: Layer = BASE, surface: str = "back") -> Keeping:
    """A layer laid first, then what is done between, then the contact."""
    done = [each for each in (layer.act, *between) if each is not None]
    face = Face([layer], [each for each in between if not each.everywhere], list(between))
    there = replace(contact, sure=frozenset(BEFORE))
    return Keeping(rule((kept_by,)), Contact(there, None, surface, face, tuple(done)), layer, 0)


@pytest.mark.parametrize(
    ("waits", "heated", "role", "dry"),
    [
        (DAY, False, "", True),
        (DAY - 1, False, "", False),
        (240, True, "", True),
        (239, True, "", False),
        (240, False, "", False),
        (0, False, "dry", True),
        (0, False, "clean", False),
    ],
)
def test_stone_is_dry_after_a_whole_day_or_four_hours_of_heat(waits: int, heated: bool, role: str, dry: bool) -> None:
    assert dries(act("between", 1, waits=Fraction(waits), heated=heated, role=role)) is dry


def test_time_counts_from_the_end_of_the_work_to_the_contact_and_only_within_one_thing() -> None:
    contact = Contact(act("contact", 2, minutes=30), None, "back", Face(), ())
    assert minutes_since(replace(BASE, act=replace(LAID, works_until=Fraction(10))), contact) == 20
    assert minutes_since(replace(BASE, act=replace(LAID, works_until=Fraction(40))), contact) == 0
    assert minutes_since(replace(BASE, act=replace(LAID, at=replace(LAID.at, thing="mold"))), contact) is None
    assert minutes_since(replace(BASE, act=None), contact) is None


WAITED = Remedy("waited", minutes=15)


@pytest.mark.parametrize(("minutes", "is_kept"), [(15, True), (16, True), (14, False)])
def test_the_minutes_a_rule_names_are_enough_and_one_less_is_not(minutes: int, is_kept: bool) -> None:
    wait = act("between", 1, waits=Fraction(minutes))
    kept = keeping(WAITED, act("contact", 2, minutes=minutes), wait).step()
    assert (kept.step if kept else None) == ("between" if is_kept else None)


@pytest.mark.parametrize(
    "layer", [replace(BASE, act=replace(LAID, at=replace(LAID.at, thing="mold"))), replace(BASE, act=None)]
)
def test_what_another_thing_left_or_was_there_before_has_waited_long_enough(layer: Layer) -> None:
    kept = keeping(WAITED, act("contact", 2), layer=layer).step()
    assert kept == (layer.act.at if layer.act else act("contact", 2).at)


@pytest.mark.parametrize(("number", "waits", "is_kept"), [(0, DAY, True), (1, DAY, True), (0, DAY - 1, False)])
def test_the_wait_of_the_pour_itself_dries_it(number: int, waits: int, is_kept: bool) -> None:
    moment = act("laid", number, waits=Fraction(waits))
    kept = keeping(Remedy("dried"), act("contact", 2), moment).step()
    assert (kept.step if kept else None) == ("laid" if is_kept else None)


def test_a_day_of_waiting_before_it_was_wet_dries_nothing() -> None:
    contact = keeping(Remedy("dried"), act("contact", 2), act("laid", 0, waits=Fraction(DAY)))
    assert replace(contact, since=1).step() is None


def test_resin_of_an_earlier_thing_is_cured_and_its_stone_is_not_dry() -> None:
    layer = replace(BASE, act=replace(LAID, at=replace(LAID.at, thing="mold")))
    assert keeping(Remedy("cured"), act("contact", 2), layer=layer).step() is not None
    assert keeping(Remedy("dried"), act("contact", 2), layer=layer).step() is None
    assert keeping(Remedy("cured"), act("contact", 2)).step() is None


def test_the_longest_of_several_waits_is_named() -> None:
    short, long = act("laid", 1, waits=Fraction(5)), act("between", 2, waits=Fraction(10))
    kept = keeping(WAITED, act("contact", 3, minutes=15), short, long).step()
    assert kept is not None
    assert kept.step == "between"


@pytest.mark.parametrize(
    ("warmest", "waits", "is_kept"), [(20, 1, True), (19, 1, False), (20, 0, False), (None, 1, False)]
)
def test_warmed_is_waiting_at_twenty_degrees_or_more(warmest: int | None, waits: int, is_kept: bool) -> None:
    degrees = Fraction(warmest) if warmest is not None else None
    warm = act("between", 1, warmest=degrees, waits=Fraction(waits))
    assert (keeping(Remedy("warmed"), act("contact", 2), warm).step() is not None) is is_kept


@pytest.mark.parametrize(("heated", "is_kept"), [(True, True), (False, False)])
def test_heated_is_in_the_oven(heated: bool, is_kept: bool) -> None:
    oven = act("between", 1, heated=heated)
    assert (keeping(Remedy("heated"), act("contact", 2), oven).step() is not None) is is_kept


def test_what_is_done_in_another_recipe_heats_nothing_here() -> None:
    oven = act("between", 1, thing="another", heated=True)
    assert keeping(Remedy("heated"), act("contact", 2), oven).step() is None


WIPED = Remedy("done", frozenset({"alcohol"}), frozenset({"clean"}))


def wiping(step: str, number: int, **more: Any) -> Act:
    told = {"families": frozenset({"alcohol"}), "role": "clean", "everywhere": False} | more
    return act(step, number, **told)


@pytest.mark.parametrize(
    ("done", "is_kept"),
    [
        (wiping("between", 1), True),
        (wiping("between", 0), False),
        (wiping("contact", 1), True),
        (wiping("contact", 2), False),
        (wiping("contact", 3), False),
        (wiping("beside", 1), False),
        (wiping("beside", 1, thing="mold"), True),
        (wiping("between", 1, role="degrease"), False),
        (wiping("between", 1, families=frozenset({"water"})), False),
        (wiping("between", 1, everywhere=True), False),
    ],
)
def test_a_remedy_counts_on_that_surface_since_the_layer_and_certainly_before(done: Act, is_kept: bool) -> None:
    assert (keeping(WIPED, act("contact", 2), done).step() is not None) is is_kept


@pytest.mark.parametrize(
    ("families", "everywhere", "role", "is_kept"),
    [
        ("nitrile", True, "protect", True),
        ("nitrile", False, "protect", False),
        ("nitrile", True, "clean", False),
        ("natural-latex", True, "protect", False),
    ],
)
def test_other_gloves_count_where_they_are_put_on_hands(
    families: str, everywhere: bool, role: str, is_kept: bool
) -> None:
    latex = replace(BASE, act=replace(LAID, families=frozenset({"natural-latex"})))
    gloves = act("between", 1, families=frozenset({families}), everywhere=everywhere, role=role)
    assert (keeping(Remedy("gloves"), act("contact", 2), gloves, layer=latex).step() is not None) is is_kept


def test_one_way_is_kept_only_by_all_its_parts_and_the_first_of_them_is_named() -> None:
    both = keeping(WIPED, act("contact", 9, minutes=15), wiping("between", 1), act("between", 2, waits=Fraction(15)))
    all_of = replace(both, rule=rule((WIPED, WAITED)))
    assert all_of.step() is not None
    early = replace(all_of, contact=replace(both.contact, act=replace(both.contact.act, starts=Fraction(14))))
    assert early.step() is None
    either = replace(early, rule=rule((WAITED,), (WIPED,)))
    assert either.step() is not None


def test_a_layer_between_counts_above_what_is_met_and_not_beneath_it() -> None:
    seal = Remedy("layer", families=frozenset({"barrier"}))
    between = act("between", 1, families=frozenset({"barrier"}), role="seal")
    barrier, ground = (
        Layer(between.families, frozenset(), "seal", between),
        Layer(frozenset({"gypsum-cement"}), frozenset()),
    )
    for layers, is_kept in (([ground, BASE, barrier], True), ([ground, barrier, BASE], False), ([ground, BASE], False)):
        face = Face(layers, [], [])
        contact = Contact(act("contact", 9, sure=frozenset(BEFORE)), None, "back", face, (LAID, between))
        assert (Keeping(rule((seal,)), contact, BASE, 0).step() is not None) is is_kept


def spot(minutes_before: int, **more: Any) -> Keeping:
    told = {"families": frozenset({"platinum-silicone"}), "materials": frozenset({"tin"}), "role": "test"} | more
    tried = act("between", 1, minutes=DAY * 3 - minutes_before, **told)
    return keeping(WIPED, act("contact", 2, minutes=DAY * 3), tried)


@pytest.mark.parametrize(("minutes", "is_kept"), [(DAY, True), (DAY + 1, True), (DAY - 1, False)])
def test_a_spot_counts_that_was_tried_a_whole_day_before(minutes: int, is_kept: bool) -> None:
    kept = spot(minutes).trial()
    assert (kept.step if kept else None) == ("between" if is_kept else None)


def test_a_spot_counts_only_of_the_same_on_the_same_and_as_a_test() -> None:
    assert spot(DAY, role="cast").trial() is None
    assert spot(DAY, families=frozenset({"epoxy"})).trial() is None
    assert spot(DAY, materials=frozenset({"other"})).trial() is None
    # On this very surface it counts whatever it names.
    assert spot(DAY, materials=frozenset({"other"}), everywhere=False).trial() is not None
