"""The graph of a recipe's work: what waits for what, what is certainly done before, how long each step takes and waits."""

from __future__ import annotations

import dataclasses
import itertools
import random
from fractions import Fraction

import pytest

from campaigns.many import through
from mothermold.model.recipe import Recipe
from mothermold.reckon.work import Work, work_of
from reckon.bench import recipe_of

MIXES = """
mixes:
  - id: base
    parts: [{material: a, parts: 1}, {mix: film, parts: 1}]
    demold: {time: 4 h, at: 23 degC}
    full_cure: {time: 20-24 h, at: 23 degC}
  - {id: film, parts: [{material: b, parts: 1}]}
"""


def work(*steps: str) -> Work:
    listed = "\n".join(f"  - {{title: A step, {step}}}" for step in steps)
    return work_of(recipe_of(f"{MIXES}steps:\n{listed}\n"))


def after(graph: Work) -> dict[str, set[str]]:
    return {name: set(each.after) for name, each in graph.named.items()}


def before(graph: Work) -> dict[str, set[str]]:
    return {name: set(each.before) for name, each in graph.named.items()}


def order(graph: Work) -> list[str]:
    return [each.step.id for each in graph.order]


# What waits for what


def test_a_step_waits_for_the_one_written_before_it_unless_it_says_for_which() -> None:
    graph = work("id: one", "id: two", "id: three, after: one", "id: four, after: [two, three]")
    assert after(graph) == {"one": set(), "two": {"one"}, "three": {"one"}, "four": {"two", "three"}}


def test_all_that_a_step_waits_for_at_any_remove_is_certainly_done_before_it() -> None:
    graph = work("id: one", "id: two", "id: three", "id: four, after: two")
    assert before(graph) == {"one": set(), "two": {"one"}, "three": {"one", "two"}, "four": {"one", "two"}}


def test_of_lines_beside_each_other_neither_is_certainly_before_the_other() -> None:
    graph = work("id: mold", "id: core", "id: lid, after: mold", "id: paint", "id: close, after: [core, paint]")
    assert before(graph)["paint"] == {"mold", "lid"}
    assert before(graph)["core"] == {"mold"}
    assert before(graph)["close"] == {"mold", "core", "lid", "paint"}


def test_a_step_may_wait_for_one_written_below_it_and_the_order_follows() -> None:
    graph = work("id: one, after: two", "id: two, after: nobody", "id: three, after: one")
    assert order(graph) == ["two", "one", "three"]
    assert before(graph) == {"one": {"two"}, "two": set(), "three": {"one", "two"}}
    assert [each.step.id for each in graph.steps] == ["one", "two", "three"]
    assert [each.place for each in graph.order] == [1, 0, 2]


def test_steps_that_could_change_places_are_in_the_order_they_are_written_in() -> None:
    graph = work("id: one", "id: two", "id: side, after: one", "id: end, after: [side, two]")
    assert order(graph) == ["one", "two", "side", "end"]


def test_a_name_no_step_bears_counts_for_nothing() -> None:
    graph = work("id: one", "id: two", "id: three, after: [nobody, one]", "id: four, after: nobody")
    assert after(graph)["three"] == {"one"}
    # Whoever says what it waits for does not wait for the step above besides.
    assert after(graph)["four"] == set()


def test_a_recipe_without_steps_is_no_work() -> None:
    graph = work_of(recipe_of("mixes: []"))
    assert (graph.steps, graph.order, dict(graph.named)) == ((), (), {})


# Circles


def test_of_steps_in_a_circle_the_order_they_are_written_in_counts() -> None:
    graph = work("id: one, hands_on: 10 min, after: three", "id: two, hands_on: 20 min", "id: three, hands_on: 5 min")
    assert after(graph) == {"one": set(), "two": {"one"}, "three": {"two"}}
    assert order(graph) == ["one", "two", "three"]
    assert graph.named["three"].ends == 35


def test_a_step_that_waits_for_itself_does_not() -> None:
    graph = work("id: one", "id: two, after: [one, two]")
    assert after(graph)["two"] == {"one"}
    assert before(graph)["two"] == {"one"}


def test_what_leads_into_a_circle_and_out_of_it_keeps_its_order() -> None:
    graph = work(
        "id: out, after: two", "id: two, after: three", "id: three, after: [two, into]", "id: into, after: nobody"
    )
    assert after(graph) == {"out": {"two"}, "two": set(), "three": {"two", "into"}, "into": set()}
    assert before(graph)["out"] == {"two"}


def test_two_steps_of_one_name_stay_two_steps() -> None:
    graph = work("id: coat, hands_on: 5 min", "id: coat, hands_on: 7 min", "id: end, after: coat")
    assert [each.ends for each in graph.steps] == [5, 12, 12]


def names(count: int) -> list[str]:
    return [f"s{number}" for number in range(count)]


@through("seed", range(60))
def test_the_order_of_any_recipe_is_one_without_circles_and_certain_is_what_every_order_keeps(seed: int) -> None:
    draw = random.Random(seed)
    every = names(draw.randint(1, 6))
    steps = []
    for name in every:
        said = draw.sample([*every, "nobody"], draw.randint(0, min(2, len(every))))
        steps.append(f"id: {name}" + (f", after: [{', '.join(said)}]" if said else ""))
    graph = work(*steps)
    waits_for = after(graph)
    kept = [
        line
        for line in itertools.permutations(every)
        if all(waits_for[name] <= set(line[:place]) for place, name in enumerate(line))
    ]
    assert tuple(order(graph)) in kept
    for name in every:
        certain = set.intersection(*(set(line[: line.index(name)]) for line in kept))
        assert before(graph)[name] == certain


@pytest.mark.parametrize("count", [300])
def test_a_long_recipe_written_from_the_end_is_read_like_any_other(count: int) -> None:
    every = names(count)
    steps = [f"id: {name}, hands_on: 1 min, after: {then}" for name, then in itertools.pairwise(every)]
    graph = work(*steps, f"id: {every[-1]}, hands_on: 1 min, after: nobody")
    assert order(graph) == every[::-1]
    assert graph.named["s0"].ends == count


# Times


ONE_STEP = [
    ("id: s", 0),
    ("id: s, hands_on: 25 min", 25),
    # 25 + (8 − 1) × 10 + 60 = 155
    ("id: s, hands_on: 25 min, coats: {count: 8, between: 10 min, last: 60 min}", 155),
    # one coat: nothing between; 5 + 0 × 10 + 60 = 65
    ("id: s, hands_on: 5 min, coats: {count: 1, between: 10 min, last: 60 min}", 65),
    # 5 + 2 × 10 + 0 = 25
    ("id: s, hands_on: 5 min, coats: {count: 3, between: 10 min}", 25),
    # coats on a use: 5 + (3 − 1) × 20 + 30 = 75
    ("id: s, hands_on: 5 min, uses: [{material: b, as: coat, coats: {count: 3, between: 20 min, last: 30 min}}]", 75),
    # 10 + 30
    ("id: s, hands_on: 10 min, wait: 30 min", 40),
    # 10 + 240
    ("id: s, hands_on: 10 min, wait: {demold: base}", 250),
    # the longer end of the range: 24 h = 1440
    ("id: s, wait: {full_cure: base}", 1440),
    # the mix does not say it, or is none: no time is known
    ("id: s, hands_on: 10 min, wait: {demold: film}", 10),
    ("id: s, hands_on: 10 min, wait: {demold: nobody}", 10),
    # 2 h + 4 days = 120 + 5760; the longest (10 days) never counts
    ("id: s, hands_on: 2 h, until: {what: two equal weighings, usual: 4 days, longest: 10 days}", 5880),
    ("id: s, hands_on: 2 h, until: {what: two equal weighings, longest: 10 days}", 120),
    # ranges by their longer ends everywhere: 12 + (2 − 1) × 15 + 40 + 60 = 127
    ("id: s, hands_on: 10-12 min, coats: {count: 2, between: 10-15 min, last: 30-40 min}, wait: 45-60 min", 127),
]  # fmt: skip


@pytest.mark.parametrize(("step", "minutes"), ONE_STEP)
def test_a_step_takes_its_hands_its_coats_and_its_waiting(step: str, minutes: int) -> None:
    (each,) = work(step).steps
    assert each.minutes == minutes
    assert (each.starts, each.ends) == (0, minutes)


def test_a_step_starts_when_the_last_it_waits_for_has_ended() -> None:
    # left 10 + 10 + 120 = 140; right 10 + 15 = 25
    graph = work(
        "id: base, hands_on: 10 min",
        "id: left, hands_on: 10 min, wait: 2 h",
        "id: right, hands_on: 15 min, after: base",
        "id: join, hands_on: 5 min, after: [right, left]",
    )
    assert [each.starts for each in graph.steps] == [0, 10, 10, 140]


def test_until_counts_as_usual_and_says_when_to_stop_hoping() -> None:
    sign, time = work("id: dry, until: {what: dry, usual: 4 days, longest: 10 days}", "id: two, wait: 5-6 h").steps
    assert (sign.waits, sign.longest) == (4 * 24 * 60, 10 * 24 * 60)
    assert (time.waits, time.longest) == (360, None)


def test_what_is_laid_rests_after_the_last_coat_of_its_step_its_own_and_the_waiting() -> None:
    (each,) = work(
        "id: s, coats: {count: 2, last: 7 min}, wait: 30 min, "
        "uses: [{material: a, as: seal, coats: {count: 1, last: 5 min}}, {material: b, as: seal}]"
    ).steps
    assert [each.rests(use) for use in each.step.uses] == [42, 37]
    assert each.rests(None) == 37


# What a step touches and holds


def test_the_waiting_holds_what_the_step_says_and_nothing_is_nothing() -> None:
    fill, open_, dry = work(
        "id: fill, hands_on: 10 min, wait: {demold: base}, holds: mold",
        "id: open, hands_on: 20 min",
        "id: dry, wait: 1 h, holds: nothing",
    ).steps
    assert [each.holds for each in (fill, open_, dry)] == ["mold", None, None]
    # From the end of the work to the end of the waiting.
    assert (fill.ends - fill.waits, fill.ends) == (10, 250)


def test_a_step_names_the_surfaces_it_touches_and_the_materials_through_its_mixes() -> None:
    (each,) = work("id: s, uses: [{mix: base, as: cast, on: [mold, core]}, {material: c, as: seal, on: mold}]").steps
    assert each.surfaces == {"mold", "core"}
    assert each.materials == {"a", "b", "c"}


def test_nobody_changes_the_graph_of_a_recipe() -> None:
    graph = work("id: one")
    with pytest.raises(dataclasses.FrozenInstanceError):
        graph.steps[0].starts = Fraction(1)  # type: ignore[misc]
    with pytest.raises(dataclasses.FrozenInstanceError):
        graph.order = ()  # type: ignore[misc]


def test_the_steps_of_the_graph_are_those_of_the_recipe() -> None:
    recipe: Recipe = recipe_of("steps: [{id: one, title: One}, {id: two, title: Two}]")
    assert tuple(each.step for each in work_of(recipe).steps) == recipe.steps
